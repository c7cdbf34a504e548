#include "tests/engine/planning/road_world.h"

#include <cstdio>
#include <stdexcept>

namespace perrev::testing {

namespace {

const char* const kFacts = R"(
tire_size: {ask: Size, kind: text, asked_at: [bay], per: wheel, lasts: vehicle}
tread_depth:
  ask: Depth
  kind: number
  unit: length
  range: 0..25 mm
  base: {5 mm: 0.5}
  asked_at: [bay]
  per: wheel
  lasts: vehicle
pressure_found:
  ask: Pressure
  kind: number
  unit: pressure
  range: 0..900 kPa
  base: {200 kPa: 0.3}
  asked_at: [bay]
  per: wheel
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
gearbox:
  ask: Gearbox
  kind: one
  answers: {manual: M, automatic: A, belt: B}
  base: {manual: 0.4, automatic: 0.4, belt: 0.2}
  asked_at: [write_up]
  lasts: vehicle
cylinders:
  ask: Cylinders
  kind: one
  answers: {four: F, six: S, eight: E}
  base: {four: 0.6, six: 0.2, eight: 0.2}
  asked_at: [write_up]
  lasts: vehicle
axle_ratio: {ask: Axle, kind: number, unit: ratio, range: 1..10, base: {3: 0.5}, asked_at: [bay], lasts: vehicle}
gear_ratio: {ask: Gear, kind: number, unit: ratio, range: 0.3..10, base: {1: 0.5}, asked_at: [bay]}
worst_speed: {ask: Worst, kind: number, unit: speed, range: 0..250 km/h, base: {100 km/h: 0.5}, asked_at: [road]}
begins_speed: {ask: Begins, kind: number, unit: speed, range: 0..250 km/h, base: {70 km/h: 0.5}, asked_at: [road]}
ends_speed: {ask: Ends, kind: number, unit: speed, range: 0..250 km/h, base: {120 km/h: 0.5}, asked_at: [road]}
rpm_at_worst: {ask: Rpm, kind: number, unit: frequency, range: 0..200 Hz, base: {30 Hz: 0.5}, asked_at: [road]}
measured_frequency: {ask: Hz, kind: number, unit: frequency, range: 0.5..500 Hz, base: {20 Hz: 0.5}, asked_at: [road]}
odd_wheel_fitted:
  ask: Odd
  kind: one
  answers: {none: N, small_spare: S, snow_chain: C}
  base: {none: 0.9, small_spare: 0.05, snow_chain: 0.05}
  asked_at: [write_up]
duplicated: {ask: Back, kind: yesno, base: 0.8, asked_at: [road]}
neutral_coast:
  ask: Coast
  kind: one
  answers: {stays: S, weaker: W, goes: G}
  base: {stays: 0.5, weaker: 0.2, goes: 0.3}
  asked_at: [road]
lower_gear_same_speed: {ask: Lower, kind: one, answers: {same: S, changes: C}, base: {same: 0.7, changes: 0.3}, asked_at: [road]}
light_brake: {ask: Brake, kind: yesno, base: 0.2, asked_at: [road]}
firm_brake: {ask: Firm, kind: yesno, base: 0.2, asked_at: [road]}
with_warmth: {ask: Warm, kind: one, answers: {no_change: N, fades: F}, base: {no_change: 0.8, fades: 0.2}, asked_at: [road]}
complaint_now: {ask: Now, kind: one, answers: {gone: G, same: S}, base: {gone: 0.3, same: 0.7}, asked_at: [road], after_repair: yes}
wheel_hot: {ask: Hot, kind: yesno, base: 0.05, asked_at: [road], per: wheel}
joint_play: {ask: Play, kind: yesno, base: 0.1, asked_at: [bay]}
loose:
  ask: Loose
  kind: yesno
  base: 0.02
  asked_at: [write_up, road, bay]
  clear: no
  stop: {answers: [yes], reason: Loose, caution: Do not drive, cleared_by: sound}
sound: {ask: Sound, kind: yesno, base: 0.9, asked_at: [bay], clear: yes}
)";

const char* const kRules = R"(
- {rule: stays, when: {neutral_coast: stays}, for: {wheels: strong, shaft_once: strong}, against: {engines: strong}, because: B., origin: invented}
- {rule: changes, when: {lower_gear_same_speed: changes}, for: {engines: very_strong}, against: {wheels: strong}, because: B., origin: invented}
- {rule: braking, when: {light_brake: yes}, for: {brake: very_strong}, because: B., origin: invented}
- {rule: firmly, when: {firm_brake: yes}, for: {brake: very_strong}, because: B., origin: invented}
- {rule: warm, when: {with_warmth: fades}, for: {flat_spot: very_strong}, because: B., origin: invented}
- {rule: hot, when: {wheel_hot: yes}, for: {brake: very_strong}, because: B., origin: invented}
- {rule: play, when: {joint_play: yes}, for: {shaft_once: very_strong}, because: B., origin: invented}
- {rule: gone, when: {complaint_now: gone}, for: {nothing_left: very_strong}, because: B., origin: invented}
)";

