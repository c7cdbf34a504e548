// Match mounting: a worked vector sum, laws, and what 95 % intervals hold.
#include "engine/shopmath/match_mount.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <numbers>

#include "engine/quantity/angle.h"
#include "tests/engine/shopmath/estimates.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;
using testing::read_as;

namespace {

MatchTerms rim_in_metres(double limit) {
  MatchTerms terms;
  terms.read = MatchRead::rim_runout;
  terms.limit = limit;
  return terms;
}

// 90 N at 70 degrees on a rim of 0.30 mm at 200 degrees.
TurnedParts worked_example() {
  return parts_read_apart(read_as(vector_at(0.30e-3, 200.0 * kDegree), 0.01e-3),
                          read_as(vector_at(90.0, 70.0 * kDegree), 2.0));
}

}  // namespace

TEST_CASE("tire and rim add as vectors, and part best with high place on low") {
  // By hand: 90 at 70 deg and 200 N/mm times 0.30 mm at 200 deg.
  const MatchTerms terms = rim_in_metres(53.0);
  const TurnedParts force = as_force(worked_example(), terms);
  const Match match = match_mount(worked_example(), terms);
  CHECK(std::abs(match.now.value - 68.98) < 0.01);
  CHECK(std::abs(angle_of(force.sum_at(0.0).value) / kDegree - 111.79) < 0.01);
  CHECK(match.best.value == doctest::Approx(30.0).epsilon(1e-12));
  CHECK(match.worst.value == doctest::Approx(150.0).epsilon(1e-12));
  CHECK(match.turn / kDegree == doctest::Approx(-50.0).epsilon(1e-12));
  CHECK(match.gain == doctest::Approx(38.98).epsilon(1e-3));
  // Over all turns the mean square is that of both: 108.2 N.
  double squares = 0.0;
  for (int i = 0; i < 360; ++i) squares += std::norm(force.sum_at(i * kDegree).value) / 360.0;
  CHECK(std::sqrt(squares) == doctest::Approx(108.2).epsilon(1e-3));
}

TEST_CASE(
    "no turn reads less than the best or more than the worst, and the best turn is the best") {
  testing::Trials random(9);
  for (int i = 0; i < 300; ++i) {
    const Vector rim(random.even(-80, 80), random.even(-80, 80));
    const Vector tire(random.even(-80, 80), random.even(-80, 80));
    const TurnedParts parts = parts_read_apart(read_as(rim, 1.0), read_as(tire, 1.0));
    const Match match = match_mount(parts, {});
    CHECK(parts.sum_at(match.turn).value.real() ==
          doctest::Approx((rim + tire * vector_at(1.0, match.turn)).real()));
    CHECK(std::abs(std::abs(parts.sum_at(match.turn).value) - match.best.value) < 1e-9);
    for (int k = 0; k < 36; ++k) {
      const double read = std::abs(rim + tire * vector_at(1.0, 10.0 * k * kDegree));
      CHECK(read >= match.best.value - 1e-9);
      CHECK(read <= match.worst.value + 1e-9);
    }
    CHECK(match.turn > -std::numbers::pi - 1e-12);
    CHECK(match.turn <= std::numbers::pi + 1e-12);
  }
}

TEST_CASE("the turn counts from where the tire is now") {
  MatchTerms terms = rim_in_metres(53.0);
  terms.mounted_at = std::numbers::pi;
  const Match match = match_mount(worked_example(), terms);
  CHECK(match.turn / kDegree == doctest::Approx(130.0).epsilon(1e-12));  // -50 less 180
  // 60 at 200 deg and 90 at 250 deg: sqrt(60^2 + 90^2 + 2 60 90 cos 50 deg), by hand.
  CHECK(match.now.value == doctest::Approx(136.54).epsilon(1e-4));
  CHECK(match.best.value == doctest::Approx(30.0).epsilon(1e-12));
}

