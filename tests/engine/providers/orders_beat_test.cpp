// How long from one swelling to the next.
#include "engine/providers/orders_beat.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <string>
#include <vector>

#include "tests/engine/providers/shaking_base.h"
#include "tests/engine/reasoning/lcg.h"

using namespace perrev;
using perrev::testing::Lcg;
using perrev::testing::shaking_rules;

namespace {

VehicleFacts car() {
  VehicleFacts out;
  out.front_tire = out.rear_tire = parse_tire("205/55R16").value();
  out.driven_axle = DrivenAxle::rear;
  out.axle_ratio = 3.05;
  return out;
}

RoundLines round_at(double kmh, double axle_ratio) {
  VehicleFacts vehicle = car();
  vehicle.axle_ratio = axle_ratio;
  Motion motion;
  motion.speed = kmh / 3.6;
  motion.by = SpeedSource::gps;
  return {vehicle, order_lines(vehicle, rotations(vehicle, motion)), std::nullopt};
}

std::vector<double> bands(const CauseLine& line, const RoundLines& round, double kmh,
                          const std::vector<Estimate>& differences, bool by_size = true) {
  static const BeatFact fact = beat_fact(shaking_rules());
  const std::vector<FeltMoment> moments = {felt_moment(round.vehicle, kmh / 3.6, std::nullopt)};
  return BeatModel(fact, round, moments, differences).bands(line, by_size);
}

CauseLine tire_line() { return {"tire", 1.0, 0.0, 1.0, std::nullopt}; }

double sum(const std::vector<double>& row) { return std::accumulate(row.begin(), row.end(), 0.0); }

std::size_t band_of(double period) { return beat_fact(shaking_rules()).band_of(period); }

std::size_t most_gained(const std::vector<double>& row) {
  const std::vector<double> rates = beat_fact(shaking_rules()).base;
  std::size_t most = 0;
  for (std::size_t b = 1; b < row.size(); ++b)
    if (row[b] / rates[b] > row[most] / rates[most]) most = b;
  return most;
}

}  // namespace

TEST_CASE("the bands are those of the base rates, low end included") {
  const BeatFact fact = beat_fact(shaking_rules());
  CHECK(fact.edges == std::vector<double>{0.2, 1, 2, 5, 8, 15, 25, 60, 120});
  CHECK(sum(fact.base) == doctest::Approx(1.0).epsilon(1e-12));
  CHECK(fact.base[2] == doctest::Approx(0.20));
  struct Row {
    double period;
    std::size_t band;
  };
  for (const Row& row : {Row{0.2, 0}, Row{0.99, 0}, Row{1.0, 1}, Row{7.9, 3}, Row{8.0, 4},
                         Row{60.0, 7}, Row{120.0, 7}})
    CHECK(fact.band_of(row.period) == row.band);
}

TEST_CASE("what a line would show sums to one, and nothing is out of the question") {
  Lcg random(23);
  const std::vector<std::string> sources = {"tire", "driveshaft", "engine"};
  for (int i = 0; i < 300; ++i) {
    const double kmh = random.real(0.0, 160.0);
    const RoundLines round = round_at(kmh, random.real(2.5, 5.0));
    CauseLine line{random.pick(sources), 1.0 * random.between(1, 3), 0.0, 1.0, std::nullopt};
    if (random.chance(0.7)) line.hz = Estimate{random.real(2.0, 90.0), random.real(0.1, 2.0)};
    std::vector<Estimate> differences;
    for (int k = random.between(0, 3); k > 0; --k)
      differences.push_back({random.real(-0.02, 0.02), random.real(0.001, 0.01)});
    const std::vector<double> row = bands(line, round, kmh, differences, random.chance(0.5));
    REQUIRE(sum(row) == doctest::Approx(1.0).epsilon(1e-9));
    for (const double p : row) REQUIRE(p > 0.0);
  }
}

TEST_CASE("the band of an answer is as likely where all others are taken together") {
  Lcg random(29);
  const BeatFact fact = beat_fact(shaking_rules());
  for (int i = 0; i < 200; ++i) {
    const double kmh = random.real(20.0, 160.0), period = random.real(0.2, 120.0);
    const RoundLines round = round_at(kmh, random.real(2.5, 5.0));
    const std::vector<FeltMoment> moments = {felt_moment(round.vehicle, kmh / 3.6, std::nullopt)};
    const BeatFact around = fact.around(period);
    REQUIRE(around.edges.size() == around.base.size() + 1);
    REQUIRE(around.base.size() <= 3);
    const std::size_t band = fact.band_of(period), same = around.band_of(period);
    REQUIRE(around.base[same] == fact.base[band]);
    REQUIRE(sum(around.base) == doctest::Approx(1.0).epsilon(1e-12));
    CauseLine line{random.chance(0.5) ? "tire" : "driveshaft", 1.0, 0.0, 1.0, std::nullopt};
    line.hz = Estimate{random.real(2.0, 90.0), random.real(0.1, 2.0)};
    const std::vector<Estimate> differences = {{random.real(-0.02, 0.02), 0.003}};
    REQUIRE(BeatModel(around, round, moments, differences).bands(line, false)[same] ==
            doctest::Approx(BeatModel(fact, round, moments, differences).bands(line, false)[band])
                .epsilon(1e-12));
  }
}

