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
using namespace perrev::testing;

namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr double kLogSpan = 5.298317366548036;  // ln 200

std::size_t at(int i) { return static_cast<std::size_t>(i); }

double density(double x, double mean, double sd) {
  return std::exp(-0.5 * (x - mean) * (x - mean) / (sd * sd)) / (sd * std::sqrt(2.0 * kPi));
}

std::vector<BayEntry> car_with(const std::string& measured) {
  std::vector<BayEntry> told = rear_driven_car();
  told.push_back({"measured_frequency", {measured}, "", {}});
  return told;
}

}  // namespace

TEST_CASE("on the tire's first order the causes of that order gain, and nothing else does") {
  const std::vector<OrderLine> lines = lines_of(facts_from(rear_driven_car()));
  const Estimate tire = line_of(lines, "tire", 1), shaft = line_of(lines, "driveshaft", 1),
                 engine = line_of(lines, "engine", 2);
  REQUIRE(tire.mean > 10.0);
  const double f = std::round(tire.mean * 1e6) / 1e6;
  const OrdersProvider provider;
  const CaseFacts facts = facts_from(car_with(hz_text(f)));
  const ProviderWeights said = provider.weigh(shaking_rules(), facts, 0);
  CHECK(said.facts == std::vector<int>{shaking_rules().fact_index("measured_frequency")});
  REQUIRE(said.by_cause.size() == shaking_rules().causes.size());
  // One time in ten it is something else that was measured: log-uniform from 1 to 200 Hz.
  const double other = 1.0 / (f * kLogSpan);
  const auto fits = [&](double dens) { return std::log((0.9 * dens + 0.1 * other) / other); };
  const auto on = [&](const Estimate& line) {
    return density(f, line.mean, std::hypot(line.sd, reading_sd(line.mean)));
  };
  CHECK(weight_of(said, "tire_once") == doctest::Approx(fits(on(tire))).epsilon(1e-9));
  CHECK(weight_of(said, "tire_once") > std::log(10.0));  // more than ten decibans
  CHECK(weight_of(said, "tire_or_shaft") ==
        doctest::Approx(fits(0.7 * on(tire) + 0.3 * on(shaft))).epsilon(1e-9));
  CHECK(weight_of(said, "tire_or_shaft") < weight_of(said, "tire_once"));
  // The worst that a frequency can say of a cause is one time in ten.
  CHECK(weight_of(said, "tire_twice") == doctest::Approx(std::log(0.1)).epsilon(1e-6));
  CHECK(weight_of(said, "shaft_once") == doctest::Approx(fits(on(shaft))).epsilon(1e-9));
  CHECK(weight_of(said, "shaft_once") < 0.0);
  CHECK(weight_of(said, "tire_tread") == doctest::Approx(std::log(0.1)).epsilon(1e-6));
  CHECK(engine.mean == doctest::Approx(80.0).epsilon(1e-6));
  CHECK(weight_of(said, "engine_firing") < 0.0);
  const auto because = [&](std::size_t c) {
    return provider.because(shaking_rules(), facts, 0, static_cast<int>(c));
  };
  for (std::size_t c = 0; c < said.by_cause.size(); ++c)
    CHECK(because(c).empty() == (said.by_cause[c] == 0.0));
  CHECK(because(0).find("lies on tire order 1") != std::string::npos);
  CHECK(because(1).find("does not lie on tire order 2") != std::string::npos);
}

TEST_CASE("each order has its own place") {
  const std::vector<OrderLine> lines = lines_of(facts_from(rear_driven_car()));
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
    const ProviderWeights said =
        provider.weigh(shaking_rules(), facts_from(car_with(hz_text(row.hz))), 0);
    for (std::size_t c = 0; c < shaking_rules().causes.size(); ++c)
      if (shaking_rules().causes[c].id != row.best)
        CHECK(said.by_cause[c] < weight_of(said, row.best));
    CHECK(weight_of(said, row.best) > 0.0);
  }
  // A tread's orders six to eight have a third of its probability each.
  const Estimate tire = line_of(lines, "tire", 1);
  const double f = std::round(tire.mean * 7.0 * 1e6) / 1e6, other = 1.0 / (f * kLogSpan);
  double dens = 0.0;
  for (const double order : {6.0, 7.0, 8.0})
    dens +=
        density(f, order * tire.mean, std::hypot(order * tire.sd, reading_sd(order * tire.mean))) /
        3.0;
  const ProviderWeights said = provider.weigh(shaking_rules(), facts_from(car_with(hz_text(f))), 0);
  CHECK(weight_of(said, "tire_tread") ==
        doctest::Approx(std::log((0.9 * dens + 0.1 * other) / other)).epsilon(1e-9));
  CHECK(weight_of(said, "tire_tread") > 0.0);
}

