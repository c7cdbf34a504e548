// What a measured frequency says through the order lines
// of the vehicle.
#include "engine/providers/orders.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <string>
#include <vector>

#include "engine/casefile/vehicle_of.h"
#include "engine/reasoning/ranking.h"
#include "tests/engine/providers/shaking_base.h"

using namespace perrev;

namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr double kLogSpan = 5.298317366548036;  // ln 200

std::size_t at(int i) { return static_cast<std::size_t>(i); }

double density(double x, double mean, double sd) {
  return std::exp(-0.5 * (x - mean) * (x - mean) / (sd * sd)) / (sd * std::sqrt(2.0 * kPi));
}

const RuleBase& base() {
  static const RuleBase made = perrev::testing::base_of_shakes();
  return made;
}

using perrev::testing::BayEntry;

CaseFacts facts_from(const std::vector<BayEntry>& told) {
  return perrev::testing::facts_from(base(), told);
}

// A rear-driven car at a satellite speed, with rpm read.
std::vector<BayEntry> car() {
  return {{"tire_size", {"225/60R16"}, "", {}},
          {"driven_axle", {"rear"}, "", {}},
          {"powertrain", {"engine"}, "", {}},
          {"axle_ratio", {"3.5"}, "", {}},
          {"worst_speed", {"65 mph"}, "", {{"by", "gps"}}},
          {"cylinders", {"four"}, "", {}},
          {"rpm_at_worst", {"40 Hz"}, "", {}}};
}

std::vector<BayEntry> car_with(const std::string& measured) {
  std::vector<BayEntry> told = car();
  told.push_back({"measured_frequency", {measured}, "", {}});
  return told;
}

std::vector<OrderLine> lines_of(const CaseFacts& facts) {
  const VehicleFacts vehicle = vehicle_of(base(), facts, 0);
  return order_lines(vehicle, rotations(vehicle, motion_of(base(), facts, 0)));
}

Estimate line_of(const std::vector<OrderLine>& lines, const std::string& source, double order) {
  for (const OrderLine& line : lines)
    if (line.source == source && std::abs(line.order - order) < 1e-9) return line.hz;
  return {};
}

double weight(const ProviderWeights& said, const std::string& id) {
  return said.by_cause[at(base().cause_index(id))];
}

std::string hz_text(double hz) { return std::to_string(hz) + " Hz"; }

}  // namespace

TEST_CASE("on the tire's first order the causes of that order gain, and nothing else does") {
  const std::vector<OrderLine> lines = lines_of(facts_from(car()));
  const Estimate tire = line_of(lines, "tire", 1), shaft = line_of(lines, "driveshaft", 1),
                 engine = line_of(lines, "engine", 2);
  REQUIRE(tire.mean > 10.0);
  const double f = std::round(tire.mean * 1e6) / 1e6;
  const OrdersProvider provider;
  const ProviderWeights said = provider.weigh(base(), facts_from(car_with(hz_text(f))), 0);
  CHECK(said.facts == std::vector<int>{base().fact_index("measured_frequency")});
  REQUIRE(said.by_cause.size() == base().causes.size());
  // One time in ten it is something else that was measured: log-uniform from 1 to 200 Hz.
  const double other = 1.0 / (f * kLogSpan);
  const auto fits = [&](double dens) { return std::log((0.9 * dens + 0.1 * other) / other); };
  const auto on = [&](const Estimate& line) {
    return density(f, line.mean, std::hypot(line.sd, reading_sd(line.mean)));
  };
  CHECK(weight(said, "tire_once") == doctest::Approx(fits(on(tire))).epsilon(1e-9));
  CHECK(weight(said, "tire_once") > std::log(10.0));  // more than ten decibans
  CHECK(weight(said, "tire_or_shaft") ==
        doctest::Approx(fits(0.7 * on(tire) + 0.3 * on(shaft))).epsilon(1e-9));
  CHECK(weight(said, "tire_or_shaft") < weight(said, "tire_once"));
  // The worst that a frequency can say of a cause is one time in ten.
  CHECK(weight(said, "tire_twice") == doctest::Approx(std::log(0.1)).epsilon(1e-6));
  CHECK(weight(said, "shaft_once") == doctest::Approx(fits(on(shaft))).epsilon(1e-9));
  CHECK(weight(said, "shaft_once") < 0.0);
  CHECK(weight(said, "tire_tread") == doctest::Approx(std::log(0.1)).epsilon(1e-6));
  CHECK(engine.mean == doctest::Approx(80.0).epsilon(1e-6));
  CHECK(weight(said, "engine_firing") < 0.0);
  for (std::size_t c = 0; c < said.by_cause.size(); ++c)
    CHECK(said.because[c].empty() == (said.by_cause[c] == 0.0));
  CHECK(said.because[0].find("lies on tire order 1") != std::string::npos);
  CHECK(said.because[1].find("does not lie on tire order 2") != std::string::npos);
}

