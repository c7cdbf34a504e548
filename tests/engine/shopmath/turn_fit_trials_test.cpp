// How often the intervals of a harmonic fit hold what is true.
#include <doctest/doctest.h>

#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/turn_fit.h"
#include "tests/engine/shopmath/shapes.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;
using testing::even_places, testing::random_shape, testing::readings_of, testing::Shape,
    testing::uneven_places;

namespace {

struct FitCoverage {
  testing::Coverage mean, amount, place;
  std::vector<testing::Coverage> x, y;
};

// As many harmonics as the fit takes by itself for so many readings.
FitCoverage covered(std::uint64_t seed, std::size_t count, std::size_t harmonics, bool even,
                    std::optional<double> known) {
  testing::Trials random(seed);
  FitCoverage out;
  out.x.resize(harmonics);
  out.y.resize(harmonics);
  const double sd = 0.01;
  for (int trial = 0; trial < testing::kTrials; ++trial) {
    const Shape shape = random_shape(random, 0.4, harmonics);
    const auto angles = even ? even_places(count) : uneven_places(random, count);
    const auto fit = fit_turn({readings_of(shape, angles, random, sd),
                               even ? std::vector<double>{} : angles,
                               {0.0, known.value_or(0.0)},
                               std::nullopt});
    REQUIRE(fit.ok());
    if (fit->harmonics.size() != harmonics) continue;  // uneven places settle fewer now and then
    out.mean.add(fit->mean, shape.mean);
    for (std::size_t k = 0; k < harmonics; ++k) {
      out.x[k].add(fit->harmonics[k].vector.x(), shape.harmonics[k].real());
      out.y[k].add(fit->harmonics[k].vector.y(), shape.harmonics[k].imag());
    }
    const Harmonic& first = fit->harmonics.front();
    out.amount.add(first.peak_to_peak(), 0.8);
    const double off = std::remainder(first.high_place() - angle_of(shape.harmonics[0]), kTurn);
    out.place.add({0.0, -first.high_half_width(), first.high_half_width()}, off);
  }
  return out;
}

void check_all_hold(const FitCoverage& coverage) {
  testing::check_holds(coverage.mean);
  testing::check_holds(coverage.amount);
  testing::check_holds(coverage.place);
  for (std::size_t k = 0; k < coverage.x.size(); ++k) {
    CAPTURE(k);
    testing::check_holds(coverage.x[k]);
    testing::check_holds(coverage.y[k]);
  }
}

}  // namespace

TEST_CASE("components, mean, amount and high place hold the truth in 95 %: known scatter") {
  SUBCASE("4 readings") { check_all_hold(covered(21, 4, 1, true, 0.01)); }
  SUBCASE("8 readings") { check_all_hold(covered(22, 8, 2, true, 0.01)); }
  SUBCASE("36 readings") { check_all_hold(covered(23, 36, 4, true, 0.01)); }
  SUBCASE("12 at uneven places") { check_all_hold(covered(24, 12, 3, false, 0.01)); }
}

TEST_CASE("components, mean, amount and high place hold the truth in 95 %: learned scatter") {
  SUBCASE("8 readings") { check_all_hold(covered(31, 8, 2, true, std::nullopt)); }
  SUBCASE("12 readings") { check_all_hold(covered(32, 12, 3, true, std::nullopt)); }
  SUBCASE("24 at uneven places") { check_all_hold(covered(33, 24, 4, false, std::nullopt)); }
}

TEST_CASE("four readings with learned scatter: components hold the truth in 95 %") {
  testing::Trials random(41);
  testing::Coverage x, y;
  for (int i = 0; i < testing::kTrials; ++i) {
    const Shape shape = random_shape(random, 0.4, 1);
    const auto fit = fit_turn({readings_of(shape, even_places(4), random, 0.01)});
    x.add(fit->harmonics[0].vector.x(), shape.harmonics[0].real());
    y.add(fit->harmonics[0].vector.y(), shape.harmonics[0].imag());
  }
  testing::check_holds(x);
  testing::check_holds(y);
}
