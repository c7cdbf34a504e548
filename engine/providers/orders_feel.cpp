#include "engine/providers/orders_feel.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/knowledge/computed.h"
#include "engine/normal.h"

namespace perrev {

namespace {

static_assert(kRateAnswers.size() == kFeltRates);

// How well people tell frequencies apart, in octaves (one standard deviation).
constexpr double kToldApart = 0.35;
// Half call a vibration of this frequency a sound; the spread is in octaves.
constexpr double kHeard = 80.0;  // Hz
constexpr double kHeardSpread = 0.5;

// How often what follows the engine, or whines like one, is known by its sound.
constexpr double kEngineKnown = 0.65, kAccessoryKnown = 0.5, kMotorKnown = 0.25;

// Typical vehicles.
constexpr Rate kIdle{13.0, 0.30};     // Hz of the engine, standing or creeping
constexpr Rate kDriving{30.0, 0.30};  // Hz of the engine
constexpr Rate kAccessoryRatio{2.0, 0.30};
constexpr double kCreeping = 10.0 / 3.6;  // m/s
// Below this speed nobody takes the wheel for a measure: they compare with a wheel at it.
constexpr double kSlowestMeasure = 30.0 / 3.6;
constexpr double kUsualSpeed = 90.0 / 3.6;  // where the rule base has no worst speed

double octaves(double ratio) { return std::log2(ratio); }

Rate given(const std::optional<double>& known, const Rate& typical) {
  return known && *known > 0.0 ? Rate{*known, 0.0} : typical;
}

double known_by_sound(const std::string& source) {
  return source == "engine"        ? kEngineKnown
         : source == "accessory"   ? kAccessoryKnown
         : source == "motor_rotor" ? kMotorKnown
                                   : 0.0;
}

// Turns of the part for one of the wheel; not of the engine's.
Rate per_wheel(const std::string& source, const FeltMoment& moment) {
  if (source == "driveshaft" || source == "front_driveshaft") return moment.shaft;
  if (source == "motor_rotor") return moment.motor;
  return {1.0, 0.0};
}

// normal_below, which often is asked for the same again.
class Below {
 public:
  double operator()(double z) {
    if (z != z_) below_ = normal_below(z_ = z);
    return below_;
  }