TEST_CASE("each order has its own place") {
  const std::vector<OrderLine> lines = lines_of(facts_from(car()));
  struct Row {
    double hz;
    std::string best;
  };
  const std::vector<Row> rows = {
      {line_of(lines, "tire", 1).mean, "tire_once"},
      {line_of(lines, "tire", 2).mean, "tire_twice"},
      {line_of(lines, "driveshaft", 1).mean, "shaft_once"},
      {line_of(lines, "engine", 2).mean, "engine_firing"}};  // four cylinders fire twice a turn
  const OrdersProvider provider;
  for (const Row& row : rows) {
    CAPTURE(row.best);
    const ProviderWeights said = provider.weigh(base(), facts_from(car_with(hz_text(row.hz))), 0);
    for (std::size_t c = 0; c < base().causes.size(); ++c)
      if (base().causes[c].id != row.best) CHECK(said.by_cause[c] < weight(said, row.best));
    CHECK(weight(said, row.best) > 0.0);
  }
  // A tread's orders six to eight have a third of its probability each.
  const Estimate tire = line_of(lines, "tire", 1);
  const double f = std::round(tire.mean * 7.0 * 1e6) / 1e6, other = 1.0 / (f * kLogSpan);
  double dens = 0.0;
  for (const double order : {6.0, 7.0, 8.0})
    dens +=
        density(f, order * tire.mean, std::hypot(order * tire.sd, reading_sd(order * tire.mean))) /
        3.0;
  const ProviderWeights said = provider.weigh(base(), facts_from(car_with(hz_text(f))), 0);
  CHECK(weight(said, "tire_tread") ==
        doctest::Approx(std::log((0.9 * dens + 0.1 * other) / other)).epsilon(1e-9));
  CHECK(weight(said, "tire_tread") > 0.0);
}

TEST_CASE("as far above a line as below it weighs the same against what was measured") {
  const Estimate tire = line_of(lines_of(facts_from(car())), "tire", 1);
  const OrdersProvider provider;
  for (const double off : {0.05, 0.1, 0.2, 0.3}) {
    CAPTURE(off);
    // The distance from the line that the weight amounts to: what the base adds is taken out.
    const auto distance = [&](double f) {
      const double w =
          weight(provider.weigh(base(), facts_from(car_with(hz_text(f))), 0), "tire_once");
      const double other = 1.0 / (f * kLogSpan);
      const double dens = (std::exp(w) - 0.1) * other / 0.9;
      const double sd = std::hypot(tire.sd, reading_sd(tire.mean));
      return std::sqrt(-2.0 * std::log(dens * sd * std::sqrt(2.0 * kPi))) * sd;
    };
    CHECK(distance(tire.mean + off) == doctest::Approx(off).epsilon(1e-3));
    CHECK(distance(tire.mean - off) == doctest::Approx(off).epsilon(1e-3));
  }
}

TEST_CASE("several readings are sharper than one") {
  const Estimate tire = line_of(lines_of(facts_from(car())), "tire", 1);
  const CaseFacts one = facts_from(car_with(hz_text(tire.mean)));
  CaseFacts four = one;
  for (Reading& reading : four.rounds[0].readings)
    if (reading.fact == base().fact_index("measured_frequency"))
      reading.numbers.assign(4, reading.number);
  const OrdersProvider provider;
  CHECK(weight(provider.weigh(base(), four, 0), "tire_once") >
        weight(provider.weigh(base(), one, 0), "tire_once"));
}

