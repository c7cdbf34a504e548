// A drive made up: what a recorder on the body would write down over a road, with faults that turn.
//
// The body's upright acceleration and the speed, sample by sample, by CarMotion: the road is that
// of road.h, a fault pushes with its force at the phase of the distance driven, so that its line
// keeps its order while the speed changes. No filter stands before the sampling: take more than
// twice the highest frequency that a fault has.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

#include "engine/physics/quarter_car.h"

namespace perrev {

// force(speed) cos(2 pi order turns_per_metre distance + phase), upright at the wheel.
struct DriveFault {
  double order = 1.0;                   // per turn of the part
  double turns_per_metre = 0.0;         // of the part, per metre of road
  double phase = 0.0;                   // rad, at the begin
  std::function<double(double)> force;  // amplitude in N at a speed in m/s
};

struct Drive {
  QuarterCar car;
  std::vector<DriveFault> faults;
  std::function<double(double)> speed;  // m/s, not below 0, at a time in s from 0 on
  double roughness = 0.0;               // m3 at 0.1 cycles/m; 0: a smooth road
  double sample_rate = 0.0;             // Hz, above 0
  std::size_t samples = 0;
  std::uint64_t seed = 0;  // of the road
};

// One value a sample, the first at 0 s, when the car has long been driving at its first speed.
struct DriveSignal {
  std::vector<double> acceleration;  // m/s2, upwards
  std::vector<double> speed;         // m/s
  std::vector<double> distance;      // m
};

DriveSignal drive_signal(const Drive& drive);

}  // namespace perrev
