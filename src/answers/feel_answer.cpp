#include "src/answers/feel_answer.h"

#include <algorithm>
#include <cmath>

#include "engine/providers/usual_turns.h"
#include "engine/quantity/text.h"
#include "src/answers/tire_answer.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr double kOneKmh = 1.0 / 3.6, kOneMph = 0.44704;  // m/s
// One standard deviation below and above the middle of people and vehicles.
constexpr double kFew = 0.158655, kMost = 0.841345;
constexpr double kSmallestShare = 1e-5;  // of the size asked about, in the search for other sizes
constexpr int kHalvings = 60;

const PhysicsBody& body_of(const PhysicsBook& book, const std::string& kind) {
  return book.bodies[static_cast<std::size_t>(body_index(book, kind))];
}

// A vehicle with wheels of the usual size and usual ratios where none are known.
VehicleFacts with_usual(const VehicleFacts& vehicle, const PhysicsBody& body) {
  VehicleFacts out = vehicle;
  if (!out.front_tire && !out.rear_tire) {
    Tire usual;
    usual.rolling_circumference = body.circumference;
    usual.outer_diameter = body.circumference / 3.05;
    usual.size_sd = body.circumference_sd;
    out.front_tire = out.rear_tire = usual;
  }
  if (!out.front_tire) out.front_tire = out.rear_tire;
  if (!out.rear_tire) out.rear_tire = out.front_tire;
  if (!out.reduction_ratio) out.reduction_ratio = UsualTurns{}.motor.value;
  if (!out.axle_ratio && body.axle_ratio > 0.0) out.axle_ratio = body.axle_ratio;
  return out;
}

std::string part_of(const std::string& source, bool front, const Rotations& turning) {
  if (source == "tire") return front ? "front_wheels" : "rear_wheels";
  const std::string second = (front ? "front_" : "rear_") + source;
  return source == "motor_rotor" && turning.find(second) ? second : source;
}

// What has to be known before it can be told how fast a part turns.
std::string needed_for(const std::string& source) {
  if (source == "driveshaft")
    return "a vehicle whose rear axle is driven through a shaft, and its axle ratio";
  if (source == "front_driveshaft") return "a vehicle driven at both axles, and its axle ratio";
  if (source == "motor_rotor") return "an electric or hybrid vehicle";
  if (source == "accessory") return "gear ratio, axle ratio and accessory ratio";
  return "gear ratio and axle ratio";
}

// One place where the fault may sit, and how likely.
struct Sitting {
  FaultAt fault;
  double share = 1.0;
};

struct Subject {
  FeltModel model;
  std::vector<Sitting> sittings;  // the likelier first

  FeltPoint at(double speed) const;
  FeltPoint sized(double size, double speed) const {
    Subject other = *this;
    for (Sitting& sitting : other.sittings) sitting.fault.size = size;
    return other.at(speed);
  }
};

void add(FeltPoint& sum, const FeltPoint& one, double share) {
  sum.probability += share * one.probability;
  for (std::size_t i = 0; i < sum.places.size(); ++i) {
    FeltAtPlace& to = sum.places[i];
    const FeltAtPlace& from = one.places[i];
    to.acceleration += share * from.acceleration * from.acceleration;
    to.weighted += share * from.weighted * from.weighted;
    to.just_felt += share * from.just_felt;
    to.probability += share * from.probability;
  }
  for (std::size_t i = 0; i < sum.pushes.size(); ++i) sum.pushes[i] += share * one.pushes[i];
}

FeltPoint Subject::at(double speed) const {
  const FeltPoint first = model.at(sittings.front().fault, speed);
  if (sittings.size() == 1) return first;
  FeltPoint out;
  out.speed = first.speed;
  out.hz = first.hz;
  for (const Sitting& sitting : sittings) add(out, model.at(sitting.fault, speed), sitting.share);
  for (FeltAtPlace& place : out.places) {
    place.acceleration = std::sqrt(place.acceleration);
    place.weighted = std::sqrt(place.weighted);
    const bool arrives = place.weighted > 0.0 && place.just_felt > 0.0;
    place.level_db = arrives
                         ? std::max(20.0 * std::log10(place.weighted / place.just_felt), kNotThere)
                         : kNotThere;
  }
  return out;
}