TEST_CASE("as far above a line as below it weighs the same against what was measured") {
  const Estimate tire = line_of(lines_of(facts_from(rear_driven_car())), "tire", 1);
  const OrdersProvider provider;
  for (const double off : {0.05, 0.1, 0.2, 0.3}) {
    CAPTURE(off);
    // The distance from the line that the weight amounts to: what the base adds is taken out.
    const auto distance = [&](double f) {
      const double w = weight_of(
          provider.weigh(shaking_rules(), facts_from(car_with(hz_text(f))), 0), "tire_once");
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
  const Estimate tire = line_of(lines_of(facts_from(rear_driven_car())), "tire", 1);
  const CaseFacts one = facts_from(car_with(hz_text(tire.mean)));
  CaseFacts four = one;
  for (Reading& reading : four.rounds[0].readings)
    if (reading.fact == shaking_rules().fact_index("measured_frequency"))
      reading.numbers.assign(4, reading.number);
  const OrdersProvider provider;
  CHECK(weight_of(provider.weigh(shaking_rules(), four, 0), "tire_once") >
        weight_of(provider.weigh(shaking_rules(), one, 0), "tire_once"));
}

TEST_CASE("what cannot be computed weighs nothing") {
  const OrdersProvider provider;
  const auto said = [&](const std::vector<BayEntry>& told) {
    return provider.weigh(shaking_rules(), facts_from(told), 0);
  };
  CHECK(said(rear_driven_car()).facts.empty());  // nothing was measured
  CHECK(said(car_with("unsure")).facts.empty());
  // Without vehicle and speed there is no line at all.
  CHECK(said({{"measured_frequency", {"15 Hz"}, "", {}}}).facts.empty());
  const ProviderWeights full = said(car_with("15 Hz"));
  CHECK(weight_of(full, "loose_trim") == 0.0);
  CHECK(provider
            .because(shaking_rules(), facts_from(car_with("15 Hz")), 0,
                     shaking_rules().cause_index("loose_trim"))
            .empty());
  // Without tires and speed the engine's own line stands.
  const ProviderWeights engine = said({{"powertrain", {"engine"}, "", {}},
                                       {"cylinders", {"four"}, "", {}},
                                       {"rpm_at_worst", {"40 Hz"}, "", {}},
                                       {"measured_frequency", {"80 Hz"}, "", {}}});
  CHECK(weight_of(engine, "tire_once") == 0.0);
  CHECK(weight_of(engine, "engine_firing") > 0.0);
}

TEST_CASE("what of the vehicle is not known goes by typical vehicles, with their spread") {
  const OrdersProvider provider;
  const auto without = [](const std::string& fact, std::vector<BayEntry> told) {
    std::erase_if(told, [&](const BayEntry& entry) { return entry.fact == fact; });
    return told;
  };
  const auto said = [&](const std::vector<BayEntry>& told, const std::string& cause) {
    return weight_of(provider.weigh(shaking_rules(), facts_from(told), 0), cause);
  };
  // Without the axle ratio: at the usual one the shaft gains, less than where its own lies there.
  const double wheel = line_of(lines_of(facts_from(rear_driven_car())), "tire", 1).mean;
  const std::vector<BayEntry> at_usual = car_with(hz_text(3.6 * wheel)),
                              at_tire = car_with(hz_text(wheel));
  const double usual = said(without("axle_ratio", at_usual), "shaft_once");
  CHECK(usual > 0.5);
  CHECK(usual < said(car_with(hz_text(3.5 * wheel)), "shaft_once") - 0.5);
  CHECK(said(without("axle_ratio", at_tire), "shaft_once") < -1.0);
  CHECK(said(without("axle_ratio", at_tire), "tire_once") ==
        doctest::Approx(said(at_tire, "tire_once")).epsilon(1e-9));
  // Without the tire: typical wheels at that speed.
  const double typical = said(without("tire_size", at_tire), "tire_once");
  CHECK(typical > 0.5);
  CHECK(typical < said(at_tire, "tire_once"));
  CHECK(said(without("tire_size", at_tire), "tire_twice") < -1.0);
  // Without the cylinders: on the second order of four of them, as most engines have.
  CHECK(said(without("cylinders", car_with("80 Hz")), "engine_firing") > 0.0);
  CHECK(said(without("cylinders", at_tire), "engine_firing") < -1.0);
  // Without any speed: nothing.
  const std::vector<BayEntry> parked = without("worst_speed", without("axle_ratio", at_usual));
  CHECK(said(parked, "shaft_once") == 0.0);
  CHECK(said(parked, "tire_once") == 0.0);
}

TEST_CASE("the speed held while it was measured wins over the worst speed") {
  std::vector<BayEntry> told = rear_driven_car();
  const double f = line_of(lines_of(facts_from(rear_driven_car())), "tire", 1).mean;
  const OrdersProvider provider;
  told.push_back(
      {"measured_frequency", {hz_text(f * 50.0 / 65.0)}, "", {{"by", "gps"}, {"speed", "50 mph"}}});
  const ProviderWeights held = provider.weigh(shaking_rules(), facts_from(told), 0);
  told.back().with.clear();
  const ProviderWeights not_held = provider.weigh(shaking_rules(), facts_from(told), 0);
  CHECK(weight_of(held, "tire_once") > 2.0);
  CHECK(weight_of(not_held, "tire_once") < -1.0);
}

TEST_CASE("what a measurement could show sums to one, and is what the weights say of it") {
  const OrdersProvider provider;
  const int frequency = shaking_rules().fact_index("measured_frequency"),
            variable = shaking_rules().facts[at(frequency)].first_variable;
  const ProviderTable table =
      provider.expect(shaking_rules(), facts_from(rear_driven_car()), variable);
  REQUIRE(!table.base.empty());
  const auto sum = [](const std::vector<double>& row) {
    return std::accumulate(row.begin(), row.end(), 0.0);
  };
  CHECK(sum(table.base) == doctest::Approx(1.0).epsilon(1e-12));
  REQUIRE(table.by_cause.size() == shaking_rules().causes.size());
  for (std::size_t c = 0; c < table.by_cause.size(); ++c) {
    CAPTURE(shaking_rules().causes[c].id);
    CHECK(table.by_cause[c].empty() == shaking_rules().causes[c].shakes.empty());
    if (table.by_cause[c].empty()) continue;
    REQUIRE(table.by_cause[c].size() == table.base.size());
    CHECK(sum(table.by_cause[c]) == doctest::Approx(1.0).epsilon(1e-9));
    for (const double p : table.by_cause[c]) CHECK(p > 0.0);
    // The band that the cause favours most holds one of its lines: measured there, it gains.
    const auto most = std::max_element(table.by_cause[c].begin(), table.by_cause[c].end()) -
                      table.by_cause[c].begin();
    const double bands = static_cast<double>(table.base.size());
    const double middle = std::pow(200.0, (static_cast<double>(most) + 0.5) / bands);
    CHECK(provider.weigh(shaking_rules(), facts_from(car_with(hz_text(middle))), 0).by_cause[c] >
          0.0);
  }
  CHECK(provider.expect(shaking_rules(), facts_from({}), variable).base.empty());
}

TEST_CASE("a frequency on the tire's first order puts its cause first") {
  const OrdersProvider provider;
  const Reasoner reasoner(shaking_rules(), {&provider});
  const double f = line_of(lines_of(facts_from(rear_driven_car())), "tire", 1).mean;
  const CaseFacts facts = facts_from(car_with(hz_text(f)));
  const Ranking before = rank(reasoner, facts_from(rear_driven_car())),
                after = rank(reasoner, facts);
  const int tire = shaking_rules().cause_index("tire_once");
  CHECK(after.causes.front().cause == tire);
  CHECK(after.of(tire).probability > 2.0 * before.of(tire).probability);
  // To the digit: the odds against not_listed move by the weight.
  CHECK(after.log_odds[at(tire)] - before.log_odds[at(tire)] ==
        doctest::Approx(weight_of(provider.weigh(shaking_rules(), facts, 0), "tire_once"))
            .epsilon(1e-12));
}
