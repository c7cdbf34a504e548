#include "engine/physics/drive_signal.h"

#include <cmath>

#include "engine/physics/road.h"
#include "engine/quantity/angle.h"

namespace perrev {
namespace {

constexpr double kLongestStep = 2.5e-4;  // s: a sine of 100 Hz keeps 99.8 % in straight lines
constexpr double kRoadStep = 0.02;       // m
constexpr double kRunIn = 4.0;           // s, in which a body comes to forget how it began

// Time in equal steps, whole samples apart; negative while running in.
struct Steps {
  int in_sample;
  double length;            // s
  std::size_t before, all;  // up to 0 s; up to the last sample

  explicit Steps(const Drive& drive)
      : in_sample(static_cast<int>(std::ceil(1.0 / (drive.sample_rate * kLongestStep) - 1e-9))),
        length(1.0 / (drive.sample_rate * in_sample)),
        before(static_cast<std::size_t>(std::ceil(kRunIn / length))),
        all(before + (drive.samples - 1) * static_cast<std::size_t>(in_sample)) {}
  double time(std::size_t step) const {
    return (static_cast<double>(step) - static_cast<double>(before)) * length;
  }
};

double speed_at(const Drive& drive, double time) { return drive.speed(std::fmax(time, 0.0)); }

// By Simpson's rule, from 0 s; at every step.
std::vector<double> distances(const Drive& drive, const Steps& steps) {
  std::vector<double> found{steps.time(0) * drive.speed(0.0)};
  for (std::size_t i = 0; i < steps.all; ++i) {
    const double time = steps.time(i);
    const double sum = speed_at(drive, time) + 4.0 * speed_at(drive, time + 0.5 * steps.length) +
                       speed_at(drive, time + steps.length);
    found.push_back(found.back() + steps.length / 6.0 * sum);
  }
  return found;
}

class Road {
 public:
  Road(const Drive& drive, double from, double to)
      : from_(from),
        heights_(road_heights(drive.roughness, kRoadStep,
                              static_cast<std::size_t>((to - from) / kRoadStep) + 2, drive.seed)) {}
  double height(double distance) const {
    const double at = (distance - from_) / kRoadStep;
    const auto before = static_cast<std::size_t>(at);
    const double part = at - static_cast<double>(before);
    return heights_[before] + part * (heights_[before + 1] - heights_[before]);
  }

 private:
  double from_;
  std::vector<double> heights_;
};

double force_at(const Drive& drive, double speed, double distance) {
  double sum = 0.0;
  for (const DriveFault& fault : drive.faults)
    sum += fault.force(speed) *
           std::cos(kTurn * fault.order * fault.turns_per_metre * distance + fault.phase);
  return sum;
}

}  // namespace

DriveSignal drive_signal(const Drive& drive) {
  DriveSignal signal;
  if (drive.samples == 0) return signal;
  const Steps steps(drive);
  const std::vector<double> driven = distances(drive, steps);
  const Road road(drive, driven.front(), driven.back());
  const CarMotion motion(drive.car, steps.length);
  double height = road.height(driven[0]);
  double force = force_at(drive, drive.speed(0.0), driven[0]);
  CarState state{height, 0.0, height, 0.0};
  for (std::size_t i = 0;; ++i) {
    if (i >= steps.before && (i - steps.before) % static_cast<std::size_t>(steps.in_sample) == 0) {
      signal.acceleration.push_back(motion.body_acceleration(state));
      signal.speed.push_back(speed_at(drive, steps.time(i)));
      signal.distance.push_back(driven[i]);
    }
    if (i == steps.all) return signal;
    const double next_height = road.height(driven[i + 1]);
    const double next_force = force_at(drive, speed_at(drive, steps.time(i + 1)), driven[i + 1]);
    state = motion.advance(state, height, next_height, force, next_force);
    height = next_height;
    force = next_force;
  }
}

}  // namespace perrev