Result<Subject> subject_of(const RuleBase& base, const FeelQuestion& asked, FeelAnswer& answer) {
  const PhysicsBook& book = base.physics;
  if (book.empty()) return problem("the rule base has no physics.yaml", "a rule base with one");
  const PhysicsBody& body = body_of(book, asked.vehicle_kind);
  VehicleFacts vehicle = with_usual(asked.vehicle, body);
  if (asked.fault.source == "front_driveshaft" && vehicle.driven_axle == DrivenAxle::unknown)
    vehicle.driven_axle = DrivenAxle::all;  // what has one is driven at both
  Motion motion = asked.motion;
  if (!motion.speed || !motion.engine_hz) {
    motion = Motion();
    motion.speed = kFeelTo;
    motion.by = SpeedSource::gps;
  }
  const Rotations turning = rotations(vehicle, motion);
  const FeelFault& fault = asked.fault;
  Subject out{FeltModel(book, body_index(book, asked.vehicle_kind)), {}};
  for (const bool front : {true, false}) {
    const double share = front ? fault.front : 1.0 - fault.front;
    const PartSpeed* wheels = turning.find(front ? "front_wheels" : "rear_wheels");
    const PartSpeed* part = turning.find(part_of(fault.source, front, turning));
    if (share <= 0.0) continue;
    if (!part || !wheels)
      return problem("how fast this vehicle's " + spaced(fault.source) + " turns is not known",
                     needed_for(fault.source));
    const double circumference =
        rolling_circumference(front ? *vehicle.front_tire : *vehicle.rear_tire,
                              front ? vehicle.front_state : vehicle.rear_state)
            .mean;
    FaultAt at{fault.kind, fault.size, fault.order, part->hz.mean / wheels->hz.mean / circumference,
               front,      fault.when, fault.steer, fault.vertical};
    if (out.sittings.empty() || share > out.sittings.front().share) {
      answer.circumference = circumference;
      answer.turns_per_metre = at.turns_per_metre;
      out.sittings.insert(out.sittings.begin(), {at, share});
    } else {
      out.sittings.push_back({at, share});
    }
  }
  answer.vehicle_kind = body.id;
  return out;
}

FeltPlace strongest(const FeltPoint& point) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < point.places.size(); ++i)
    if (point.places[i].level_db > point.places[best].level_db) best = i;
  return static_cast<FeltPlace>(best);
}

double level_of(const FeltPoint& point) {
  return point.places[static_cast<std::size_t>(strongest(point))].level_db;
}

std::string strength_of(const PhysicsPeople& people, double level) {
  return level < 0.0                   ? ""
         : level >= people.alarming_db ? "alarming"
         : level >= people.strong_db   ? "strong"
         : level >= people.clear_db    ? "clear"
                                       : "slight";
}

// Where a straight line between two points of the curve passes one half.
double crossing(const FeltPoint& a, const FeltPoint& b) {
  const double part = (0.5 - a.probability) / (b.probability - a.probability);
  return a.speed + part * (b.speed - a.speed);
}

void find_half(FeelAnswer& answer) {
  const std::vector<FeltPoint>& curve = answer.curve;
  for (std::size_t i = 0; i < curve.size(); ++i) {
    const bool over = curve[i].probability >= 0.5;
    if (over && !answer.half_from)
      answer.half_from = i == 0 ? curve[i].speed : crossing(curve[i - 1], curve[i]);
    if (i > 0 && !over && curve[i - 1].probability >= 0.5)
      answer.half_to = crossing(curve[i - 1], curve[i]);
  }
  if (curve.back().probability >= 0.5) answer.half_to.reset();
}

// The size that `wanted` of the people feel at `speed`; probability grows with size.
std::optional<double> size_for(const Subject& subject, const FeelFault& fault, double speed,
                               double wanted) {
  double low = kSmallestShare * fault.size, high = largest_of(fault.kind);
  if (subject.sized(high, speed).probability < wanted) return std::nullopt;
  if (subject.sized(low, speed).probability > wanted) return std::nullopt;
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = std::sqrt(low * high);
    (subject.sized(middle, speed).probability < wanted ? low : high) = middle;
  }
  return std::sqrt(low * high);
}

std::vector<double> speeds(double step) {
  std::vector<double> out;
  for (double n = std::ceil(kFeelFrom / step - 1e-9); n * step <= kFeelTo * (1.0 + 1e-9); n += 1.0)
    out.push_back(n * step);
  return out;
}

std::vector<FeltPoint> points(const Subject& subject, double step) {
  std::vector<FeltPoint> out;
  for (const double speed : speeds(step)) out.push_back(subject.at(speed));
  return out;
}