TEST_CASE("stiffness moves what is left, and never the best turn") {
  const Match match = match_mount(worked_example(), rim_in_metres(53.0));
  // |90 - k 0.30| at 150, 200 and 280 N/mm: 45, 30, 6 (by hand).
  CHECK(match.by_stiffness.low == doctest::Approx(6.0).epsilon(1e-9));
  CHECK(match.by_stiffness.value == doctest::Approx(30.0).epsilon(1e-9));
  CHECK(match.by_stiffness.high == doctest::Approx(45.0).epsilon(1e-9));
  MatchTerms stiff = rim_in_metres(53.0);
  stiff.stiffness = {320e3, 280e3, 360e3};  // 84 to 108 N of rim: meets the tire's 90 between
  const Match met = match_mount(worked_example(), stiff);
  CHECK(met.by_stiffness.low == 0.0);
  CHECK(met.by_stiffness.high == doctest::Approx(18.0).epsilon(1e-9));
  CHECK(met.turn == doctest::Approx(match.turn).epsilon(1e-12));
  // Both as runout: one stiffness scales all of it.
  MatchTerms both = rim_in_metres(53.0);
  both.read = MatchRead::both_runout;
  const TurnedParts runouts =
      parts_read_apart(read_as({0.3e-3, 0.0}, 1e-6), read_as({0.0, 0.5e-3}, 1e-6));
  const Match scaled = match_mount(runouts, both);
  CHECK(scaled.best.value == doctest::Approx(40.0).epsilon(1e-9));
  CHECK(scaled.by_stiffness.low == doctest::Approx(30.0).epsilon(1e-9));
  CHECK(scaled.by_stiffness.high == doctest::Approx(56.0).epsilon(1e-9));
  CHECK(scaled.turn_half_width < 1.0 * kDegree);
}

TEST_CASE("the labour is worth what it gains over the limit and over a new seating") {
  struct Row {
    const char* what;
    double rim, tire, apart, limit, interaction;  // N and degrees
    MatchWorth worth;
  };
  const Row rows[] = {
      {"within as it is", 20, 25, 180, 53, 30, MatchWorth::not_needed},
      {"high on high, equal parts, precision wheel", 50, 52, 0, 53, 10, MatchWorth::will_help},
      {"high on high, equal parts, seating may spoil it", 50, 60, 0, 40, 30, MatchWorth::may_help},
      {"the tire alone is too much", 20, 120, 0, 53, 30, MatchWorth::falls_short},
      {"gains less than a seating moves", 40, 70, 130, 53, 30, MatchWorth::drowned},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    MatchTerms terms;
    terms.limit = row.limit;
    terms.interaction = row.interaction;
    const TurnedParts parts = parts_read_apart(
        read_as({row.rim, 0.0}, 0.5), read_as(vector_at(row.tire, row.apart * kDegree), 0.5));
    const Match match = match_mount(parts, terms);
    CHECK(match.worth == row.worth);
    CHECK(match.afterwards.value >= row.interaction);
    CHECK(match.afterwards.high >= match.best.value + row.interaction);
  }
}

TEST_CASE("seatings of any direction scatter in each component by their root mean square") {
  testing::Trials random(12);
  double squares = 0.0;
  for (int i = 0; i < 100000; ++i)
    squares +=
        std::pow(vector_at(30.0, random.even(0.0, kTurn)).real() + random.normal(4.0), 2) / 100000;
  CHECK(mounting_scatter(30.0, 4.0).sd == doctest::Approx(std::sqrt(squares)).epsilon(0.01));
}

TEST_CASE("an assembly that was read counts as it was read, not as its parts come to") {
  const TurnedParts parts = parts_read_apart(read_as({60.0, 0.0}, 1.0), read_as({20.0, 0.0}, 1.0));
  MatchTerms terms;
  terms.limit = 55.0;
  CHECK(match_mount(parts, terms).worth == MatchWorth::may_help);
  terms.read_now = Interval{50.0, 45.0, 55.0};
  const Match match = match_mount(parts, terms);
  CHECK(match.worth == MatchWorth::not_needed);
  CHECK(match.now.high == 55.0);
  CHECK(match.gain == doctest::Approx(10.0));
}

TEST_CASE("a part that is not there leaves the turn unknown") {
  const Match match =
      match_mount(parts_read_apart(read_as({0.0, 0.0}, 1.0), read_as({60.0, 0.0}, 1.0)), {});
  CHECK(match.turn_half_width == std::numbers::pi);
  CHECK(match.gain == 0.0);
}

TEST_CASE("95 % intervals of tire and rim hold from mountings of the tire alone") {
  struct Set {
    const char* name;
    std::vector<double> degrees;
    CountedFrom from;
    bool learned;
  };
  const Set sets[] = {
      {"before and after half a turn, known", {0, 180}, CountedFrom::staying, false},
      {"an eighth, known, from the tire", {0, 45}, CountedFrom::turning, false},
      {"three mountings, learned", {0, 120, 240}, CountedFrom::staying, true},
      {"four, uneven, learned", {0, 50, 180, 200}, CountedFrom::turning, true}};
  testing::Trials random(31);
  const Scatter known{3.0, std::nullopt};
  for (const Set& set : sets) {
    CAPTURE(set.name);
    std::array<testing::Coverage, 4> held;
    for (int i = 0; i < testing::kTrials; ++i) {
      const Vector rim = vector_at(random.even(20, 100), random.even(0.0, 6.0));
      const Vector tire = vector_at(random.even(20, 100), random.even(0.0, 6.0));
      std::vector<TurnedReading> readings;
      for (const double degrees : set.degrees) {
        const Vector turn = vector_at(1.0, degrees * kDegree);
        Vector read = rim + tire * turn + Vector(random.normal(3.0), random.normal(3.0));
        if (set.from == CountedFrom::turning) read /= turn;
        readings.push_back({degrees * kDegree, read});
      }
      const auto parts = split_turned(readings, set.from,
                                      set.learned ? std::nullopt : std::optional<Scatter>(known));
      REQUIRE(parts.ok());
      held[0].add(parts->staying().x(), rim.real());
      held[1].add(parts->staying().y(), rim.imag());
      held[2].add(parts->turning().x(), tire.real());
      held[3].add(parts->turning().y(), tire.imag());
    }
    for (const testing::Coverage& coverage : held) testing::check_holds(coverage);
  }
}