const char* const kChecks = R"(
ask_loose: {what: Look, by: road, learns: [loose], minutes: 1, moves: no}
bring_back: {what: Bring it back, by: road, learns: [duplicated], minutes: 5, setup: road, moves: yes}
speed_up: {what: Speed up, by: road, learns: [worst_speed, begins_speed, ends_speed], minutes: 4, setup: road, moves: yes}
record: {what: Record, by: road, learns: [measured_frequency], minutes: 3, setup: road, equipment: [recorder], moves: yes}
read_rpm: {what: Read the rpm, by: road, learns: [rpm_at_worst], minutes: 1, setup: road, moves: yes}
coast: {what: Coast, by: road, learns: [neutral_coast], minutes: 3, setup: road, moves: yes}
gear_down: {what: Gear down, by: road, learns: [lower_gear_same_speed], minutes: 2, setup: road, moves: yes}
brake: {what: Brake lightly, by: road, learns: [light_brake], minutes: 3, setup: road, moves: yes}
brake_hard: {what: Brake firmly, by: road, learns: [firm_brake], minutes: 2, setup: road, moves: yes}
warm_up: {what: Drive it warm, by: road, learns: [with_warmth], minutes: 25, setup: road, moves: yes}
feel_heat: {what: Feel the heat, by: road, learns: [wheel_hot], minutes: 9, moves: no}
prove: {what: Drive again, by: road, learns: [complaint_now], minutes: 10, setup: road, moves: yes}
feel_joint: {what: Feel the joint, by: bay, learns: [joint_play], minutes: 3, moves: no, confirms: {shaft_once: {joint_play: yes}}}
)";

const char* const kPath = R"(
gates: {safe: {guards: [moves], asks: [loose], what: Safe}}
ends: {verdict: {what: Found}}
edges:
  - {from: start, to: [ask_loose, feel_joint, feel_heat, safe]}
  - {from: safe, to: [bring_back, speed_up, record, read_rpm, coast, gear_down, brake, warm_up, prove], when: passed}
  - {from: brake, to: brake_hard}
  - {from: [ask_loose, feel_joint, feel_heat, bring_back, speed_up, record, read_rpm, coast, gear_down, brake_hard, warm_up, prove], to: verdict}
)";

std::string cause(const std::string& id, const std::string& family, const std::string& shakes,
                  const std::string& caution = {}) {
  return id + ": {name: Cause " + id + ", family: " + family +
         ", usual: 10, repair: mend, proof: Drive, shown_by: bay" +
         (shakes.empty() ? "" : ", shakes: [" + shakes + "]") +
         (caution.empty() ? "" : ", caution: " + caution) + "}\n";
}

std::string hex(double value) {
  char text[48];
  std::snprintf(text, sizeof text, " %a", value);
  return text;
}

}  // namespace

std::vector<SourceFile> road_files(const std::string& more_causes, const std::string& more_rules) {
  const auto file = [](const std::string& name, const std::string& text) {
    return SourceFile{name, name, text};
  };
  const std::string causes =
      cause("tire_once", "wheels", "{source: tire, order: 1}") +
      cause("tire_again", "wheels", "{source: tire, order: 1}") +
      cause("shaft_once", "shafts", "{source: driveshaft, order: 1}", "Safety. It can let go.") +
      cause("engine_once", "engines", "{source: engine, order: 1}") +
      cause("brake", "brakes", "{source: tire, order: 2}") +
      cause("flat_spot", "wheels", "{source: tire, order: 1}") + more_causes;
  std::string cured;
  for (std::size_t at = 0; at < causes.size(); at = causes.find('\n', at) + 1)
    cured += (cured.empty() ? "" : ", ") + causes.substr(at, causes.find(':', at) - at);
  return {
      file("families.yaml",
           "wheels: {name: W}\nshafts: {name: S}\nengines: {name: E}\nbrakes: {name: B}\n"),
      file("strengths.yaml",
           "strengths: {some: 2.5, strong: 8, very_strong: 20}\nusual_words: {rare: 3}\n"
           "shares: {not_listed: 0.05, pairs: 0.10}\nlikely_from: 0.5\n"),
      file("facts.yaml", kFacts),
      file("limits.yaml", "{}\n"),
      file("causes/all.yaml", causes),
      file("repairs.yaml",
           "mend: {what: Mend, minutes: 10, parts: none, proof: Drive, cures: [" + cured + "]}\n"),
      file("evidence/all.yaml", kRules + more_rules),
      file("shop.yaml",
           "setups: {road: {minutes: 10, what: Out}}\nequipment: {recorder: {what: R, have: "
           "yes}}\n"),
      file("checks.yaml", kChecks),
      file("path.yaml", kPath)};
}

