#include "engine/planning/road_lines.h"

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

#include "engine/providers/orders.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

constexpr double kStep = 0.5 * (kGearStepLow + kGearStepHigh);
constexpr double kStepSd = 0.3 * (kGearStepHigh - kGearStepLow);  // nearly an even spread
constexpr double kSameSpeed = 0.5;                                // m/s

// Firing order: half the cylinders, of a four-stroke engine; half of that where half of them are
// switched off.
double per_cylinder(const Shake& shake) {
  return shake.kind == Shake::Kind::firing        ? 0.5
         : shake.kind == Shake::Kind::half_firing ? 0.25
                                                  : 0.0;
}

std::pair<double, double> orders_of(const Shake& shake, const VehicleFacts& vehicle) {
  if (shake.kind == Shake::Kind::number) return {shake.low_order, shake.high_order};
  const double order = per_cylinder(shake) * vehicle.cylinders.value_or(0);
  return {order, order};
}

std::string about(const Shake& shake, double low, double high) {
  const std::string source = spaced(shake.source);
  if (shake.kind == Shake::Kind::number)
    return low == high ? source + " order " + show_number(low)
                       : source + " orders " + show_number(low) + " to " + show_number(high);
  return source + (shake.kind == Shake::Kind::firing ? " firing order" : " half firing order") +
         (low > 0.0 ? " (" + show_number(low) + ")" : "");
}

// The engine's after the road's, the tires' before the shafts'.
std::tuple<bool, bool, const std::string&, double, double, double> place_of(
    const SuspectLine& line) {
  return {line.source == "engine" || line.source == "accessory",
          line.source != "tire",
          line.source,
          line.low_order,
          line.high_order,
          line.per_cylinder};
}

// What turns at `speed`, in the gear it was felt in. Where the engine goes its own way, its speed
// is known only where it was read.
Motion motion_at(double speed, const VehicleFacts& vehicle, const Motion& felt, SpeedSource by) {
  Motion out;
  out.speed = speed;
  out.by = by;
  const double read_at = felt.speed.value_or(0.0);
  if (!felt.engine_hz) return out;
  if (std::abs(read_at - speed) < kSameSpeed) {
    out.engine_hz = felt.engine_hz;
  } else if (read_at > 0.0 && geared(vehicle)) {
    out.engine_hz = *felt.engine_hz * speed / read_at;
    out.engine_reading_sd *= speed / read_at;
  }
  return out;
}

RecordingSetting setting_of(double speed, RoadGear gear, const VehicleFacts& vehicle,
                            const Motion& motion, const std::vector<SuspectLine>& lines) {
  RecordingSetting out{speed, gear, std::nullopt, {}};
  const Rotations turning = rotations(vehicle, motion);
  if (const PartSpeed* engine = turning.find("engine")) out.engine = engine->hz;
  const std::vector<OrderLine> all = order_lines(vehicle, turning);
  for (const SuspectLine& line : lines) {
    out.lines.emplace_back();
    if (line.low_order <= 0.0) continue;
    for (const OrderLine& first : all)
      if (first.source == line.source && first.order == 1.0)
        for (int i = 0; line.low_order + i <= line.high_order + 1e-9; ++i)
          out.lines.back().push_back(
              {first.hz.mean * (line.low_order + i), first.hz.sd * (line.low_order + i)});
  }
  return out;
}

}  // namespace

std::vector<SuspectLine> suspect_lines(const RuleBase& base, const VehicleFacts& vehicle,
                                       const std::vector<int>& suspects) {
  std::vector<SuspectLine> out;
  for (std::size_t s = 0; s < suspects.size(); ++s) {
    if (suspects[s] == base.nothing_left()) continue;
    for (const Shake& shake : base.causes[static_cast<std::size_t>(suspects[s])].shakes) {
      const std::pair<double, double> orders = orders_of(shake, vehicle);
      auto line = std::find_if(out.begin(), out.end(), [&](const SuspectLine& l) {
        return l.source == shake.source && l.low_order == orders.first &&
               l.high_order == orders.second &&
               (orders.first > 0.0 || l.per_cylinder == per_cylinder(shake));
      });
      if (line == out.end())
        line = out.insert(out.end(), {shake.source,
                                      orders.first,
                                      orders.second,
                                      per_cylinder(shake),
                                      about(shake, orders.first, orders.second),
                                      {},
                                      {}});
      if (line->suspects.empty() || line->suspects.back() != s) {
        line->suspects.push_back(s);
        line->shares.push_back(0.0);
      }
      line->shares.back() += shake.share;
    }
  }
  std::sort(out.begin(), out.end(),
            [](const SuspectLine& a, const SuspectLine& b) { return place_of(a) < place_of(b); });
  return out;
}

bool geared(const VehicleFacts& vehicle) {
  if (vehicle.powertrain == Powertrain::electric) return false;
  return vehicle.gearbox == Gearbox::manual || vehicle.gearbox == Gearbox::automatic ||
         vehicle.gearbox == Gearbox::dual_clutch ||
         (vehicle.gearbox == Gearbox::unknown && vehicle.powertrain == Powertrain::engine);
}

std::vector<RecordingSetting> recording_settings(const VehicleFacts& vehicle, const Motion& felt,
                                                 const std::vector<SuspectLine>& lines,
                                                 const RoadSpeeds& speeds) {
  std::vector<RecordingSetting> out;
  const bool lower = geared(vehicle) && vehicle.gearbox != Gearbox::unknown && !speeds.standing;
  for (const double speed : speeds.recording) {
    Motion motion = motion_at(speed, vehicle, felt, speeds.by);
    out.push_back(setting_of(speed, RoadGear::as_felt, vehicle, motion, lines));
    const std::optional<Estimate> engine = out.back().engine;
    if (!lower || !engine || engine->mean * kGearStepHigh > kMostEngineHz) continue;
    VehicleFacts geared_down = vehicle;
    geared_down.gear_ratio.reset();
    motion.engine_hz = kStep * engine->mean;
    motion.engine_reading_sd = std::hypot(kStepSd * engine->mean, motion.engine_reading_sd);
    out.push_back(setting_of(speed, RoadGear::one_lower, geared_down, motion, lines));
  }
  return out;
}

LinesApart lines_apart(const std::vector<Estimate>& one, const std::vector<Estimate>& other) {
  LinesApart out;
  bool first = true;
  for (const Estimate& a : one)
    for (const Estimate& b : other) {
      const double apart = std::abs(a.mean - b.mean);
      const double read = reading_sd(0.5 * (a.mean + b.mean));
      const double here = apart / std::sqrt(a.sd * a.sd + b.sd * b.sd + read * read);
      if (first || here < out.separation) out = {apart, here};
      first = false;
    }
  return out;
}

}  // namespace perrev
