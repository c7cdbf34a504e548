// A rule base small enough to see at once, and short ways to write cases and to read what they add
// up to. For the tests of this folder.
#pragma once

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/load.h"

namespace perrev::tiny {

inline const char* const kFacts = R"(
tire_size: {ask: Size, kind: text, asked_at: [write_up, bay], per: wheel, lasts: vehicle}
speedometer_tire_size: {ask: Size when new, kind: text, asked_at: [bay], lasts: vehicle}
driven_axle:
  ask: Driven?
  kind: one
  answers: {front: Front, rear: Rear, all: All, part_time: Part time}
  base: {front: 0.4, rear: 0.3, all: 0.2, part_time: 0.1}
  asked_at: [write_up]
  lasts: vehicle
powertrain:
  ask: Powertrain?
  kind: one
  answers: {engine: Engine, hybrid: Both, electric: Motor}
  base: {engine: 0.8, hybrid: 0.1, electric: 0.1}
  asked_at: [write_up]
  lasts: vehicle
gearbox:
  ask: Gearbox?
  kind: one
  answers: {manual: Manual, automatic: Automatic}
  base: {manual: 0.5, automatic: 0.5}
  asked_at: [write_up]
  lasts: vehicle
cylinders:
  ask: Cylinders?
  kind: one
  answers: {four: Four, six: Six}
  base: {four: 0.7, six: 0.3}
  asked_at: [write_up]
  lasts: vehicle
wheel_type:
  ask: Wheels?
  kind: one
  answers: {alloy: Alloy, steel: Steel}
  base: {alloy: 0.7, steel: 0.3}
  asked_at: [write_up, bay]
  lasts: vehicle
axle_ratio:
  {ask: Ratio, kind: number, unit: ratio, range: 1.5..10, base: {"3": 0.5}, asked_at: [bay], lasts: vehicle}
tread_depth:
  ask: Tread?
  kind: number
  unit: length
  range: 0..25 mm
  base: {5 mm: 0.5}
  asked_at: [bay]
  per: wheel
  lasts: vehicle
felt_at:
  ask: Where?
  kind: several
  answers: {steering_wheel: Wheel, seat: Seat, floor: Floor}
  base: {steering_wheel: 0.4, seat: 0.4, floor: 0.3}
  asked_at: [write_up, road]
pull: {ask: Does it pull, kind: yesno, base: 0.1, asked_at: [write_up, road]}
complaint_words: {ask: In your words, kind: text, asked_at: [write_up]}
worst_speed:
  {ask: Speed, kind: number, unit: speed, range: 0..200 km/h, base: {80 km/h: 0.5}, asked_at: [write_up, road]}
rpm_at_worst:
  {ask: Rpm, kind: number, unit: frequency, range: 300..9000 rpm, base: {2000 rpm: 0.5}, asked_at: [road]}
measured_frequency:
  {ask: Frequency, kind: number, unit: frequency, range: 1..200 Hz, base: {20 Hz: 0.6}, asked_at: [road, bay]}
rim_radial_runout:
  {ask: Rim, kind: number, unit: length, range: 0..20 mm, base: 0.1, asked_at: [bay], per: wheel}
brake_drags: {ask: Does a brake drag, kind: yesno, base: 0.05, asked_at: [bay], per: axle}
shaft_speed:
  ask: How fast does the shaft turn?
  kind: one
  answers: {slow: Slow, fast: Fast}
  base: {slow: 0.5, fast: 0.5}
  asked_at: [bay]
working_angle:
  {ask: Angle, kind: number, unit: angle, range: -10..10 deg, base: 0.2, asked_at: [bay], per: shaft}
nuts_loose:
  ask: Is a nut loose?
  kind: yesno
  base: 0.02
  asked_at: [write_up, bay]
  clear: "no"
  stop:
    answers: ["yes"]
    reason: A wheel may be loose
    caution: Do not drive it.
    cleared_by: nuts_sound
nuts_sound: {ask: Are nuts and studs sound, kind: yesno, base: 0.9, asked_at: [bay], clear: "yes"}
)";

inline const char* const kLimits = R"(
rim_radial_runout:
  better: lower
  class_by: wheel_type
  classes:
    alloy: {good: 0.5 mm, bad: 0.8 mm, origin: common practice}
    steel: {good: 0.8 mm, bad: 1.0 mm, origin: common practice}
working_angle:
  better: lower
  class_by: shaft_speed
  classes:
    slow: {good: 3 deg, bad: 5 deg, origin: from memory}
    fast: {good: 1 deg, bad: 2 deg, origin: from memory}
)";

inline const char* const kCauses = R"(
wheel_imbalance:
  name: Wheel out of balance
  family: wheel
  usual: 300
  shakes: [{source: tire, order: 1}]
  repair: rebalance
  proof: It is gone.
  shown_by: repair
bent_rim: {name: Bent rim, family: wheel, usual: 50, repair: new_rim, proof: It runs true., shown_by: bay}
loose_nuts: {name: Loose nuts, family: wheel, usual: 10, repair: tighten, proof: They hold., shown_by: bay}
)";

inline const char* const kChecks = R"(
ask_all:
  what: Ask
  by: write_up
  learns: [felt_at, pull, complaint_words, worst_speed, nuts_loose]
  minutes: 1
drive:
  what: Drive
  by: road
  learns: [rpm_at_worst, measured_frequency]
  minutes: 10
  moves: "yes"
gauge_on_rim:
  what: Gauge
  by: bay
  learns: [rim_radial_runout]
  minutes: 6
  confirms: {bent_rim: bad}