std::vector<std::string> notes_on(const FeelQuestion& asked, const PhysicsBook& book,
                                  const PhysicsBody& body, Units units) {
  std::vector<std::string> out = asked.fault.notes;
  const std::string kind = spaced(body.id);
  if (asked.vehicle_kind.empty())
    out.push_back("The kind of vehicle is not told: a " + kind + " is taken.");
  else if (asked.vehicle_kind != body.id)
    out.push_back("No " + spaced(asked.vehicle_kind) + " is in physics.yaml: a " + kind +
                  " is taken.");
  if (!asked.vehicle.front_tire && !asked.vehicle.rear_tire)
    out.push_back("The tire size is not told: a usual one of a " + kind + " is taken, " +
                  show_rounded(body.circumference, Dimension::length, units) + " a turn.");
  const bool geared = asked.fault.source != "tire" && asked.fault.source != "motor_rotor";
  if (geared && !asked.vehicle.axle_ratio)
    out.push_back("The axle ratio is not told: a usual one of a " + kind + " is taken, " +
                  show_number(body.axle_ratio) + ".");
  if (asked.fault.source == "motor_rotor" && !asked.vehicle.reduction_ratio)
    out.push_back("The reduction ratio is not told: a usual one is taken, " +
                  show_number(UsualTurns{}.motor.value) + ".");
  if (asked.fault.source == "tire" && asked.fault.front > 0.0 && asked.fault.front < 1.0)
    out.push_back("The axle is not told: both are counted, the front one at " +
                  percent(asked.fault.front) + ".");
  const double spread = std::hypot(book.people.spread_db, book.people.vehicle_spread_db);
  out.push_back(
      "People differ, and so do vehicles of one kind: two in three lie within a factor "
      "of " +
      fixed(std::pow(10.0, spread / 20.0), 1) +
      " either way. The road is a smooth motorway; on a rough one less is felt.");
  return out;
}

std::vector<std::string> cautions_on(const RuleBase& base, const FeelQuestion& asked,
                                     const FeelAnswer& answer) {
  std::vector<std::string> out;
  const auto say = [&](const std::string& caution) {
    if (!caution.empty() && std::find(out.begin(), out.end(), caution) == out.end())
      out.push_back(caution);
  };
  say(danger_of(asked.fault.kind, asked.fault.size));
  if (asked.fault.cause >= 0) say(base.causes[static_cast<std::size_t>(asked.fault.cause)].caution);
  if (answer.strength == "alarming")
    say("So strong a shake is not driven on with: slow down and stop where it is safe.");
  for (const auto& tire : {asked.vehicle.front_tire, asked.vehicle.rear_tire})
    if (tire && tire->temporary_spare()) say(kSpareCaution);
  return out;
}

}  // namespace

std::optional<double> true_speed(const PhysicsBook& book, const FeelQuestion& asked,
                                 const Motion& motion) {
  if (book.empty()) return std::nullopt;
  const VehicleFacts vehicle = with_usual(asked.vehicle, body_of(book, asked.vehicle_kind));
  const Rotations turning = rotations(vehicle, motion);
  const PartSpeed* wheels = turning.find("rear_wheels");
  if (!wheels) return std::nullopt;
  return wheels->hz.mean * rolling_circumference(*vehicle.rear_tire, vehicle.rear_state).mean;
}

Result<FeelAnswer> feel_answer(const RuleBase& base, const FeelQuestion& asked, Units units) {
  FeelAnswer out;
  const auto subject = subject_of(base, asked, out);
  if (!subject) return subject.error();
  out.curve = points(*subject, kOneKmh);
  out.rows = points(*subject, units == Units::us ? 5.0 * kOneMph : 10.0 * kOneKmh);
  if (asked.speed) out.at_speed = subject->at(*asked.speed);
  const auto worst = std::max_element(
      out.curve.begin(), out.curve.end(),
      [](const FeltPoint& a, const FeltPoint& b) { return level_of(a) < level_of(b); });
  if (level_of(*worst) > kNotThere) {
    out.worst = *worst;
    out.worst_place = strongest(*worst);
    out.strength = strength_of(base.physics.people, level_of(*worst));
    find_half(out);
    const auto size = [&](double wanted) {
      return size_for(*subject, asked.fault, worst->speed, wanted);
    };
    out.sizes = {size(kFew), size(0.5), size(kMost)};
  }
  out.notes = notes_on(asked, base.physics, body_of(base.physics, asked.vehicle_kind), units);
  out.cautions = cautions_on(base, asked, out);
  return out;
}

}  // namespace perrev
