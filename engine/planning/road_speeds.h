// At which speeds a road test is driven: around the speed at which it was felt, and never faster
// than is sensible.
//
// All speeds in m/s as the instrument shows them, rounded to what a driver holds (1 mph or 1 km/h).
// Where the write-up or an earlier drive has said a speed (worst_speed, else begins_speed and
// ends_speed), the band reaches from 10 mph (15 km/h) below it to 3 mph (5 km/h) above it; else it
// is the band where most shakes of wheels are felt, and `told` is false. Nothing lies above `cap`:
// 75 mph (120 km/h), common practice for a road test; 50 mph (80 km/h) on a small spare wheel,
// 30 mph (50 km/h) on snow chains (common practice), and the highest speed of the tires. The law
// and the road may ask for less.
#pragma once

#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

enum class SpeedCap { usual, tires, small_spare, snow_chain };

struct RoadSpeeds {
  bool told = false;      // somebody has said a speed
  bool standing = false;  // it is felt standing or at a crawl, below 5 mph (8 km/h)
  bool capped = false;    // it is felt faster than the cap
  // What the speed is read on: as the worst speed was read, else the speedometer.
  SpeedSource by = SpeedSource::speedometer;
  double cap = 0.0;
  SpeedCap cap_reason = SpeedCap::usual;
  double felt = 0.0;  // where it is held; the middle of the band where nobody has said a speed
  // Slowly up through the band, to 5 mph (10 km/h) above it or to where it ends.
  double sweep_from = 0.0, sweep_to = 0.0;
  double coast_from = 0.0, coast_to = 0.0;  // down through it; 0 where it is felt standing
  // Where a recording can be made, ascending: steps of 5 mph or 10 km/h within the band, and the
  // felt speed itself.
  std::vector<double> recording;
};

RoadSpeeds road_speeds(const RuleBase& base, const CaseFacts& facts, Units units);

}  // namespace perrev
