#include "engine/casefile/vehicle_of.h"

#include <array>
#include <cmath>
#include <string>

namespace perrev {

namespace {

constexpr double kAxleTolerance = 0.03;

class Lookup {
 public:
  Lookup(const RuleBase& base, const RoundFacts& round) : base_(base), round_(round) {}

  const Reading* reading(const char* id, int place = -1) const {
    const int fact = base_.fact_index(id);
    const Reading* found = fact < 0 ? nullptr : round_.find(fact, place);
    return found && !found->unsure ? found : nullptr;
  }
  std::optional<double> number(const char* id, int place = -1) const {
    const Reading* found = reading(id, place);
    return found && !found->numbers.empty() ? std::optional<double>(found->number) : std::nullopt;
  }
  std::string word(const char* id) const { return answer_known(base_, round_, id); }
  std::optional<Tire> tire(const char* id, int place = -1) const {
    const Reading* found = reading(id, place);
    if (!found) return std::nullopt;
    auto tire = parse_tire(found->text);
    return tire ? std::optional<Tire>(std::move(tire).value()) : std::nullopt;
  }

 private:
  const RuleBase& base_;
  const RoundFacts& round_;
};

TireState state_of_axle(const Lookup& facts, int left, int right) {
  TireState state;
  const auto mean = [&](const char* id) -> std::optional<double> {
    const auto a = facts.number(id, left), b = facts.number(id, right);
    if (a && b) return 0.5 * (*a + *b);
    return a ? a : b;
  };
  state.tread_depth = mean("tread_depth");
  state.pressure = mean("pressure_found");
  return state;
}

// The tire of an axle: the left one, else the right one; a temporary spare only when there is no
// other.
std::optional<Tire> tire_of_axle(const Lookup& facts, int left, int right) {
  auto one = facts.tire("tire_size", left), other = facts.tire("tire_size", right);
  if (one && other && one->temporary_spare()) return other;
  return one ? one : other;
}

}  // namespace

std::string answer_known(const RuleBase& base, const RoundFacts& round, std::string_view fact) {
  const int index = base.fact_index(fact);
  const Reading* found = index < 0 ? nullptr : round.find(index);
  if (!found || found->unsure || found->answers.empty() || found->answers[0] < 0) return {};
  return base.facts[static_cast<std::size_t>(index)]
      .answers[static_cast<std::size_t>(found->answers[0])]
      .id;
}

VehicleFacts vehicle_of(const RuleBase& base, const CaseFacts& facts, std::size_t round) {
  const Lookup known(base, facts.rounds[round]);
  VehicleFacts out;
  out.front_tire = tire_of_axle(known, 0, 1);
  out.rear_tire = tire_of_axle(known, 2, 3);
  if (!out.front_tire) out.front_tire = out.rear_tire;
  if (!out.rear_tire) out.rear_tire = out.front_tire;
  out.front_state = state_of_axle(known, 0, 1);
  out.rear_state = state_of_axle(known, 2, 3);
  out.speedometer_tire = known.tire("speedometer_tire_size");
  out.driven_axle = driven_axle_named(known.word("driven_axle"));
  out.powertrain = powertrain_named(known.word("powertrain"));
  out.gearbox = gearbox_named(known.word("gearbox"));
  out.axle_ratio = known.number("axle_ratio");
  out.gear_ratio = known.number("gear_ratio");
  out.transfer_ratio = known.number("transfer_ratio");
  out.reduction_ratio = known.number("reduction_ratio");
  out.accessory_ratio = known.number("accessory_ratio");
  static constexpr std::array<std::pair<const char*, int>, 7> kCylinders = {{{"three", 3},
                                                                             {"four", 4},
                                                                             {"five", 5},
                                                                             {"six", 6},
                                                                             {"eight", 8},
                                                                             {"ten", 10},
                                                                             {"twelve", 12}}};
  const std::string cylinders = known.word("cylinders");
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
  const Lookup known(base, facts.rounds[round]);
  Problems problems;
  for (const int left : {0, 2}) {
    const auto one = known.tire("tire_size", left), other = known.tire("tire_size", left + 1);
    if (!one || !other || one->temporary_spare() || other->temporary_spare()) continue;
    if (std::abs(one->outer_diameter / other->outer_diameter - 1.0) <= kAxleTolerance) continue;
    const Reading* reading = known.reading("tire_size", left + 1);
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
  constexpr double kSameSpeed = 0.5;  // m/s: about what an observer reads to
  const Lookup known(base, facts.rounds[round]);
  Motion out;
  out.speed = known.number("worst_speed");
  out.engine_hz = known.number("rpm_at_worst");
  if (const Reading* speed = known.reading("worst_speed")) out.by = speed_source(*speed);
  const Reading* frequency = known.reading("measured_frequency");
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
