#include "engine/physics/felt_curve.h"

#include <algorithm>
#include <cmath>

#include "engine/normal.h"
#include "engine/physics/forces.h"
#include "engine/physics/road.h"
#include "engine/physics/weighting.h"
#include "engine/quantity/angle.h"

namespace perrev {

namespace {

// Typical measures, from memory: what differs between vehicles lies within the spread of paths.
constexpr double kRim = 0.19;              // m, radius of the rim flange
constexpr double kFlangesApart = 0.18;     // m
constexpr double kKingpinArm = 0.08;       // m from the wheel's middle to the kingpin axis
constexpr double kTireRadius = 0.32;       // m
constexpr double kSideStiffness = 30e3;    // N/m of a rolling tire, sideways
constexpr double kTrail = 0.03;            // m
constexpr double kWobbleInertia = 0.4;     // kg m2, polar less diametral, of tire and wheel
constexpr double kUprightOfWobble = 0.15;  // radial runout that comes with lateral runout
constexpr double kShaftMass = 10.0;        // kg
constexpr double kAxleInertia = 0.04;      // kg m2 behind a joint
constexpr double kPinionArm = 0.08;        // m that turn a fluctuating torque into a force
constexpr double kJointsApart = 0.6;       // m
constexpr double kBrakeUpright = 0.04;     // of the fore and aft force of a brake
constexpr double kPedalPerTorque = 0.2;    // N at the pedal for each N m at the brake

// Fore and aft force of a tire for each newton of upright force variation grows with the square of
// speed (Walker and Reeves, Tire Science and Technology 1974; the factor from memory).
double fore_aft_share(double speed) { return 0.3 * (speed / 25.0) * (speed / 25.0); }

// N m in a driveshaft: rolling against wind and road, or pulling away with what the engine has.
double shaft_torque(ShakesWhile when, double speed) {
  return when == ShakesWhile::pulling ? 400.0 * std::min(1.0, 6.0 / speed)
                                      : 30.0 + 60.0 * (speed / 25.0) * (speed / 25.0);
}

using Pushes = std::array<double, kPushes>;

double& on(Pushes& pushes, Push push) { return pushes[static_cast<std::size_t>(push)]; }

double square(double x) { return x * x; }

// How a path of resonance passes a push on.
double passes(const PhysicsPath& path, double hz) {
  const double r = hz / path.hz;
  const double resonance = std::hypot(1.0 - r * r, 2.0 * path.damping * r);
  return path.gain * (path.isolates ? 1.0 : r * r) / resonance;
}

}  // namespace

FeltModel::FeltModel(const PhysicsBook& book, int body)
    : book_(&book),
      body_(&book.bodies[static_cast<std::size_t>(body)]),
      car_(quarter_car_of(*body_)) {}

Pushes FeltModel::pushes(const FaultAt& fault, double speed) const {
  const double hz = fault.order * fault.turns_per_metre * speed;
  const double part_hz = fault.turns_per_metre * speed;
  Pushes out{};
  const auto upright = [&](double force) {
    on(out, Push::vertical) = force;
    on(out, Push::fore_aft) = force * fore_aft_share(speed);
  };
  switch (fault.kind) {
    case FaultKind::imbalance:
      on(out, Push::vertical) = on(out, Push::fore_aft) = imbalance_force(fault.size * kRim, hz);
      break;
    case FaultKind::couple_imbalance:
      on(out, Push::steer) = couple_moment(fault.size * kRim, kFlangesApart, hz);
      on(out, Push::lateral) = on(out, Push::steer) / kTireRadius;
      break;
    case FaultKind::force_variation:
      upright(force_variation_force(fault.size));
      break;
    case FaultKind::radial_runout:
      upright(runout_force(fault.size, car_.tire));
      break;
    case FaultKind::lateral_runout:
      upright(runout_force(kUprightOfWobble * fault.size, car_.tire));
      on(out, Push::lateral) = runout_force(fault.size, kSideStiffness);
      on(out, Push::steer) = on(out, Push::lateral) * kTrail +
                             kWobbleInertia * fault.size / (2.0 * kTireRadius) * square(kTurn * hz);
      break;
    case FaultKind::eccentricity: {
      const EccentricForce both = eccentric_force(fault.size, car_.tire, body_->wheel, hz);
      on(out, Push::vertical) = both.tire + both.mass;
      on(out, Push::fore_aft) = both.tire * fore_aft_share(speed) + both.mass;
      break;
    }
    case FaultKind::shaft_imbalance:
      on(out, Push::shaft) = imbalance_force(fault.size, hz);
      break;
    case FaultKind::shaft_runout:
      on(out, Push::shaft) = shaft_runout_force(fault.size, kShaftMass, hz);
      break;
    case FaultKind::joint_angle:
      on(out, Push::shaft) =
          joint_inertia_torque(kAxleInertia, fault.size, part_hz) / kPinionArm +
          joint_bending_moment(shaft_torque(fault.when, speed), fault.size) / kJointsApart;
      break;
    case FaultKind::axial_force:
      on(out, Push::axial) = fault.size * std::min(1.0, 12.0 / speed);
      break;
    case FaultKind::brake_torque:
      on(out, Push::fore_aft) = fault.size / (2.0 * kTireRadius);
      on(out, Push::vertical) = kBrakeUpright * on(out, Push::fore_aft);
      on(out, Push::pressure) = kPedalPerTorque * fault.size / 2.0;
      break;
    case FaultKind::engine_torque:
      on(out, Push::torque) = fault.size;
      break;
  }
  on(out, Push::steer) =
      fault.steer * (on(out, Push::steer) + kKingpinArm * on(out, Push::fore_aft));
  on(out, Push::vertical) *= fault.vertical;
  return out;
}

std::array<double, kFeltPlaces> FeltModel::arrives(const Pushes& pushes, double hz,
                                                   bool front) const {
  std::array<double, kFeltPlaces> squares{};
  const double body = std::abs(body_per_force(car_, hz));
  for (const PhysicsPath& path : book_->paths) {
    const double push =
        pushes[static_cast<std::size_t>(path.from)] * (path.from == Push::vertical ? body : 1.0);
    if (push > 0.0)
      squares[static_cast<std::size_t>(path.to)] +=
          square(push * passes(path, hz) * (front ? path.front : path.rear));
  }
  return squares;
}

std::array<double, kFeltPlaces> FeltModel::just_felt(double hz, double speed) const {
  // Forces of the road at one wheel, N for a band of 1 Hz.
  Pushes noise{};
  on(noise, Push::vertical) =
      car_.tire * std::sqrt(displacement_density_at(book_->road.roughness, hz, speed));
  on(noise, Push::fore_aft) = book_->road.fore_aft * on(noise, Push::vertical);
  on(noise, Push::lateral) = book_->road.lateral * on(noise, Push::vertical);
  on(noise, Push::steer) = kKingpinArm * on(noise, Push::fore_aft);
  const std::array<double, kFeltPlaces> front = arrives(noise, hz, true),
                                        rear = arrives(noise, hz, false);
  std::array<double, kFeltPlaces> out{};
  for (const PhysicsSense& sense : book_->people.senses) {
    const std::size_t p = static_cast<std::size_t>(sense.place);
    const double weight = weighting_gain(sense.weighting, hz);
    out[p] = std::sqrt(square(sense.threshold) +
                       square(weight) * 2.0 * (front[p] + rear[p]) * book_->people.listening_hz);
  }
  return out;
}

FeltPoint FeltModel::at(const FaultAt& fault, double speed) const {
  return at(fault, speed, just_felt(fault.order * fault.turns_per_metre * speed, speed));
}

FeltPoint FeltModel::at(const FaultAt& fault, double speed,
                        const std::array<double, kFeltPlaces>& least) const {
  FeltPoint out;
  out.speed = speed;
  out.hz = fault.order * fault.turns_per_metre * speed;
  out.pushes = pushes(fault, speed);
  const std::array<double, kFeltPlaces> squares = arrives(out.pushes, out.hz, fault.front);
  const double spread = std::hypot(book_->people.spread_db, book_->people.vehicle_spread_db);
  for (const PhysicsSense& sense : book_->people.senses) {
    FeltAtPlace& place = out.places[static_cast<std::size_t>(sense.place)];
    place.acceleration = std::sqrt(squares[static_cast<std::size_t>(sense.place)] / 2.0);
    place.weighted = place.acceleration * weighting_gain(sense.weighting, out.hz);
    place.just_felt = least[static_cast<std::size_t>(sense.place)];
    if (place.weighted > 0.0)
      place.level_db = std::max(kNotThere, 20.0 * std::log10(place.weighted / place.just_felt));
    place.probability = normal_below(place.level_db / spread);
    out.probability = std::max(out.probability, place.probability);
  }
  return out;
}

std::vector<FeltPoint> FeltModel::curve(const FaultAt& fault,
                                        const std::vector<double>& speeds) const {
  std::vector<FeltPoint> out;
  out.reserve(speeds.size());
  for (const double speed : speeds) out.push_back(at(fault, speed));
  return out;
}

}  // namespace perrev
