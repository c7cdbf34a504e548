#include "src/answers/feel_fault.h"

#include "engine/knowledge/computed.h"
#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

Problem fault_problem(const char* where, std::string what, std::string right) {
  return Problem{{{}, 0, 0, where}, std::move(what), std::move(right), {}};
}

std::optional<double> firing(const VehicleFacts& vehicle) {
  if (!vehicle.cylinders) return std::nullopt;
  return 0.5 * *vehicle.cylinders;
}

std::optional<double> usual_order(const UsualWay& way, const VehicleFacts& vehicle) {
  return way.order > 0.0 ? std::optional<double>(way.order) : firing(vehicle);
}

std::optional<double> order_of(const Shake& shake, const VehicleFacts& vehicle) {
  switch (shake.kind) {
    case Shake::Kind::number:
      return 0.5 * (shake.low_order + shake.high_order);
    case Shake::Kind::firing:
      return firing(vehicle);
    case Shake::Kind::half_firing:
      return firing(vehicle) ? std::optional<double>(0.5 * *firing(vehicle)) : std::nullopt;
  }
  return std::nullopt;
}

std::string words_of(const Shake& shake) {
  std::string out = spaced(shake.source) + " order ";
  if (shake.kind == Shake::Kind::firing) return spaced(shake.source) + " firing order";
  if (shake.kind == Shake::Kind::half_firing)
    return "half the " + spaced(shake.source) + " firing order";
  out += show_number(shake.low_order);
  return shake.low_order == shake.high_order ? out : out + " to " + show_number(shake.high_order);
}

// The one with the largest share; of several, that of the order usual for the kind.
const Shake* main_shake(const Cause& cause, double usual) {
  const Shake* best = nullptr;
  for (const Shake& shake : cause.shakes)
    if (!best || shake.share > best->share ||
        (shake.share == best->share && shake.low_order == usual))
      best = &shake;
  return best;
}

// How it shakes by the cause's own account, and what of it is passed over.
void take_shake(const Cause& cause, const VehicleFacts& vehicle, FeelFault& fault,
                std::optional<double>& order) {
  const Shake* shake = main_shake(cause, usual_way(fault.kind).order);
  if (!shake) return;
  fault.source = shake->source;
  order = order_of(*shake, vehicle);
  std::vector<std::string> others;
  for (const Shake& other : cause.shakes)
    if (&other != shake) others.push_back(words_of(other));
  if (shake->low_order != shake->high_order)
    fault.notes.push_back("It shakes at " + words_of(*shake) + "; this is order " +
                          show_number(*order) + ".");
  if (!others.empty())
    fault.notes.push_back("This is " + words_of(*shake) + ". It can also shake at " +
                          joined(others, " and ") + ".");
}

Result<FeelFault> of_cause(const RuleBase& base, int cause, const VehicleFacts& vehicle,
                           std::optional<double>& order) {
  const Cause& known = base.causes[static_cast<std::size_t>(cause)];
  const PhysicsFault* physics = fault_of(base, cause);
  if (!physics)
    return fault_problem("cause", "what '" + known.id + "' feels like is not computed",
                         "a cause that stands under faults in physics.yaml");
  FeelFault out;
  out.cause = cause;
  out.cause_id = known.id;
  out.kind = physics->kind;
  out.size = physics->median;
  out.front = physics->front;
  out.when = physics->when;
  out.steer = physics->steer;
  out.vertical = physics->vertical;
  const UsualWay way = usual_way(physics->kind);
  out.source = way.source;
  order = usual_order(way, vehicle);
  take_shake(known, vehicle, out, order);
  if (physics->heard_db > 0.0)
    out.notes.push_back("It is heard as well, which is not counted here.");
  return out;
}

FeelFault of_kind(FaultKind kind, const VehicleFacts& vehicle, std::optional<double>& order) {
  const UsualWay way = usual_way(kind);
  FeelFault out;
  out.kind = kind;
  out.source = way.source;
  out.when = way.when;
  order = usual_order(way, vehicle);
  return out;
}

}  // namespace

Result<FeelFault> fault_asked(const RuleBase& base, const FaultAsked& asked,
                              const VehicleFacts& vehicle, Units units) {
  std::optional<double> order;
  if (asked.cause < 0 && !asked.kind)
    return fault_problem("cause", "no fault is named", "a cause, or a kind and a size");
  Result<FeelFault> made = asked.cause >= 0 ? of_cause(base, asked.cause, vehicle, order)
                                            : of_kind(*asked.kind, vehicle, order);
  if (!made) return made;
  FeelFault out = std::move(made).value();
  if (asked.size) {
    const auto size = read_fault_size(out.kind, *asked.size, units);
    if (!size) return fault_problem("size", size.error().what, size.error().right);
    out.size = *size;
  } else if (asked.cause < 0) {
    return fault_problem("size", "how large the fault is, is missing", about(out.kind));
  } else {
    out.notes.push_back("The size is the middle one of this fault, " +
                        size_words(out.kind, out.size, units) + ".");
  }
  if (!asked.source.empty() && asked.source != out.source) {
    if (!can_turn_with(out.kind, asked.source))
      return fault_problem(
          "source", "no " + spaced(name_of(out.kind)) + " turns with the " + spaced(asked.source),
          spaced(out.source));
    out.source = asked.source;
  }
  const bool at_an_axle = out.source == "tire" || out.source == "motor_rotor";
  if (!at_an_axle && asked.front)
    return fault_problem("at", "no axle has a " + spaced(out.source) + " of its own",
                         "leave it out");
  // What turns lengthwise shakes the floor above it; motors and engines are usual in front.
  if (out.source != "tire") out.front = out.source == "driveshaft" ? 0.0 : 1.0;
  if (asked.front) out.front = *asked.front;
  if (asked.order) order = asked.order;
  if (!order)
    return fault_problem("order", "how often it shakes in a turn of the engine is not known",
                         "the number of cylinders");
  out.order = *order;
  return out;
}

const std::vector<std::string>& fault_sources() {
  static const std::vector<std::string> sources = {"tire",   "driveshaft",  "front_driveshaft",
                                                   "engine", "motor_rotor", "accessory"};
  return sources;
}

}  // namespace perrev
