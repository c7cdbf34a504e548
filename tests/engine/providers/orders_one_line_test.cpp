// What a frequency, how fast it feels and a counted swelling say of one line together.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "engine/casefile/vehicle_of.h"
#include "engine/knowledge/computed.h"
#include "engine/providers/orders.h"
#include "tests/engine/providers/shaking_base.h"

using namespace perrev;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

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

TEST_CASE("a cause may not be spoken of by rules where it is computed") {
  const int frequency = base().fact_index("measured_frequency"),
            felt = base().fact_index("how_fast"), beat = base().fact_index("beat_period");
  const int shakes = base().cause_index("tire_once"), none = base().cause_index("loose_trim");
  for (const int fact : {felt, beat}) {
    CAPTURE(fact);
    CHECK(computation_of(base(), fact, shakes));
    CHECK_FALSE(computation_of(base(), fact, none));
    CHECK_FALSE(computation_of(base(), fact, base().nothing_left()));
  }
  CHECK_FALSE(computation_of(base(), base().fact_index("worst_speed"), shakes));
  std::vector<int> owned = {frequency, felt, beat};
  std::sort(owned.begin(), owned.end());
  CHECK(OrdersProvider().facts(base()) == owned);
}

TEST_CASE("how fast it feels speaks of every cause that shakes, the vehicle known or not") {
  const OrdersProvider provider;
  for (const bool known : {true, false}) {
    CAPTURE(known);
    const auto said = [&](const std::string& answer) {
      std::vector<BayEntry> told = known ? car() : std::vector<BayEntry>{};
      told.push_back({"how_fast", {answer}, "", {}});
      return provider.weigh(base(), facts_from(told), 0);
    };
    CHECK(weight(said("slow_as_wheel"), "tire_once") > 0.5);
    CHECK(weight(said("slow_as_wheel"), "shaft_once") < -0.5);
    CHECK(weight(said("two_three_times_wheel"), "tire_twice") > 0.5);
    CHECK(weight(said("as_shaft"), "shaft_once") > 0.5);
    CHECK(weight(said("as_shaft"), "tire_once") < -0.5);
    CHECK(weight(said("as_engine"), "engine_firing") > 0.5);
    CHECK(weight(said("as_engine"), "tire_once") < -0.5);
    CHECK(weight(said("sound_only"), "tire_tread") > 0.5);
    CHECK(weight(said("sound_only"), "tire_once") < -0.5);
    CHECK(weight(said("as_shaft"), "loose_trim") == 0.0);
    CHECK(said("as_shaft").facts == std::vector<int>{base().fact_index("how_fast")});
    CHECK(said("unsure").facts.empty());
  }
}

// Two orders of one cause: a frequency on the first and "as fast as a shaft" cannot both be about
// one line, though each alone fits one.
TEST_CASE("a frequency and how fast it feels are about one line") {
  const OrdersProvider provider;
  const Estimate tire = line_of(lines_of(facts_from(car())), "tire", 1);
  const auto said = [&](const std::vector<BayEntry>& more) {
    std::vector<BayEntry> told = car();
    told.insert(told.end(), more.begin(), more.end());
    return weight(provider.weigh(base(), facts_from(told), 0), "tire_or_shaft");
  };
  const BayEntry hz{"measured_frequency", {hz_text(tire.mean)}, "", {}};
  const BayEntry slow{"how_fast", {"slow_as_wheel"}, "", {}},
      fast{"how_fast", {"as_shaft"}, "", {}};
  CHECK(said({hz, fast}) < said({hz}) + said({fast}) - 0.5);
  CHECK(said({hz, slow}) > said({hz}) + said({slow}));
}

TEST_CASE("two peaks are held against the lines each, not their median") {
  const OrdersProvider provider;
  const std::vector<OrderLine> lines = lines_of(facts_from(car()));
  const double one = line_of(lines, "tire", 1).mean, shaft = line_of(lines, "driveshaft", 1).mean;
  std::vector<BayEntry> told = car();
  told.push_back({"measured_frequency", {hz_text(one), hz_text(shaft)}, "", {}});
  const ProviderWeights said = provider.weigh(base(), facts_from(told), 0);
  CHECK(weight(said, "tire_once") > 1.0);
  CHECK(weight(said, "shaft_once") > 1.0);
  CHECK(weight(said, "tire_or_shaft") > weight(said, "tire_once"));  // both peaks, one cause
  CHECK(weight(said, "tire_twice") == doctest::Approx(std::log(0.1)).epsilon(0.01));
  CHECK(said.because[at(base().cause_index("tire_once"))].find("2 peaks") != std::string::npos);
}

TEST_CASE("a counted swelling speaks of tires of unequal size most") {
  const OrdersProvider provider;
  const auto said = [&](const std::string& period) {
    std::vector<BayEntry> told = car();
    told.push_back({"beat_period", {period}, "", {}});
    return provider.weigh(base(), facts_from(told), 0);
  };
  // 0.5 % at 65 mph on this tire: 14.2 s.
  CHECK(weight(said("14 s"), "mismatched_tires_beating") > weight(said("14 s"), "tire_once"));
  CHECK(weight(said("14 s"), "tire_once") > 0.0);
  CHECK(weight(said("0.5 s"), "mismatched_tires_beating") < -1.0);
  CHECK(weight(said("14 s"), "loose_trim") == 0.0);
}
