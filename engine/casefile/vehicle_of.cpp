#include "engine/casefile/vehicle_of.h"

#include <array>
#include <cmath>
#include <string>

namespace perrev {

namespace {

constexpr double kAxleTolerance = 0.03;

class Lookup {
 public:
  explicit Lookup(const RoundFacts& round) : round_(round) {}

  const Reading* reading(int fact, int place = -1) const {
    const Reading* found = fact < 0 ? nullptr : round_.find(fact, place);
    return found && !found->unsure ? found : nullptr;
  }
  std::optional<double> number(int fact, int place = -1) const {
    const Reading* found = reading(fact, place);
    return found && !found->numbers.empty() ? std::optional<double>(found->number) : std::nullopt;
  }
  // Of two wheels; of one where the other is not known.
  std::optional<double> mean(int fact, int left, int right) const {
    const auto a = number(fact, left), b = number(fact, right);
    if (a && b) return 0.5 * (*a + *b);
    return a ? a : b;
  }
  std::optional<Tire> tire(int fact, int place = -1) const {
    const Reading* found = reading(fact, place);
    if (!found) return std::nullopt;
    auto tire = parse_tire(found->text);
    return tire ? std::optional<Tire>(std::move(tire).value()) : std::nullopt;
  }

 private:
  const RoundFacts& round_;
};

// The tire of an axle: the left one, else the right one; a temporary spare only when there is no
// other.
std::optional<Tire> tire_of_axle(const Lookup& facts, int tire_size, int left, int right) {
  auto one = facts.tire(tire_size, left);
  if (one && !one->temporary_spare()) return one;
  auto other = facts.tire(tire_size, right);
  return other ? other : one;
}

}  // namespace

VehicleFactIndices::VehicleFactIndices(const RuleBase& base)
    : accessory_ratio(base.fact_index("accessory_ratio")),
      axle_ratio(base.fact_index("axle_ratio")),
      cylinders(base.fact_index("cylinders")),
      driven_axle(base.fact_index("driven_axle")),
      gear_ratio(base.fact_index("gear_ratio")),
      gearbox(base.fact_index("gearbox")),
      measured_frequency(base.fact_index("measured_frequency")),
      powertrain(base.fact_index("powertrain")),
      pressure_found(base.fact_index("pressure_found")),
      reduction_ratio(base.fact_index("reduction_ratio")),
      rpm_at_worst(base.fact_index("rpm_at_worst")),
      speedometer_tire_size(base.fact_index("speedometer_tire_size")),
      tire_size(base.fact_index("tire_size")),
      transfer_ratio(base.fact_index("transfer_ratio")),
      tread_depth(base.fact_index("tread_depth")),
      vehicle_kind(base.fact_index("vehicle_kind")),
      worst_speed(base.fact_index("worst_speed")) {}

std::string answer_known(const RuleBase& base, const RoundFacts& round, int fact) {
  const Reading* found = Lookup(round).reading(fact);
  if (!found || found->answers.empty() || found->answers[0] < 0) return {};
  return base.facts[static_cast<std::size_t>(fact)]
      .answers[static_cast<std::size_t>(found->answers[0])]
      .id;
}

std::string answer_known(const RuleBase& base, const RoundFacts& round, std::string_view fact) {
  return answer_known(base, round, base.fact_index(fact));
}

VehicleFacts vehicle_of(const RuleBase& base, const CaseFacts& facts, std::size_t round) {
  return vehicle_of(base, VehicleFactIndices(base), facts.rounds[round]);
}

VehicleFacts vehicle_of(const RuleBase& base, const VehicleFactIndices& at,
                        const RoundFacts& round) {
  const Lookup known(round);
  VehicleFacts out;
  out.front_tire = tire_of_axle(known, at.tire_size, 0, 1);
  out.rear_tire = tire_of_axle(known, at.tire_size, 2, 3);
  if (!out.front_tire) out.front_tire = out.rear_tire;
  if (!out.rear_tire) out.rear_tire = out.front_tire;
  out.front_state.tread_depth = known.mean(at.tread_depth, 0, 1);
  out.front_state.pressure = known.mean(at.pressure_found, 0, 1);
  out.rear_state.tread_depth = known.mean(at.tread_depth, 2, 3);
  out.rear_state.pressure = known.mean(at.pressure_found, 2, 3);
  out.speedometer_tire = known.tire(at.speedometer_tire_size);
  out.driven_axle = driven_axle_named(answer_known(base, round, at.driven_axle));
  out.powertrain = powertrain_named(answer_known(base, round, at.powertrain));
  out.gearbox = gearbox_named(answer_known(base, round, at.gearbox));
  out.axle_ratio = known.number(at.axle_ratio);
  out.gear_ratio = known.number(at.gear_ratio);
  out.transfer_ratio = known.number(at.transfer_ratio);
  out.reduction_ratio = known.number(at.reduction_ratio);
  out.accessory_ratio = known.number(at.accessory_ratio);
  static constexpr std::array<std::pair<const char*, int>, 7> kCylinders = {{{"three", 3},
                                                                             {"four", 4},
                                                                             {"five", 5},
                                                                             {"six", 6},
                                                                             {"eight", 8},
                                                                             {"ten", 10},
                                                                             {"twelve", 12}}};
  const std::string cylinders = answer_known(base, round, at.cylinders);
  for (const auto& [word, count] : kCylinders)
    if (cylinders == word) out.cylinders = count;
  return out;
}

const std::vector<std::string_view>& vehicle_facts() {
  static const std::vector<std::string_view> ids = {
      "accessory_ratio", "axle_ratio",     "cylinders",          "driven_axle",
      "gear_ratio",      "gearbox",        "powertrain",         "pressure_found",
      "reduction_ratio", "rpm_at_worst",   "measured_frequency", "speedometer_tire_size",
      "tire_size",       "transfer_ratio", "tread_depth",        "worst_speed"};
  return ids;
}

Result<VehicleFacts, Problems> vehicle_of(const CaseFile& file, const RuleBase& base,
                                          const CaseFacts& facts, std::size_t round) {
  const Lookup known(facts.rounds[round]);
  const int tire_size = base.fact_index("tire_size");
  Problems problems;
  for (const int left : {0, 2}) {
    const auto one = known.tire(tire_size, left), other = known.tire(tire_size, left + 1);
    if (!one || !other || one->temporary_spare() || other->temporary_spare()) continue;
    if (std::abs(one->outer_diameter / other->outer_diameter - 1.0) <= kAxleTolerance) continue;
    const Reading* reading = known.reading(tire_size, left + 1);
    problems.push_back(Problem{file.place(reading->entry, "/value"),
                               "the tires " + one->designation + " and " + other->designation +
                                   " do not fit one " + (left == 0 ? "front" : "rear") + " axle",
                               "two tires of the same size",
                               {}});
  }
  if (!problems.empty()) return problems;
  return vehicle_of(base, facts, round);
}

namespace {

std::string held(const Reading& reading, const char* key) {
  const auto found = reading.with.find(key);
  return found == reading.with.end() ? std::string() : found->second;
}

SpeedSource speed_source(const Reading& reading) {
  const std::string by = held(reading, "by");
  return by == "gps"           ? SpeedSource::gps
         : by == "speedometer" ? SpeedSource::speedometer
                               : SpeedSource::unknown;
}

}  // namespace

Motion motion_of(const RuleBase& base, const CaseFacts& facts, std::size_t round) {
  return motion_of(VehicleFactIndices(base), facts.rounds[round]);
}

Motion motion_of(const VehicleFactIndices& at, const RoundFacts& round) {
  constexpr double kSameSpeed = 0.5;  // m/s: about what an observer reads to
  const Lookup known(round);
  Motion out;
  out.speed = known.number(at.worst_speed);
  out.engine_hz = known.number(at.rpm_at_worst);
  if (const Reading* speed = known.reading(at.worst_speed)) out.by = speed_source(*speed);
  const Reading* frequency = known.reading(at.measured_frequency);
  if (!frequency) return out;
  if (const auto speed = parse_quantity(held(*frequency, "speed"), Dimension::speed)) {
    // Engine speed at the worst speed says nothing of another one.
    if (!out.speed || std::abs(*out.speed - *speed) > kSameSpeed) out.engine_hz.reset();
    out.speed = *speed;
    out.by = speed_source(*frequency);
  }
  if (const auto rpm = parse_quantity(held(*frequency, "rpm"), Dimension::frequency))
    out.engine_hz = *rpm;
  return out;
}

}  // namespace perrev