look_at_nuts:
  what: Look
  by: bay
  learns: [nuts_loose, nuts_sound]
  minutes: 4
  confirms: {loose_nuts: {nuts_sound: "no"}}
)";

inline const char* const kPath = R"(
gates:
  safe: {guards: [moves], asks: [nuts_loose], what: Safe to drive}
ends: {verdict: {what: Found}}
edges:
  - {from: start, to: [ask_all, gauge_on_rim, look_at_nuts]}
  - {from: ask_all, to: safe}
  - {from: safe, to: drive, when: passed}
  - {from: [ask_all, safe, drive, gauge_on_rim, look_at_nuts], to: verdict}
)";

inline const char* const kEvidence = R"(
- rule: at_tire_speed
  when: {worst_speed: 55..75 mph}
  for: {wheel_imbalance: strong}
  because: It is worst where a wheel shakes most.
  origin: common practice
)";

inline const char* const kRepairs = R"(
rebalance: {what: Balance, minutes: 30, parts: none, cures: [wheel_imbalance], proof: Gone.}
new_rim: {what: Rim, minutes: 40, parts: medium, cures: [bent_rim], proof: Gone.}
tighten: {what: Nuts, minutes: 20, parts: small, cures: [loose_nuts], proof: Gone.}
)";

inline const RuleBase& base() {
  static const RuleBase loaded = [] {
    const auto file = [](const char* name, const char* text) {
      return SourceFile{name, name, text};
    };
    auto result = load_rule_base(
        {file("facts.yaml", kFacts), file("limits.yaml", kLimits),
         file("families.yaml", "wheel: {name: Wheels}\n"), file("causes/wheel.yaml", kCauses),
         file("repairs.yaml", kRepairs), file("checks.yaml", kChecks), file("path.yaml", kPath),
         file("evidence/speed.yaml", kEvidence), file("shop.yaml", "setups: {}\nequipment: {}\n"),
         file("strengths.yaml",
              "strengths: {strong: 8}\nshares: {not_listed: 0.05, pairs: 0.1}\nlikely_from: "
              "0.5\n")});
    std::string told;
    if (!result)
      for (const Problem& each : result.error()) told += each.text() + "\n";
    REQUIRE_MESSAGE(result.ok(), told);
    return std::move(result).value();
  }();
  return loaded;
}

// A case of these entries, in JSON. An entry is the inside of its object; where it does not begin
// with its id it gets the next number and the next minute.
inline std::string case_text(const std::vector<std::string>& entries) {
  std::string out = "{\"perrev_case\": 1, \"entries\": [";
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const std::string minute = std::to_string(100 + i).substr(1);
    const bool has_id = entries[i].rfind("\"id\"", 0) == 0;
    out += std::string(i == 0 ? "" : ",") + "\n{" +
           (has_id ? ""
                   : "\"id\": \"" + std::to_string(i + 1) +
                         "\", \"at\": \"2026-05-04T09:" + minute + ":00Z\", ") +
           entries[i] + "}";
  }
  return out + "]}\n";
}

inline std::string said(const std::string& by, const std::string& fact, const std::string& value,
                        const std::string& more = {}) {
  return "\"by\": \"" + by + "\", \"fact\": \"" + fact + "\", \"value\": " + value +
         (more.empty() ? "" : ", " + more);
}

inline std::string unsure(const std::string& by, const std::string& fact) {
  return "\"by\": \"" + by + "\", \"fact\": \"" + fact + "\", \"answer\": \"unsure\"";
}

inline std::string retract(const std::string& id) {
  return "\"by\": \"bay\", \"retracts\": \"" + id + "\"";
}

inline std::string repaired(const std::string& repair) {
  return "\"by\": \"bay\", \"repair\": \"" + repair + "\", \"result\": \"done\"";
}

inline CaseFile parsed(const std::string& text) {
  auto file = CaseFile::parse("a.json", text);
  REQUIRE_MESSAGE(file.ok(), (file.ok() ? "" : file.error().front().text()));
  return std::move(file).value();
}

inline CaseFacts facts_in(const std::vector<std::string>& entries) {
  auto facts = facts_of(parsed(case_text(entries)), base());
  REQUIRE_MESSAGE(facts.ok(), (facts.ok() ? "" : facts.error().front().text()));
  return std::move(facts).value();
}

// All problems of a case, one a line; empty when there are none.
inline std::string told(const std::string& text) {
  const auto file = CaseFile::parse("a.json", text);
  Problems problems = file ? Problems{} : file.error();
  if (file) {
    const auto facts = facts_of(*file, base());
    if (!facts) problems = facts.error();
  }
  std::string out;
  for (const Problem& each : problems) out += (out.empty() ? "" : "\n") + each.text();
  return out;
}

// What is in force in a round: "pull=yes, rim_radial_runout@left_front=0.9 mm (bad)".
inline std::string in_force(const CaseFacts& facts, std::size_t round) {
  std::string out;
  for (const Reading& reading : facts.rounds[round].readings) {
    const Fact& fact = base().facts[static_cast<std::size_t>(reading.fact)];
    out += (out.empty() ? "" : ", ") + fact.id;
    if (reading.place >= 0)
      out += "@" + places_of(fact.per)[static_cast<std::size_t>(reading.place)];
    out += "=" + reading.text;
    if (fact.limit >= 0)
      out += reading.answers[0] < 0 ? " (between)" : reading.answers[0] == 0 ? " (good)" : " (bad)";
  }
  return out;
}

inline std::string in_force(const std::vector<std::string>& entries) {
  const CaseFacts facts = facts_in(entries);
  return in_force(facts, facts.rounds.size() - 1);
}

}  // namespace perrev::tiny
