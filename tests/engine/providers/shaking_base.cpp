#include "tests/engine/providers/shaking_base.h"

#include <cmath>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "engine/casefile/vehicle_of.h"
#include "engine/knowledge/load.h"

namespace perrev::testing {

namespace {

// Facts that the arithmetic of rotating parts reads, and a cause for each way to shake.
const char* const kFacts = R"(
tire_size: {ask: Size, kind: text, asked_at: [bay], per: wheel, lasts: vehicle}
driven_axle:
  ask: Driven
  kind: one
  answers: {front: F, rear: R, all: A, part_time: P}
  base: {front: 0.5, rear: 0.2, all: 0.2, part_time: 0.1}
  asked_at: [write_up]
  lasts: vehicle
powertrain:
  ask: Power
  kind: one
  answers: {engine: E, hybrid: H, electric: B}
  base: {engine: 0.8, hybrid: 0.1, electric: 0.1}
  asked_at: [write_up]
  lasts: vehicle
cylinders:
  ask: Cylinders
  kind: one
  answers: {four: F, six: S}
  base: {four: 0.6, six: 0.4}
  asked_at: [write_up]
  lasts: vehicle
axle_ratio:
  ask: Ratio
  kind: number
  unit: ratio
  range: 1..10
  base: {3: 0.5}
  asked_at: [bay]
  lasts: vehicle
worst_speed:
  ask: Speed
  kind: number
  unit: speed
  range: 0..250 km/h
  base: {100 km/h: 0.5}
  asked_at: [write_up]
rpm_at_worst:
  ask: Rpm
  kind: number
  unit: frequency
  range: 0..200 Hz
  base: {30 Hz: 0.5}
  asked_at: [road]
measured_frequency:
  ask: Frequency
  kind: number
  unit: frequency
  range: 0.5..500 Hz
  base: {20 Hz: 0.5}
  asked_at: [road]
how_fast:
  ask: How fast
  kind: one
  answers: {as_shaft: S, slow_as_wheel: W, two_three_times_wheel: T, sound_only: O, as_engine: E}
  base:
    {as_shaft: 0.2, slow_as_wheel: 0.3, two_three_times_wheel: 0.2, sound_only: 0.1, as_engine: 0.2}
  asked_at: [write_up]
beat_period:
  ask: Seconds
  kind: number
  unit: time
  range: 0.2..120 s
  base: {1 s: 0.12, 2 s: 0.24, 5 s: 0.44, 8 s: 0.58, 15 s: 0.76, 25 s: 0.88, 60 s: 0.98}
  asked_at: [road]
circumference_difference:
  ask: Difference
  kind: number
  unit: ratio
  range: 0..20 %
  base: {1 %: 0.5}
  asked_at: [bay]
tread_depth:
  ask: Tread
  kind: number
  unit: length
  range: 0..30 mm
  base: {4 mm: 0.5}
  asked_at: [bay]
  per: wheel
  lasts: vehicle
safe: {ask: Safe, kind: yesno, base: 0.9, asked_at: [bay], clear: yes}
)";

const char* const kStrengths = R"(
strengths: {some: 2.5}
usual_words: {rare: 3}
shares: {not_listed: 0.05, pairs: 0.10}
likely_from: 0.5
)";

const char* const kRules = R"(
- {rule: r, when: {safe: no}, for: {loose_trim: some}, because: B., origin: invented}
)";

const char* const kShop = R"(
setups: {hoist: {minutes: 4, what: Up}}
equipment: {gauge: {what: Gauge, have: yes}}
)";

const char* const kChecks = R"(
look: {what: Look, by: bay, learns: [safe], minutes: 1, moves: no}
)";

const char* const kPath = R"(
gates: {go: {guards: [moves], asks: [safe], what: Go}}
ends: {verdict: {what: Found}}
edges:
  - {from: start, to: [look, go]}
  - {from: [look, go], to: verdict}
)";

