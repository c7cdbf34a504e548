#include "tests/engine/providers/shaking_base.h"

#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

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

}  // namespace perrev::testing
