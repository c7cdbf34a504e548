#include "engine/recording/order_track.h"

#include <doctest/doctest.h>

#include <cmath>
#include <complex>
#include <numbers>

#include "engine/physics/drive_signal.h"
#include "engine/recording/resampling.h"
#include "tests/engine/recording/made_up_drive.h"

using namespace perrev;

namespace {

constexpr double kPerMetre = 0.5, kForce = 200.0, kPhase = 0.7;

QuarterCar car() { return {350.0, 40.0, 22000.0, 190000.0, 1400.0}; }

// A wheel that pushes with one force all along, from below the wheel's hop to above it.
EvenBlock through_resonance() {
  Drive drive;
  drive.car = car();
  drive.faults = {{1.0, kPerMetre, kPhase, [](double) { return kForce; }}};
  drive.speed = [](double time) { return 12.0 + 22.0 * time / 60.0; };
  drive.sample_rate = 200.0;
  drive.samples = 12000;
  const DriveSignal signal = drive_signal(drive);
  EvenBlock block;
  block.rate = drive.sample_rate;
  block.acceleration[2] = signal.acceleration;
  block.speed = signal.speed;
  return block;
}

OrderTracker tracked(const std::vector<EvenBlock>& blocks, std::size_t most = 1'000'000) {
  OrderTracker tracker(Domain::road, 30.0, 16.0 / kPerMetre, most);
  Resampler resampler(Domain::road, 30.0, 3.0, [&](const EvenBlock& out) { tracker.take(out); });
  for (const EvenBlock& block : blocks) resampler.take(block);
  return tracker;
}

}  // namespace

// Against the quarter car's own response (engine/physics/quarter_car.h, which scipy checks).
TEST_CASE("amplitude and phase of an order follow the car through its resonance") {
  const Track track = tracked(cut(through_resonance(), 1000)).track(kPerMetre);
  CHECK(track.bandwidth == doctest::Approx(1.5 * kPerMetre / 16.0).epsilon(0.02));
  REQUIRE(track.points.size() >= 20);
  double turned = 0.0, last = 0.0;
  for (const TrackPoint& point : track.points) {
    INFO(point.speed << " m/s");
    CHECK(point.hz == doctest::Approx(kPerMetre * point.speed).epsilon(1e-6));
    const std::complex<double> response = kForce * body_per_force(car(), point.hz);
    CHECK(point.amplitude[2] == doctest::Approx(std::abs(response)).epsilon(0.03));
    const double off = std::arg(std::polar(1.0, point.phase[2] - kPhase) *
                                std::conj(response / std::abs(response)));
    CHECK(std::abs(off) < 0.1);
    CHECK(point.noise < 0.05 * std::abs(response));
    if (&point != &track.points.front()) turned += std::arg(std::polar(1.0, point.phase[2] - last));
    last = point.phase[2];
  }
  // Between 6 and 17 Hz the wheel's hop takes more than a quarter of a turn.
  CHECK(turned < -0.5 * std::numbers::pi);
}

TEST_CASE("a gap is not bridged: amplitudes stay, phases are those of the longest stretch") {
  std::vector<EvenBlock> blocks = cut(through_resonance(), 1000);
  blocks.erase(blocks.begin() + 3);
  blocks[3].goes_on = false;
  for (const TrackPoint& point : tracked(blocks).track(kPerMetre).points) {
    INFO(point.speed << " m/s");
    CHECK(point.amplitude[2] ==
          doctest::Approx(kForce * std::abs(body_per_force(car(), point.hz))).epsilon(0.05));
  }
}

TEST_CASE("what does not fit is not kept") {
  const OrderTracker all = tracked(cut(through_resonance(), 1000));
  const OrderTracker some = tracked(cut(through_resonance(), 1000), 10'000);
  CHECK(!all.full());
  CHECK(some.full());
  CHECK(some.kept_to() == doctest::Approx(10'000 / 30.0).epsilon(0.05));
}