const std::vector<std::pair<std::string, std::string>>& shakes_of_causes() {
  static const std::vector<std::pair<std::string, std::string>> all = {
      {"tire_once", "{source: tire, order: 1}"},
      {"tire_twice", "{source: tire, order: 2}"},
      {"shaft_once", "{source: driveshaft, order: 1}"},
      {"engine_firing", "{source: engine, order: firing}"},
      {"tire_or_shaft", "{source: tire, order: 1, share: 0.7}, {source: driveshaft, order: 1}"},
      {"tire_tread", "{source: tire, order: 6..8}"},
      {"mismatched_tires_beating",
       "{source: tire, order: 1, share: 0.5}, {source: tire, order: 4}"},
      {"loose_trim", ""}};
  return all;
}

}  // namespace

RuleBase base_of_shakes() {
  std::string causes, cured;
  for (const auto& [id, shakes] : shakes_of_causes()) {
    causes += id + ": {name: Cause " + id + ", family: all, usual: 10, repair: mend, proof: Drive" +
              (shakes.empty() ? "" : ", shakes: [" + shakes + "]") + ", shown_by: bay}\n";
    cured += (cured.empty() ? "" : ", ") + id;
  }
  const auto file = [](const std::string& name, const std::string& text) {
    return SourceFile{name, name, text};
  };
  const std::string repairs =
      "mend: {what: Mend, minutes: 10, parts: none, proof: Drive, cures: [" + cured + "]}\n";
  auto loaded = load_rule_base(
      {file("families.yaml", "all: {name: All}\n"), file("strengths.yaml", kStrengths),
       file("facts.yaml", kFacts), file("limits.yaml", "{}\n"), file("causes/all.yaml", causes),
       file("repairs.yaml", repairs), file("evidence/all.yaml", kRules), file("shop.yaml", kShop),
       file("checks.yaml", kChecks), file("path.yaml", kPath)});
  if (!loaded) throw std::runtime_error(loaded.error().front().text());
  return std::move(loaded).value();
}

CaseFacts facts_from(const RuleBase& base, const std::vector<BayEntry>& told) {
  CaseFile file;
  for (const BayEntry& one : told) {
    Entry entry;
    entry.at = "2026-05-04T09:00:00Z";
    entry.by = Asker::bay;
    entry.fact = one.fact;
    entry.place = one.place;
    entry.values = one.values;
    entry.unsure = one.values == std::vector<std::string>{"unsure"};
    entry.with = one.with;
    file.add(std::move(entry));
  }
  auto read = facts_of(file, base);
  if (!read) throw std::runtime_error(read.error().front().text());
  return std::move(read).value();
}

const RuleBase& shaking_rules() {
  static const RuleBase made = base_of_shakes();
  return made;
}

CaseFacts facts_from(const std::vector<BayEntry>& told) {
  return facts_from(shaking_rules(), told);
}

std::vector<BayEntry> rear_driven_car() {
  return {{"tire_size", {"225/60R16"}, "", {}},
          {"driven_axle", {"rear"}, "", {}},
          {"powertrain", {"engine"}, "", {}},
          {"axle_ratio", {"3.5"}, "", {}},
          {"worst_speed", {"65 mph"}, "", {{"by", "gps"}}},
          {"cylinders", {"four"}, "", {}},
          {"rpm_at_worst", {"40 Hz"}, "", {}}};
}

std::vector<OrderLine> lines_of(const CaseFacts& facts) {
  const VehicleFacts vehicle = vehicle_of(shaking_rules(), facts, 0);
  return order_lines(vehicle, rotations(vehicle, motion_of(shaking_rules(), facts, 0)));
}

Estimate line_of(const std::vector<OrderLine>& lines, const std::string& source, double order) {
  for (const OrderLine& line : lines)
    if (line.source == source && std::abs(line.order - order) < 1e-9) return line.hz;
  return {};
}

double weight_of(const ProviderWeights& said, const std::string& cause) {
  return said.by_cause[static_cast<std::size_t>(shaking_rules().cause_index(cause))];
}

std::string hz_text(double hz) { return std::to_string(hz) + " Hz"; }

}  // namespace perrev::testing
