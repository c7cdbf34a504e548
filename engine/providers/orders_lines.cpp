#include "engine/providers/orders_lines.h"

#include <algorithm>
#include <cmath>

#include "engine/casefile/vehicle_of.h"
#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

constexpr double kSpeedSpread = 0.03;  // of a speed as it was read

struct Orders {
  double low = 1.0, high = 1.0;
  double spread = 0.0;
  bool known = true;
};

Orders orders_of(const Shake& shake, const VehicleFacts& vehicle) {
  if (shake.kind == Shake::Kind::number) return {shake.low_order, shake.high_order, 0.0, true};
  // From memory: most engines have four cylinders, some six, few three or eight.
  constexpr double kUsualCylinders = 4.6, kCylindersSpread = 0.25;
  const double cylinders = vehicle.cylinders ? *vehicle.cylinders : kUsualCylinders;
  const double order = cylinders / (shake.kind == Shake::Kind::firing ? 2.0 : 4.0);
  return {order, order, vehicle.cylinders ? 0.0 : kCylindersSpread, vehicle.cylinders.has_value()};
}

// First orders of the parts of the source; one line each.
std::vector<Estimate> turns_of(const std::string& source, const std::vector<OrderLine>& lines) {
  std::vector<Estimate> out;
  for (const OrderLine& line : lines)
    if (line.source == source && line.order == 1.0) out.push_back(line.hz);
  return out;
}

}  // namespace

std::string CauseLine::about() const { return spaced(source) + " order " + show_number(order); }

RoundLines lines_at(const VehicleFacts& vehicle, const Motion& motion, const UsualTurns& usual) {
  RoundLines out{vehicle, order_lines(vehicle, rotations(vehicle, motion)), std::nullopt};
  if (!motion.speed || *motion.speed <= 0.0) return out;
  out.moment = felt_moment(vehicle, *motion.speed, motion.engine_hz, usual);
  out.moment->wheel.spread = std::hypot(out.moment->wheel.spread, kSpeedSpread);
  if (const std::vector<Estimate> wheels = turns_of("tire", out.lines); !wheels.empty())
    out.moment->wheel = {wheels[0].mean, wheels[0].sd / wheels[0].mean};
  return out;
}

RoundLines round_lines(const RuleBase& base, const CaseFacts& facts, std::size_t round) {
  return lines_at(
      vehicle_of(base, facts, round), motion_of(base, facts, round),
      usual_turns(base.physics, answer_known(base, facts.rounds[round], "vehicle_kind")));
}

std::vector<CauseLine> cause_lines(const Cause& cause, const RoundLines& round) {
  std::vector<CauseLine> out;
  for (const Shake& shake : cause.shakes) {
    const Orders orders = orders_of(shake, round.vehicle);
    const std::vector<Estimate> turns =
        orders.known ? turns_of(shake.source, round.lines) : std::vector<Estimate>{};
    const int steps = 1 + static_cast<int>(std::floor(orders.high - orders.low + 1e-9));
    const std::size_t parts = std::max<std::size_t>(1, turns.size());
    for (std::size_t part = 0; part < parts; ++part)
      for (int i = 0; i < steps; ++i) {
        CauseLine line{shake.source,  orders.low + i,
                       orders.spread, shake.share / static_cast<double>(parts) / steps,
                       std::nullopt,  false};
        if (!turns.empty()) {
          line.hz = Estimate{turns[part].mean * line.order, turns[part].sd * line.order};
        } else if (round.moment) {
          const Rate rate = rate_of(line.source, line.order, line.order_spread, *round.moment);
          line.hz = Estimate{rate.value, rate.value * rate.spread};
          line.usual = true;
        }
        out.push_back(std::move(line));
      }
  }
  return out;
}

bool all_computed(const std::vector<CauseLine>& lines) {
  return !lines.empty() && std::all_of(lines.begin(), lines.end(),
                                       [](const CauseLine& line) { return line.hz.has_value(); });
}

}  // namespace perrev
