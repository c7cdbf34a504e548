// Laws of felt curves, over all kinds of faults, bodies and places.
#include "engine/physics/felt_curve.h"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "tests/engine/physics/shipped_physics.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

const std::vector<double>& speeds() {
  static const std::vector<double> all = {3.0, 8.0, 14.0, 20.0, 26.0, 30.0, 38.0};
  return all;
}

FaultAt fault_of_kind(int kind) {
  FaultAt out;
  out.kind = static_cast<FaultKind>(kind);
  out.size = 20.0 * si_per_unit(out.kind);
  out.turns_per_metre = 0.5;
  out.order = 2.0;
  return out;
}

}  // namespace

TEST_CASE("what a fault pushes with, and what arrives, grows in proportion to its size") {
  for (int body = 0; body < static_cast<int>(shipped_physics().bodies.size()); ++body) {
    const FeltModel model(shipped_physics(), body);
    for (int kind = 0; kind < kFaultKinds; ++kind) {
      if (static_cast<FaultKind>(kind) == FaultKind::joint_angle) continue;  // its square counts
      for (const double speed : speeds()) {
        CAPTURE(kind);
        CAPTURE(speed);
        FaultAt fault = fault_of_kind(kind);
        const FeltPoint once = model.at(fault, speed);
        fault.size *= 3.0;
        const FeltPoint thrice = model.at(fault, speed);
        double most = 0.0;
        for (std::size_t p = 0; p < once.pushes.size(); ++p) {
          CHECK(thrice.pushes[p] == doctest::Approx(3.0 * once.pushes[p]).epsilon(1e-12));
          most = std::max(most, once.pushes[p]);
        }
        CHECK(most > 0.0);
        for (std::size_t p = 0; p < once.places.size(); ++p) {
          const FeltAtPlace &a = once.places[p], &b = thrice.places[p];
          CHECK(b.acceleration == doctest::Approx(3.0 * a.acceleration).epsilon(1e-12));
          CHECK(b.just_felt == a.just_felt);
          if (a.weighted > 0.0)
            CHECK(b.level_db - a.level_db == doctest::Approx(20.0 * std::log10(3.0)));
          CHECK(b.probability >= a.probability);
          CHECK(b.probability <= 1.0);
        }
        CHECK(thrice.probability >= once.probability);
      }
    }
  }
}

TEST_CASE("the rougher the road, the less is felt of the same fault") {
  PhysicsBook rough = shipped_physics();
  rough.road.roughness *= 8.0;
  const FeltModel smooth_model(shipped_physics(), 0), rough_model(rough, 0);
  const FaultAt fault = fault_of_kind(0);
  for (const double speed : speeds())
    for (const FeltPlace place : {FeltPlace::seat, FeltPlace::floor, FeltPlace::steering_wheel}) {
      CAPTURE(speed);
      const std::size_t p = static_cast<std::size_t>(place);
      const FeltAtPlace on_smooth = smooth_model.at(fault, speed).places[p],
                        on_rough = rough_model.at(fault, speed).places[p];
      CHECK(on_rough.acceleration == on_smooth.acceleration);
      CHECK(on_rough.just_felt > on_smooth.just_felt);
      CHECK(on_rough.probability < on_smooth.probability);
    }
}

TEST_CASE("a front wheel is felt more in the steering wheel, a rear one in the seat") {
  const FeltModel car(shipped_physics(), 0);
  FaultAt fault = fault_of_kind(0);
  fault.order = 1.0;
  for (const double speed : {22.0, 27.0, 31.0}) {
    CAPTURE(speed);
    fault.front = true;
    const FeltPoint front = car.at(fault, speed);
    fault.front = false;
    const FeltPoint rear = car.at(fault, speed);
    const std::size_t wheel = static_cast<std::size_t>(FeltPlace::steering_wheel),
                      seat = static_cast<std::size_t>(FeltPlace::seat);
    CHECK(front.places[wheel].level_db > rear.places[wheel].level_db + 6.0);
    CHECK(front.places[seat].level_db < rear.places[seat].level_db);
    CHECK(front.places[wheel].level_db > front.places[seat].level_db);
    CHECK(rear.places[seat].level_db > rear.places[wheel].level_db);
  }
}

// Without noise of the road, a tone of exactly the threshold is felt by half of the people: the
// definition of the threshold (ISO 2631-1:1997, Annex C).
TEST_CASE("in quiet, half of the people feel the threshold") {
  PhysicsBook quiet = shipped_physics();
  quiet.road.roughness = 0.0;
  const FeltModel model(quiet, 0);
  FaultAt fault = fault_of_kind(0);
  const FeltPoint once = model.at(fault, 25.0);
  const std::size_t seat = static_cast<std::size_t>(FeltPlace::seat);
  fault.size *= once.places[seat].just_felt / once.places[seat].weighted;
  const FeltAtPlace felt = model.at(fault, 25.0).places[seat];
  CHECK(felt.weighted == doctest::Approx(0.0106).epsilon(1e-9));
  CHECK(felt.probability == doctest::Approx(0.5).epsilon(1e-9));
}
