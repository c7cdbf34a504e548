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
using namespace perrev::testing;

TEST_CASE("a cause may not be spoken of by rules where it is computed") {
  const int frequency = shaking_rules().fact_index("measured_frequency"),
            felt = shaking_rules().fact_index("how_fast"),
            beat = shaking_rules().fact_index("beat_period");
  const int shakes = shaking_rules().cause_index("tire_once"),
            none = shaking_rules().cause_index("loose_trim");
  for (const int fact : {felt, beat}) {
    CAPTURE(fact);
    CHECK(computation_of(shaking_rules(), fact, shakes));
    CHECK_FALSE(computation_of(shaking_rules(), fact, none));
    CHECK_FALSE(computation_of(shaking_rules(), fact, shaking_rules().nothing_left()));
  }
  CHECK_FALSE(computation_of(shaking_rules(), shaking_rules().fact_index("worst_speed"), shakes));
  std::vector<int> owned = {frequency, felt, beat};
  std::sort(owned.begin(), owned.end());
  CHECK(OrdersProvider().facts(shaking_rules()) == owned);
}

TEST_CASE("how fast it feels speaks of every cause that shakes, the vehicle known or not") {
  const OrdersProvider provider;
  for (const bool known : {true, false}) {
    CAPTURE(known);
    const auto said = [&](const std::string& answer) {
      std::vector<BayEntry> told = known ? rear_driven_car() : std::vector<BayEntry>{};
      told.push_back({"how_fast", {answer}, "", {}});
      return provider.weigh(shaking_rules(), facts_from(told), 0);
    };
    CHECK(weight_of(said("slow_as_wheel"), "tire_once") > 0.5);
    CHECK(weight_of(said("slow_as_wheel"), "shaft_once") < -0.5);
    CHECK(weight_of(said("two_three_times_wheel"), "tire_twice") > 0.5);
    CHECK(weight_of(said("as_shaft"), "shaft_once") > 0.5);
    CHECK(weight_of(said("as_shaft"), "tire_once") < -0.5);
    CHECK(weight_of(said("as_engine"), "engine_firing") > 0.5);
    CHECK(weight_of(said("as_engine"), "tire_once") < -0.5);
    CHECK(weight_of(said("sound_only"), "tire_tread") > 0.5);
    CHECK(weight_of(said("sound_only"), "tire_once") < -0.5);
    CHECK(weight_of(said("as_shaft"), "loose_trim") == 0.0);
    CHECK(said("as_shaft").facts == std::vector<int>{shaking_rules().fact_index("how_fast")});
    CHECK(said("unsure").facts.empty());
  }
}

// Two orders of one cause: a frequency on the first and "as fast as a shaft" cannot both be about
// one line, though each alone fits one.
TEST_CASE("a frequency and how fast it feels are about one line") {
  const OrdersProvider provider;
  const Estimate tire = line_of(lines_of(facts_from(rear_driven_car())), "tire", 1);
  const auto said = [&](const std::vector<BayEntry>& more) {
    std::vector<BayEntry> told = rear_driven_car();
    told.insert(told.end(), more.begin(), more.end());
    return weight_of(provider.weigh(shaking_rules(), facts_from(told), 0), "tire_or_shaft");
  };
  const BayEntry hz{"measured_frequency", {hz_text(tire.mean)}, "", {}};
  const BayEntry slow{"how_fast", {"slow_as_wheel"}, "", {}},
      fast{"how_fast", {"as_shaft"}, "", {}};
  CHECK(said({hz, fast}) < said({hz}) + said({fast}) - 0.5);
  CHECK(said({hz, slow}) > said({hz}) + said({slow}));
}

TEST_CASE("two peaks are held against the lines each, not their median") {
  const OrdersProvider provider;
  const std::vector<OrderLine> lines = lines_of(facts_from(rear_driven_car()));
  const double one = line_of(lines, "tire", 1).mean, shaft = line_of(lines, "driveshaft", 1).mean;
  std::vector<BayEntry> told = rear_driven_car();
  told.push_back({"measured_frequency", {hz_text(one), hz_text(shaft)}, "", {}});
  const ProviderWeights said = provider.weigh(shaking_rules(), facts_from(told), 0);
  CHECK(weight_of(said, "tire_once") > 1.0);
  CHECK(weight_of(said, "shaft_once") > 1.0);
  CHECK(weight_of(said, "tire_or_shaft") > weight_of(said, "tire_once"));  // both peaks, one cause
  CHECK(weight_of(said, "tire_twice") == doctest::Approx(std::log(0.1)).epsilon(0.01));
  CHECK(provider
            .because(shaking_rules(), facts_from(told), 0, shaking_rules().cause_index("tire_once"))
            .find("2 peaks") != std::string::npos);
}

TEST_CASE("a counted swelling speaks of tires of unequal size most") {
  const OrdersProvider provider;
  const auto said = [&](const std::string& period) {
    std::vector<BayEntry> told = rear_driven_car();
    told.push_back({"beat_period", {period}, "", {}});
    return provider.weigh(shaking_rules(), facts_from(told), 0);
  };
  // 0.5 % at 65 mph on this tire: 14.2 s.
  CHECK(weight_of(said("14 s"), "mismatched_tires_beating") > weight_of(said("14 s"), "tire_once"));
  CHECK(weight_of(said("14 s"), "tire_once") > 0.0);
  CHECK(weight_of(said("0.5 s"), "mismatched_tires_beating") < -1.0);
  CHECK(weight_of(said("14 s"), "loose_trim") == 0.0);
}
