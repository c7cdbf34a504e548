// What a person says of how fast a line shakes.
#include "engine/providers/orders_feel.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <string>
#include <vector>

#include "tests/engine/providers/shaking_base.h"
#include "tests/engine/reasoning/lcg.h"

using namespace perrev;
using perrev::testing::Lcg;

namespace {

double share(const FeltShares& shares, FeltRate rate) {
  return shares[static_cast<std::size_t>(rate)];
}

FeltRate likeliest(const FeltShares& shares) {
  return static_cast<FeltRate>(std::max_element(shares.begin(), shares.end()) - shares.begin());
}

VehicleFacts car() {
  VehicleFacts out;
  out.front_tire = out.rear_tire = parse_tire("225/60R16").value();
  out.axle_ratio = 3.7;
  out.cylinders = 4;
  return out;
}

const std::vector<std::string>& sources() {
  static const std::vector<std::string> all = {"tire",   "driveshaft", "front_driveshaft",
                                               "engine", "accessory",  "motor_rotor"};
  return all;
}

std::vector<FeltMoment> moments_of(const RuleBase& base, const CaseFacts& facts) {
  return felt_moments(base, VehicleFactIndices(base), facts.rounds[0], VehicleFacts(),
                      UsualTurns());
}

}  // namespace

TEST_CASE("what people say of a line sums to one") {
  Lcg random(11);
  for (int i = 0; i < 2000; ++i) {
    VehicleFacts vehicle = random.chance(0.5) ? car() : VehicleFacts();
    if (random.chance(0.5)) vehicle.gear_ratio = random.real(0.6, 4.0);
    std::optional<double> engine_hz;
    if (random.chance(0.5)) engine_hz = random.real(5.0, 100.0);
    const FeltMoment moment = felt_moment(vehicle, random.real(0.0, 60.0), engine_hz);
    const FeltShares shares = felt_as(random.pick(sources()), random.real(0.5, 20.0),
                                      random.chance(0.5) ? 0.25 : 0.0, moment);
    REQUIRE(std::accumulate(shares.begin(), shares.end(), 0.0) ==
            doctest::Approx(1.0).epsilon(1e-12));
    for (const double p : shares) REQUIRE(p >= 0.0);
  }
}

// All from memory; speeds in km/h.
TEST_CASE("the usual line of each answer") {
  struct Row {
    const char* source;
    double order, speed, engine_hz;
    FeltRate said;
  };
  const Row rows[] = {
      {"tire", 1.0, 100.0, 0.0, FeltRate::wheel},         // 13 Hz
      {"tire", 1.0, 20.0, 0.0, FeltRate::wheel},          // 3 Hz
      {"tire", 2.0, 80.0, 0.0, FeltRate::twice},          // 22 Hz
      {"tire", 3.0, 40.0, 0.0, FeltRate::twice},          // 16 Hz, a tripod joint pulling away
      {"driveshaft", 1.0, 100.0, 0.0, FeltRate::shaft},   // 50 Hz
      {"driveshaft", 2.0, 50.0, 0.0, FeltRate::shaft},    // 50 Hz
      {"driveshaft", 2.0, 150.0, 0.0, FeltRate::sound},   // 150 Hz
      {"engine", 2.0, 100.0, 40.0, FeltRate::engine},     // firing
      {"engine", 0.5, 0.0, 12.0, FeltRate::engine},       // a misfire standing
      {"motor_rotor", 1.0, 100.0, 0.0, FeltRate::sound},  // 121 Hz
      {"tire", 12.0, 100.0, 0.0, FeltRate::sound},        // hot spots, 160 Hz
  };
  for (const Row& row : rows) {
    CAPTURE(row.source);
    CAPTURE(row.order);
    CAPTURE(row.speed);
    const FeltMoment moment =
        felt_moment(car(), row.speed / 3.6,
                    row.engine_hz > 0.0 ? std::optional<double>(row.engine_hz) : std::nullopt);
    CHECK(likeliest(felt_as(row.source, row.order, 0.0, moment)) == row.said);
  }
}

TEST_CASE("the higher the order the faster it is called, and the more it is a sound") {
  const FeltMoment moment = felt_moment(car(), 90.0 / 3.6, 35.0);
  for (const std::string& source : sources()) {
    CAPTURE(source);
    double slow = 1.0, sound = 0.0;
    for (double order = 0.5; order <= 16.0; order *= 1.1) {
      const FeltShares shares = felt_as(source, order, 0.0, moment);
      CHECK(share(shares, FeltRate::wheel) <= slow);
      CHECK(share(shares, FeltRate::sound) >= sound);
      slow = share(shares, FeltRate::wheel);
      sound = share(shares, FeltRate::sound);
    }
    CHECK(slow < 0.01);
    CHECK(sound > 0.2);
  }
}