TEST_CASE("what cannot be computed weighs nothing") {
  const OrdersProvider provider;
  const auto said = [&](const std::vector<BayEntry>& told) {
    return provider.weigh(base(), facts_from(told), 0);
  };
  CHECK(said(car()).facts.empty());  // nothing was measured
  CHECK(said(car_with("unsure")).facts.empty());
  // Without vehicle and speed there is no line at all.
  CHECK(said({{"measured_frequency", {"15 Hz"}, "", {}}}).facts.empty());
  const ProviderWeights full = said(car_with("15 Hz"));
  CHECK(weight(full, "loose_trim") == 0.0);
  CHECK(full.because[at(base().cause_index("loose_trim"))].empty());
  // Without the axle ratio there is no driveshaft line: nothing is said of causes that need it, not
  // even half.
  std::vector<BayEntry> told = car_with("15 Hz");
  told.erase(told.begin() + 3);
  const ProviderWeights partly = said(told);
  CHECK(weight(partly, "shaft_once") == 0.0);
  CHECK(weight(partly, "tire_or_shaft") == 0.0);
  CHECK(weight(partly, "tire_once") == doctest::Approx(weight(full, "tire_once")).epsilon(1e-9));
  // Without the cylinders no firing order.
  told = car_with("15 Hz");
  told.erase(told.begin() + 5);
  CHECK(weight(said(told), "engine_firing") == 0.0);
  // Without tires and speed the engine's own line stands.
  const ProviderWeights engine = said({{"powertrain", {"engine"}, "", {}},
                                       {"cylinders", {"four"}, "", {}},
                                       {"rpm_at_worst", {"40 Hz"}, "", {}},
                                       {"measured_frequency", {"80 Hz"}, "", {}}});
  CHECK(weight(engine, "tire_once") == 0.0);
  CHECK(weight(engine, "engine_firing") > 0.0);
}

TEST_CASE("the speed held while it was measured wins over the worst speed") {
  std::vector<BayEntry> told = car();
  const double f = line_of(lines_of(facts_from(car())), "tire", 1).mean;
  const OrdersProvider provider;
  told.push_back(
      {"measured_frequency", {hz_text(f * 50.0 / 65.0)}, "", {{"by", "gps"}, {"speed", "50 mph"}}});
  const ProviderWeights held = provider.weigh(base(), facts_from(told), 0);
  told.back().with.clear();
  const ProviderWeights not_held = provider.weigh(base(), facts_from(told), 0);
  CHECK(weight(held, "tire_once") > 2.0);
  CHECK(weight(not_held, "tire_once") < -1.0);
}

TEST_CASE("what a measurement could show sums to one, and is what the weights say of it") {
  const OrdersProvider provider;
  const int frequency = base().fact_index("measured_frequency"),
            variable = base().facts[at(frequency)].first_variable;
  const ProviderTable table = provider.expect(base(), facts_from(car()), variable);
  REQUIRE(!table.base.empty());
  const auto sum = [](const std::vector<double>& row) {
    return std::accumulate(row.begin(), row.end(), 0.0);
  };
  CHECK(sum(table.base) == doctest::Approx(1.0).epsilon(1e-12));
  REQUIRE(table.by_cause.size() == base().causes.size());
  for (std::size_t c = 0; c < table.by_cause.size(); ++c) {
    CAPTURE(base().causes[c].id);
    CHECK(table.by_cause[c].empty() == base().causes[c].shakes.empty());
    if (table.by_cause[c].empty()) continue;
    REQUIRE(table.by_cause[c].size() == table.base.size());
    CHECK(sum(table.by_cause[c]) == doctest::Approx(1.0).epsilon(1e-9));
    for (const double p : table.by_cause[c]) CHECK(p > 0.0);
    // The band that the cause favours most holds one of its lines: measured there, it gains.
    const auto most = std::max_element(table.by_cause[c].begin(), table.by_cause[c].end()) -
                      table.by_cause[c].begin();
    const double bands = static_cast<double>(table.base.size());
    const double middle = std::pow(200.0, (static_cast<double>(most) + 0.5) / bands);
    CHECK(provider.weigh(base(), facts_from(car_with(hz_text(middle))), 0).by_cause[c] > 0.0);
  }
  CHECK(provider.expect(base(), facts_from({}), variable).base.empty());
}

TEST_CASE("a frequency on the tire's first order puts its cause first") {
  const OrdersProvider provider;
  const Reasoner reasoner(base(), {&provider});
  const double f = line_of(lines_of(facts_from(car())), "tire", 1).mean;
  const CaseFacts facts = facts_from(car_with(hz_text(f)));
  const Ranking before = rank(reasoner, facts_from(car())), after = rank(reasoner, facts);
  const int tire = base().cause_index("tire_once");
  CHECK(after.causes.front().cause == tire);
  CHECK(after.of(tire).probability > 2.0 * before.of(tire).probability);
  // To the digit: the odds against not_listed move by the weight.
  CHECK(after.log_odds[at(tire)] - before.log_odds[at(tire)] ==
        doctest::Approx(weight(provider.weigh(base(), facts, 0), "tire_once")).epsilon(1e-12));
}