TEST_CASE("95 % intervals of now, best, worst and turn hold where parts hang together") {
  // Amounts are not linear: parts are 40 standard deviations long, so that bending counts for
  // little, and no turn is near where they cancel.
  testing::Trials random(101);
  const Scatter known{1.0, std::nullopt};
  testing::Coverage now, best, worst, turn, at_x, at_y;
  for (int i = 0; i < testing::kTrials; ++i) {
    const Vector rim = vector_at(random.even(40, 60), random.even(0.0, 6.0));
    const Vector tire = rim * vector_at(random.even(1.5, 2.0), random.even(-1.5, 1.5));
    std::vector<TurnedReading> readings;
    for (const double degrees : {0.0, 60.0})
      readings.push_back({degrees * kDegree, rim + tire * vector_at(1.0, degrees * kDegree) +
                                                 Vector(random.normal(1.0), random.normal(1.0))});
    const auto parts = split_turned(readings, CountedFrom::staying, known);
    REQUIRE(parts.ok());
    const Match match = match_mount(*parts, {});
    now.add(match.now, std::abs(rim + tire));
    best.add(match.best, std::abs(std::abs(tire) - std::abs(rim)));
    worst.add(match.worst, std::abs(tire) + std::abs(rim));
    const double truth = std::arg(-rim / tire);
    turn.add({0.0, -match.turn_half_width, match.turn_half_width},
             std::remainder(truth - match.turn, kTurn));
    at_x.add(parts->sum_at(2.0).x(), (rim + tire * vector_at(1.0, 2.0)).real());
    at_y.add(parts->sum_at(2.0).y(), (rim + tire * vector_at(1.0, 2.0)).imag());
  }
  for (const testing::Coverage& coverage : {now, best, worst, turn, at_x, at_y})
    testing::check_holds(coverage);
}

TEST_CASE("95 % intervals hold with the stiffness as unsure as it is said to be") {
  testing::Trials random(33);
  for (const MatchRead read : {MatchRead::rim_runout, MatchRead::both_runout}) {
    const bool both = read == MatchRead::both_runout;
    testing::Coverage rim_x, rim_y, tire_x, tire_y, sum_x, sum_y;
    for (int i = 0; i < testing::kTrials; ++i) {
      const double stiffness = 200e3 + random.normal(20e3);
      const Vector rim = vector_at(random.even(0.2e-3, 0.6e-3), random.even(0.0, 6.0));
      const Vector tire =
          vector_at((both ? 5e-6 : 1.0) * random.even(50, 100), random.even(0.0, 6.0));
      const double rim_sd = 0.01e-3, tire_sd = both ? 0.01e-3 : 2.0;
      const TurnedParts parts = parts_read_apart(
          read_as(rim + Vector(random.normal(rim_sd), random.normal(rim_sd)), rim_sd),
          read_as(tire + Vector(random.normal(tire_sd), random.normal(tire_sd)), tire_sd));
      MatchTerms terms;
      terms.read = read;
      terms.stiffness = {200e3, 200e3 - 1.96 * 20e3, 200e3 + 1.96 * 20e3};
      const TurnedParts force = as_force(parts, terms);
      const Vector rim_force = rim * stiffness, tire_force = both ? tire * stiffness : tire;
      rim_x.add(force.staying().x(), rim_force.real());
      rim_y.add(force.staying().y(), rim_force.imag());
      tire_x.add(force.turning().x(), tire_force.real());
      tire_y.add(force.turning().y(), tire_force.imag());
      sum_x.add(force.sum_at(0.0).x(), (rim_force + tire_force).real());
      sum_y.add(force.sum_at(0.0).y(), (rim_force + tire_force).imag());
    }
    for (const testing::Coverage& coverage : {rim_x, rim_y, tire_x, tire_y, sum_x, sum_y})
      testing::check_holds(coverage);
  }
}