TEST_CASE("only what turns with an engine or whines like one is known by its sound") {
  const FeltMoment moment = felt_moment(car(), 90.0 / 3.6, 35.0);
  for (const std::string& source : sources()) {
    CAPTURE(source);
    const double known = share(felt_as(source, 1.0, 0.0, moment), FeltRate::engine);
    const bool sounds = source == "engine" || source == "accessory" || source == "motor_rotor";
    CHECK((known > 0.0) == sounds);
  }
}

TEST_CASE("less known of the vehicle, less is said") {
  VehicleFacts known = car(), unknown = car();
  known.axle_ratio = 3.6;  // what a typical vehicle has
  unknown.axle_ratio.reset();
  const auto shaft = [](const VehicleFacts& vehicle) {
    return felt_as("driveshaft", 1.0, 0.0, felt_moment(vehicle, 70.0 / 3.6, std::nullopt));
  };
  CHECK(share(shaft(unknown), FeltRate::shaft) < share(shaft(known), FeltRate::shaft));
  CHECK(likeliest(shaft(unknown)) == FeltRate::shaft);
}

TEST_CASE("moments: each by its share, and all of them where no speed is known") {
  const std::vector<FeltMoment> two = {felt_moment(car(), 10.0, std::nullopt),
                                       felt_moment(car(), 30.0, std::nullopt)};
  std::vector<FeltMoment> mixed = two;
  mixed[0].share = 0.3;
  mixed[1].share = 0.7;
  const FeltShares one = felt_as("tire", 2.0, 0.0, two[0]),
                   other = felt_as("tire", 2.0, 0.0, two[1]),
                   both = FeltSource("tire", 0.0, mixed).shares(2.0);
  for (std::size_t a = 0; a < kFeltRates; ++a)
    CHECK(both[a] == doctest::Approx(0.3 * one[a] + 0.7 * other[a]).epsilon(1e-12));
}

TEST_CASE("it is felt at the worst speed, else where the frequency was read, else at any speed") {
  using perrev::testing::BayEntry;
  static const RuleBase base = perrev::testing::base_of_shakes();
  const auto moments = [](const std::vector<BayEntry>& told) {
    return moments_of(base, perrev::testing::facts_from(base, told));
  };
  const BayEntry worst{"worst_speed", {"100 km/h"}, "", {}},
      rpm{"rpm_at_worst", {"2400 rpm"}, "", {}};
  const BayEntry read{
      "measured_frequency", {"14 Hz"}, "", {{"speed", "50 km/h"}, {"rpm", "1800 rpm"}}};
  const auto wheel = [&](const std::vector<BayEntry>& told) {
    const std::vector<FeltMoment> all = moments(told);
    REQUIRE(all.size() == 1);
    return all[0].wheel.value;
  };
  // A wheel turns about once in two metres.
  CHECK(wheel({worst}) == doctest::Approx(13.9).epsilon(0.01));
  CHECK(wheel({worst, read}) == wheel({worst}));
  CHECK(wheel({read}) == doctest::Approx(0.5 * wheel({worst})));
  CHECK(moments({worst, rpm, read})[0].engine.value == doctest::Approx(40.0));
  CHECK(moments({worst, read})[0].engine.spread > 0.0);  // 1800 rpm were at another speed
  CHECK(moments({read})[0].engine.value == doctest::Approx(30.0));
  double all = 0.0;
  const std::vector<FeltMoment> any = moments({});
  for (const FeltMoment& moment : any) all += moment.share;
  CHECK(any.size() == 2);  // the bands of the base rates
  // Of a simulated answer only the band is known.
  CaseFacts banded = perrev::testing::facts_from(base, {worst});
  for (Reading& reading : banded.rounds[0].readings) reading.numbers.clear();
  const std::vector<FeltMoment> middle = moments_of(base, banded);
  REQUIRE(middle.size() == 1);
  CHECK(middle[0].wheel.value == doctest::Approx(125.0 / 3.6 / 2.0));  // 0 to 250 km/h
  CHECK(all == doctest::Approx(1.0).epsilon(1e-12));
}

TEST_CASE("the answers are found by their names, in any order; other answers are not computed") {
  const RuleBase base = perrev::testing::base_of_shakes();
  const FeltFact found = felt_fact(base);
  REQUIRE(found.fact == base.fact_index("how_fast"));
  const Fact& fact = base.facts[static_cast<std::size_t>(found.fact)];
  CHECK(fact.answers[found.answers[static_cast<std::size_t>(FeltRate::wheel)]].id ==
        "slow_as_wheel");
  CHECK(fact.answers[found.answers[static_cast<std::size_t>(FeltRate::sound)]].id == "sound_only");
  RuleBase other = base;
  other.facts[static_cast<std::size_t>(found.fact)].answers[0].id = "like_a_shaft";
  CHECK(felt_fact(other).fact == -1);
}