 private:
  double z_ = 0.0, below_ = 0.5;
};

// The number that was read; of a reading that has but its band, as simulated ones do, the middle.
std::optional<double> known(const RuleBase& base, const RoundFacts& round, int fact) {
  const Reading* found = fact < 0 ? nullptr : round.find(fact);
  if (!found || found->unsure) return std::nullopt;
  if (!found->numbers.empty()) return found->number;
  const int first = base.facts[static_cast<std::size_t>(fact)].first_variable;
  if (first < 0 || found->answers.empty() || found->answers[0] < 0) return std::nullopt;
  const std::vector<double>& edges = base.variables[static_cast<std::size_t>(first)].edges;
  const std::size_t band = static_cast<std::size_t>(found->answers[0]);
  if (band + 1 >= edges.size()) return std::nullopt;
  return 0.5 * (edges[band] + edges[band + 1]);
}

}  // namespace

FeltMoment felt_moment(const VehicleFacts& vehicle, double speed,
                       const std::optional<double>& engine_hz, const UsualTurns& usual) {
  FeltMoment out;
  out.shaft = given(vehicle.axle_ratio, usual.shaft);
  out.motor = given(vehicle.reduction_ratio, usual.motor);
  out.accessory = given(vehicle.accessory_ratio, kAccessoryRatio);
  Rate turns = usual.wheel;
  if (vehicle.front_tire) {
    const Estimate rolled = rolling_circumference(*vehicle.front_tire, vehicle.front_state);
    turns = {1.0 / rolled.mean, rolled.sd / rolled.mean};
  }
  out.wheel = {speed * turns.value, turns.spread};
  if (engine_hz && *engine_hz > 0.0) {
    out.engine = {*engine_hz, 0.0};
  } else if (vehicle.axle_ratio && vehicle.gear_ratio && speed > kCreeping) {
    const double ratio =
        *vehicle.axle_ratio * vehicle.transfer_ratio.value_or(1.0) * *vehicle.gear_ratio;
    out.engine = {out.wheel.value * ratio, out.wheel.spread};
    out.engine_by_road = true;
  } else {
    out.engine = speed > kCreeping ? kDriving : kIdle;
  }
  return out;
}

std::vector<FeltMoment> felt_moments(const RuleBase& base, const VehicleFactIndices& at,
                                     const RoundFacts& round, const VehicleFacts& vehicle,
                                     const UsualTurns& usual) {
  const std::optional<double> worst = known(base, round, at.worst_speed);
  const std::optional<double> rpm = known(base, round, at.rpm_at_worst);
  const Motion measured = motion_of(at, round);
  const std::optional<double> engine_hz = rpm || worst ? rpm : measured.engine_hz;
  if (worst) return {felt_moment(vehicle, *worst, engine_hz, usual)};
  if (measured.speed) return {felt_moment(vehicle, *measured.speed, engine_hz, usual)};
  std::vector<FeltMoment> out;
  if (at.worst_speed >= 0) {
    const auto& below_speed = base.facts[static_cast<std::size_t>(at.worst_speed)].cumulative;
    for (std::size_t i = 0; i + 1 < below_speed.size(); ++i) {
      out.push_back(felt_moment(vehicle, 0.5 * (below_speed[i].first + below_speed[i + 1].first),
                                engine_hz, usual));
      out.back().share = below_speed[i + 1].second - below_speed[i].second;
    }
  }
  if (out.empty()) out.push_back(felt_moment(vehicle, kUsualSpeed, engine_hz, usual));
  return out;
}

Rate rate_of(const std::string& source, double order, double order_spread,
             const FeltMoment& moment) {
  const Rate orders{order, order_spread};
  if (source == "engine") return times(orders, moment.engine);
  if (source == "accessory") return times(orders, times(moment.accessory, moment.engine));
  return times(orders, times(per_wheel(source, moment), moment.wheel));
}

FeltSource::FeltSource(const std::string& source, double order_spread,
                       const std::vector<FeltMoment>& moments)
    : known_(known_by_sound(source)) {
  constexpr double kOctave = 1.0 / std::numbers::ln2;  // of a natural logarithm
  const bool engines = is_engines(source);
  for (const FeltMoment& moment : moments) {
    const Rate line = rate_of(source, 1.0, order_spread, moment);
    const Rate turns = per_wheel(source, moment);
    const double measure =
        std::max(moment.wheel.value, kSlowestMeasure * UsualTurns{}.wheel.value);  // Hz of a wheel
    // What the wheel's own spread moves, it moves on both sides.
    const double spread = engines && !moment.engine_by_road
                              ? sd_of_sum(line.spread, moment.wheel.spread)
                              : sd_of_sum(order_spread, turns.spread);
    const double measures =
        engines ? line.value / measure : turns.value * (moment.wheel.value / measure);
    moments_.push_back({moment.share, line.value > 0.0, octaves(line.value / kHeard),
                        1.0 / sd_of_sum(kHeardSpread, kOctave * line.spread), octaves(measures),
                        0.5 * octaves(3.0 * moment.shaft.value),
                        1.0 / sd_of_sum(kToldApart, kOctave * spread)});
  }
}

FeltShares FeltSource::shares(double order) const {
  constexpr double kTwice = 0.5;  // octaves: between one and two turns of the wheel
  const double up = octaves(order);
  FeltShares out{};
  Below heard, once, thrice;
  for (const Compared& at : moments_) {
    if (!at.turns) {  // it stands still: felt, if at all, as slow as can be
      out[static_cast<std::size_t>(FeltRate::wheel)] += at.share;
      continue;
    }
    const double sound = at.share * (1.0 - known_) * heard((up + at.heard) * at.heard_sharp);
    const double felt = at.share * (1.0 - known_) - sound;
    const double above_once = once((up + at.measures - kTwice) * at.told_sharp);
    const double above_thrice =
        std::min(above_once, thrice((up + at.measures - at.thrice) * at.told_sharp));
    const FeltShares one = {felt * (1.0 - above_once), felt * (above_once - above_thrice),
                            felt * above_thrice, at.share * known_, sound};
    for (std::size_t a = 0; a < kFeltRates; ++a) out[a] += one[a];
  }
  return out;
}

FeltShares felt_as(const std::string& source, double order, double order_spread,
                   const FeltMoment& moment) {
  return FeltSource(source, order_spread, {moment}).shares(order);
}

FeltFact felt_fact(const RuleBase& base) {
  FeltFact out;
  const int fact = base.fact_index("how_fast");
  if (fact < 0) return out;
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  if (of.kind != FactKind::one || of.answers.size() != kFeltRates) return out;
  for (std::size_t a = 0; a < kFeltRates; ++a) {
    const int answer = answer_index(of, kRateAnswers[a]);
    if (answer < 0) return out;
    out.answers[a] = static_cast<std::size_t>(answer);
  }
  out.fact = fact;
  return out;
}

}  // namespace perrev
