// Recordings of made-up drives, from rows to the part that shakes.
#include "engine/bench/recording_trial.h"

#include <doctest/doctest.h>

#include "tests/engine/bench/shipped_simulator.h"

using namespace perrev;
using perrev::testing::simulator;

namespace {

#if defined(PERREV_PLAIN_LOOPS)  // sanitizers look at memory, not at shares
constexpr std::size_t kDrives = 15;
#else
constexpr std::size_t kDrives = 45;
#endif
constexpr double kRate = 400.0;  // Hz

std::vector<RecordingTrial> trials(std::uint64_t seed, std::size_t count, double low_db,
                                   double high_db) {
  std::vector<RecordingTrial> out;
  for (std::uint64_t i = 0; out.size() < count; ++i)
    if (const auto trial = try_recording(simulator(), seed, i, {low_db, high_db, kRate}))
      out.push_back(*trial);
  return out;
}

}  // namespace

// The bounds are wide for so few; docs/simulated.md has the figures of many.
TEST_CASE("the part that shakes comes first, and a drive without a fault claims nothing") {
  const RecordingScore score = recording_score(trials(5, kDrives, 8.0, 20.0));
  CHECK(score.right >= 0.85);
  CHECK(score.in_three >= 0.9);
  CHECK(score.silent >= 0.85);
  CHECK(score.amplitude_rms < 0.08);
  CHECK(score.hz_within >= 0.95);
  CHECK(score.order_within >= 0.95);
}

TEST_CASE("the same seed and number give the same trial") {
  const auto one = try_recording(simulator(), 9, 4, {});
  const auto again = try_recording(simulator(), 9, 4, {});
  REQUIRE(one.has_value() == again.has_value());
  if (!one) return;
  CHECK(one->found == again->found);
  CHECK(one->amplitude == again->amplitude);
}

TEST_CASE("a tone far below the road is not claimed") {
  const RecordingScore score = recording_score(trials(6, 12, -25.0, -20.0));
  CHECK(score.seen < 0.2);
}
