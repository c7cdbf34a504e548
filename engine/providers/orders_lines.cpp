#include "engine/providers/orders_lines.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/normal.h"
#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

constexpr double kSpeedSpread = 0.03;  // of a speed as it was read

// The cause that is nothing but a difference of size between two tires.
constexpr const char* kSizeCause = "mismatched_tires_beating";

// With a spread where the number of cylinders is not known.
Rate order_of(const ShakeLine& told, const VehicleFacts& vehicle) {
  if (told.kind == Shake::Kind::number) return {told.order, 0.0};
  // From memory: most engines have four cylinders, some six, few three or eight.
  constexpr Rate kUsualCylinders{4.6, 0.25};
  const Rate cylinders = vehicle.cylinders ? Rate{1.0 * *vehicle.cylinders, 0.0} : kUsualCylinders;
  return {cylinders.value / (told.kind == Shake::Kind::firing ? 2.0 : 4.0), cylinders.spread};
}

// The index of `item`, which is added where it is new.
template <class Item>
std::size_t index_in(std::vector<Item>& list, const Item& item) {
  const auto found = std::find(list.begin(), list.end(), item);
  if (found != list.end()) return static_cast<std::size_t>(found - list.begin());
  list.push_back(item);
  return list.size() - 1;
}

}  // namespace

std::string CauseLine::about() const { return spaced(source) + " order " + show_number(order); }

RoundLines lines_at(VehicleFacts vehicle, const Motion& motion, const UsualTurns& usual) {
  RoundLines out{std::move(vehicle), {}, std::nullopt};
  out.lines = order_lines(out.vehicle, rotations(out.vehicle, motion));
  if (!motion.speed || *motion.speed <= 0.0) return out;
  out.moment = felt_moment(out.vehicle, *motion.speed, motion.engine_hz, usual);
  out.moment->wheel.spread = sd_of_sum(out.moment->wheel.spread, kSpeedSpread);
  const auto wheels = std::find_if(out.lines.begin(), out.lines.end(), [](const OrderLine& line) {
    return line.source == "tire" && line.order == 1.0;
  });
  if (wheels != out.lines.end())
    out.moment->wheel = {wheels->hz.mean, wheels->hz.sd / wheels->hz.mean};
  return out;
}

ShakeBook::ShakeBook(const RuleBase& base) {
  for (const Cause& cause : base.causes) {
    Mix mix;
    for (const Shake& shake : cause.shakes) {
      const int steps = 1 + static_cast<int>(std::floor(shake.high_order - shake.low_order + 1e-9));
      for (int i = 0; i < steps; ++i)
        mix.push_back({index_in(lines, {shake.source, shake.kind, shake.low_order + i,
                                        cause.id == kSizeCause}),
                       shake.share / steps});
    }
    mix_of.push_back(index_in(mixes, mix));
  }
}

void add_lines(const ShakeLine& told, double share, const RoundLines& round,
               std::vector<CauseLine>& out) {
  const Rate order = order_of(told, round.vehicle);
  CauseLine line{told.source, order.value, order.spread, share, std::nullopt, false, told.by_size};
  const std::size_t first = out.size();
  if (order.spread == 0.0)
    for (const OrderLine& part : round.lines)
      if (part.source == told.source && part.order == 1.0) {
        line.hz = Estimate{part.hz.mean * line.order, part.hz.sd * line.order};
        out.push_back(line);
      }
  if (out.size() == first) {
    if (round.moment) {
      const Rate rate = rate_of(line.source, line.order, line.order_spread, *round.moment);
      line.hz = Estimate{rate.value, rate.value * rate.spread};
      line.usual = true;
    }
    out.push_back(std::move(line));
  }
  const std::size_t parts = out.size() - first;
  for (std::size_t i = first; i < out.size(); ++i) out[i].share /= static_cast<double>(parts);
}

}  // namespace perrev
