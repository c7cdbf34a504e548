// What chance does to the ends of readings that scatter.
#include "engine/shopmath/extremes.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "tests/engine/shopmath/trials.h"

using namespace perrev;

namespace {

struct EndCoverage {
  testing::Coverage spread, lowest;
};

EndCoverage ends_covered(std::uint64_t seed, const std::vector<double>& truth, double sd) {
  testing::Trials random(seed);
  EndCoverage out;
  const double low = *std::min_element(truth.begin(), truth.end());
  const double high = *std::max_element(truth.begin(), truth.end());
  for (int i = 0; i < testing::kTrials; ++i) {
    std::vector<double> readings;
    for (const double value : truth) readings.push_back(value + random.normal(sd));
    out.spread.add(spread_of(readings, {sd, std::nullopt}), high - low);
    out.lowest.add(lowest_of(readings, {sd, std::nullopt}), low);
  }
  return out;
}

}  // namespace

TEST_CASE("highest less lowest holds the truth in 95 % where the ends stand clear") {
  const EndCoverage clear = ends_covered(3, {0.0, 1.0, 3.0, 2.0, -1.0, -3.0, -1.5, 0.5}, 0.1);
  testing::check_holds(clear.spread);
  testing::check_holds(clear.lowest);
}

TEST_CASE("highest less lowest holds the truth at least as often where many are near the ends") {
  for (const std::vector<double>& truth : {std::vector<double>(8, 1.0),
                                           std::vector<double>(36, 2.0),
                                           {0, 1, 1, 0, 0, 1, 1, 0},
                                           {0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7}}) {
    const EndCoverage near = ends_covered(5, truth, 0.1);
    CAPTURE(truth.size());
    testing::check_holds_at_least(near.spread);
    testing::check_holds_at_least(near.lowest);
  }
}