// 0.1 to 2 % at 14.4 Hz: 3.5 to 69 s; 0.5 % is 13.9 s (recomputed).
TEST_CASE("two tires of nearly one size swell in 3.5 to 69 seconds at 100 km/h") {
  const RoundLines round = round_at(100.0, 3.05);
  const std::vector<double> row = bands(tire_line(), round, 100.0, {}),
                            rates = beat_fact(shaking_rules()).base;
  for (const double period : {6.0, 13.9, 20.0, 40.0}) {
    CAPTURE(period);
    CHECK(row[band_of(period)] > rates[band_of(period)]);
  }
  for (const double period : {0.5, 1.5}) {
    CAPTURE(period);
    CHECK(row[band_of(period)] == doctest::Approx(0.15 * rates[band_of(period)]).epsilon(1e-9));
  }
  // A cause that is not the difference of size is moved less by it.
  const std::vector<double> fault = bands(tire_line(), round, 100.0, {}, false);
  CHECK(fault[0] > row[0]);
  CHECK(fault[band_of(13.9)] < row[band_of(13.9)]);
}

TEST_CASE("slower, the same two wheels take longer") {
  const auto mean_band = [&](double kmh) {
    const std::vector<double> row = bands(tire_line(), round_at(kmh, 3.05), kmh, {});
    double out = 0.0;
    for (std::size_t b = 0; b < row.size(); ++b) out += static_cast<double>(b) * row[b];
    return out;
  };
  double before = mean_band(150.0);
  for (const double kmh : {120.0, 90.0, 60.0, 40.0}) {
    CHECK(mean_band(kmh) > before);
    before = mean_band(kmh);
  }
}

TEST_CASE("measured wheels say in which band to expect it") {
  const RoundLines round = round_at(100.0, 3.05);
  struct Row {
    double difference, period;
  };
  for (const Row& row : {Row{0.018, 3.9}, Row{0.010, 6.9}, Row{-0.010, 6.9}, Row{0.005, 13.9}}) {
    CAPTURE(row.difference);
    CHECK(most_gained(bands(tire_line(), round, 100.0, {{row.difference, 0.0005}})) ==
          band_of(row.period));
  }
}

TEST_CASE("two parts beat where their lines lie near one another, else nothing is said") {
  // The driveshaft against the tire's third order: 0.02 x 14.4 Hz is 0.29 Hz, 3.5 s.
  const auto shaft = [](const RoundLines& round) {
    CauseLine line{"driveshaft", 1.0, 0.0, 1.0, std::nullopt};
    for (const OrderLine& one : round.lines)
      if (one.source == "driveshaft" && one.order == 1.0) line.hz = one.hz;
    return line;
  };
  const RoundLines near = round_at(100.0, 3.02), far = round_at(100.0, 3.5);
  REQUIRE(shaft(near).hz.has_value());
  CHECK(most_gained(bands(shaft(near), near, 100.0, {})) == band_of(3.5));
  const BeatFact fact = beat_fact(shaking_rules());
  const std::vector<double> row = bands(shaft(far), far, 100.0, {});  // 7 Hz apart: no swelling
  for (std::size_t b = 0; b < row.size(); ++b)
    CHECK(row[b] == doctest::Approx(fact.base[b]).epsilon(1e-9));
  // A line that cannot be computed.
  const std::vector<double> none =
      bands({"driveshaft", 1.0, 0.0, 1.0, std::nullopt}, near, 100.0, {});
  CHECK(none == fact.base);
}

TEST_CASE("treads read at two wheels are compared, those of one wheel are not; a tape wins") {
  using perrev::testing::BayEntry;
  const auto differences = [](std::vector<BayEntry> told) {
    told.push_back({"tire_size", {"205/55R16"}, "all", {}});
    return wheel_differences(shaking_rules(), perrev::testing::facts_from(shaking_rules(), told),
                             0);
  };
  const BayEntry left{"tread_depth", {"7 mm"}, "left_front", {}};
  const BayEntry right{"tread_depth", {"5 mm"}, "right_front", {}};
  const BayEntry rear{"tread_depth", {"5 mm"}, "left_rear", {}};
  CHECK(differences({}).empty());
  CHECK(differences({left}).empty());
  const std::vector<Estimate> two = differences({left, right});
  REQUIRE(two.size() == 1);
  CHECK(two[0].mean == doctest::Approx(0.0038).epsilon(0.02));  // 0.6 x 2 x 2 mm on 632 mm
  CHECK(differences({left, right, rear}).size() == 3);
  const std::vector<Estimate> compared =
      differences({left, right, {"circumference_difference", {"1.1 %"}, "", {}}});
  REQUIRE(compared.size() == 1);
  CHECK(compared[0].mean == doctest::Approx(0.011));
}