RuleBase road_base(const std::string& more_causes, const std::string& more_rules) {
  auto loaded = load_rule_base(road_files(more_causes, more_rules));
  if (!loaded) throw std::runtime_error(loaded.error().front().text());
  return std::move(loaded).value();
}

CaseFile road_case(const std::vector<Told>& told) {
  CaseFile out;
  int minute = 0;
  for (const Told& one : told) {
    char at[32];
    std::snprintf(at, sizeof at, "2026-05-04T09:%02d:00Z", minute++);
    Entry entry;
    entry.at = at;
    entry.by = Asker::road;
    entry.fact = one.fact;
    entry.place = one.place;
    entry.values = {one.value};
    if (!one.by_instrument.empty()) entry.with = {{"by", one.by_instrument}};
    out.add(std::move(entry));
  }
  return out;
}

Drive::Drive(const Reasoner& reasoner, const CaseFile& file, Units units)
    : facts([&] {
        auto read = facts_of(file, reasoner.base());
        if (!read) throw std::runtime_error(read.error().front().text());
        return std::move(read).value();
      }()),
      ranking(rank(reasoner, facts)),
      offers(offers_of(reasoner.base(), facts)),
      plan(road_plan(reasoner, facts, ranking, offers, units)),
      base_(reasoner.base()) {}

const RoadManoeuvre* Drive::find(const std::string& check) const {
  for (const std::vector<RoadManoeuvre>* all : {&plan.manoeuvres, &plan.longer})
    for (const RoadManoeuvre& driven : *all)
      if (driven.check == base_.check_index(check)) return &driven;
  return nullptr;
}

std::vector<std::string> Drive::checks() const {
  std::vector<std::string> out;
  for (const RoadManoeuvre& driven : plan.manoeuvres)
    out.push_back(base_.checks[static_cast<std::size_t>(driven.check)].id);
  return out;
}

int Drive::suspect(const std::string& cause) const {
  for (std::size_t s = 0; s < plan.suspects.size(); ++s)
    if (plan.suspects[s].cause == base_.cause_index(cause)) return static_cast<int>(s);
  return -1;
}

std::size_t Drive::line(const std::string& about) const {
  if (plan.recording)
    for (std::size_t l = 0; l < plan.recording->lines.size(); ++l)
      if (plan.recording->lines[l].about == about) return l;
  throw std::runtime_error("no line " + about);
}

const LinePair* Drive::pair(const std::string& one, const std::string& other) const {
  const std::size_t a = line(one), b = line(other);
  for (const LinePair& pair : plan.recording->pairs)
    if ((pair.first == a && pair.second == b) || (pair.first == b && pair.second == a))
      return &pair;
  return nullptr;
}

std::string told_plan(const RoadPlan& plan) {
  std::string out;
  const auto number = [&](std::size_t value) { out += " " + std::to_string(value); };
  const auto numbers = [&](const std::vector<int>& values) {
    for (const int value : values) out += " " + std::to_string(value);
    out += "\n";
  };
  numbers(plan.stops);
  for (const RoadGate& gate : plan.gates) numbers(gate.missing);
  numbers(plan.shown);
  for (const RoadSuspect& suspect : plan.suspects)
    out += std::to_string(suspect.cause) + hex(suspect.probability) + "\n";
  for (const RoadLookFirst& look : plan.look_first) number(look.suspect);
  out += hex(plan.speeds.felt) + hex(plan.speeds.cap) + hex(plan.minutes) + "\n";
  for (const std::vector<RoadManoeuvre>* all : {&plan.manoeuvres, &plan.longer})
    for (const RoadManoeuvre& driven : *all) {
      out += std::to_string(driven.check) + hex(driven.minutes) + hex(driven.from.value_or(-1.0)) +
             hex(driven.to.value_or(-1.0)) + hex(driven.engine_low.value_or(-1.0)) + ":";
      for (const RoadPair& pair : driven.separates) {
        number(pair.first);
        number(pair.second);
        out += hex(pair.apart);
      }
      for (const RoadWatch& watch : driven.watch)
        for (const RoadAnswer& answer : watch.answers)
          for (const std::size_t suspect : answer.suspects) number(suspect);
      out += "\n";
    }
  if (plan.recording)
    for (const RecordingSetting& setting : plan.recording->settings)
      for (const std::vector<Estimate>& lies : setting.lines)
        for (const Estimate& hz : lies) out += hex(hz.mean) + hex(hz.sd);
  for (const RoadAmbiguity& each : plan.ambiguous)
    out += " " + std::to_string(each.pair) + " " + std::to_string(each.instead);
  numbers(plan.look_up);
  for (const RoadLeftOpen& pair : plan.left_open) {
    number(pair.first);
    number(pair.second);
    out += " " + std::to_string(pair.bay);
  }
  numbers(plan.confirming);
  numbers(plan.equipment);
  return out;
}

}  // namespace perrev::testing
