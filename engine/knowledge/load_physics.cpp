#include <algorithm>
#include <utility>

#include "engine/knowledge/computed.h"
#include "engine/knowledge/fields.h"
#include "engine/knowledge/loader.h"
#include "engine/knowledge/source_text.h"

namespace perrev {

namespace {

constexpr double kPerThousand = 1e-3, kPerMillion = 1e-6, kThousand = 1e3;

// The value of that name, of an enumeration whose values have names; the first where none has.
template <class Enum>
Enum named(std::string_view word, int count) {
  for (int i = 0; i < count; ++i)
    if (name_of(static_cast<Enum>(i)) == word) return static_cast<Enum>(i);
  return Enum{};
}

// How physics answers a fact: it must be of this kind, one value for the vehicle.
struct AnsweredAs {
  std::string_view fact, words;
  FactKind kind;
  Dimension unit = Dimension::count;
  std::vector<std::string_view> answers = {};
};

const std::vector<AnsweredAs>& answered_as() {
  static const std::vector<AnsweredAs> all = {
      {"felt_at", "kind several", FactKind::several},
      {"worst_speed", "a number, unit speed", FactKind::number, Dimension::speed},
      {"begins_speed", "a number, unit speed", FactKind::number, Dimension::speed},
      {"ends_speed", "a number, unit speed", FactKind::number, Dimension::speed},
      {"how_strong",
       "kind one, answers slight, clear, strong and alarming in this order",
       FactKind::one,
       Dimension::count,
       {"slight", "clear", "strong", "alarming"}},
  };
  return all;
}

bool is_answered_as(const Fact& fact, const AnsweredAs& wanted) {
  const bool banded = fact.kind != FactKind::number || fact.answers.empty();
  const auto same = [](const Answer& answer, std::string_view id) { return answer.id == id; };
  return fact.kind == wanted.kind && fact.unit == wanted.unit && banded &&
         fact.per == Per::vehicle_case &&
         (wanted.answers.empty() || std::equal(fact.answers.begin(), fact.answers.end(),
                                               wanted.answers.begin(), wanted.answers.end(), same));
}

PhysicsRoad road_of(const Record& record) {
  return {record.number("roughness_cm3") * kPerMillion, record.number("fore_aft"),
          record.number("lateral"), record.text("origin")};
}

PhysicsPeople people_of(const FileReader& reader, const Record& record) {
  PhysicsPeople made;
  made.spread_db = record.number("spread_db");
  made.vehicle_spread_db = record.number("vehicle_spread_db");
  made.listening_hz = record.number("listening_hz");
  made.complains_from_db = record.number("complains_from_db");
  made.complains_spread_db = record.number("complains_spread_db");
  made.clear_db = record.number("clear_db");
  made.strong_db = record.number("strong_db");
  made.alarming_db = record.number("alarming_db");
  made.strength_spread_db = record.number("strength_spread_db");
  made.whole_car_db = record.number("whole_car_db");
  made.origin = record.text("origin");
  const bool given = record.has("clear_db") && record.has("strong_db") && record.has("alarming_db");
  if (given && !(made.clear_db < made.strong_db && made.strong_db < made.alarming_db))
    reader.fault(*record.node("strong_db"), "the borders of how strong it is called do not grow",
                 "clear_db below strong_db below alarming_db");
  return made;
}

}  // namespace

void Loader::physics(const FileReader& reader, const YamlNode& root) {
  base.physics.fault_of.assign(base.causes.size(), -1);
  const Record record(reader, root, physics_fields(), "physics.yaml", root.line, root.column);
  physics_facts();
  const auto mapped = [&](std::string_view key, std::string_view example) {
    const YamlNode* node = record.node(key);
    return node && reader.is_mapping(*node, key, example) ? node : nullptr;
  };
  if (const YamlNode* node = mapped("bodies", "car: {sprung_kg: ..., origin: ...}"))
    physics_bodies(reader, *node);
  if (const YamlNode* node = record.node("road"))
    base.physics.road =
        road_of(Record(reader, *node, road_fields(), "road", node->line, node->column));
  bool senses_known = false;
  if (const YamlNode* node = record.node("people")) {
    const Record people(reader, *node, people_fields(), "people", node->line, node->column);
    base.physics.people = people_of(reader, people);
    const YamlNode* senses = people.node("senses");
    senses_known =
        senses &&
        reader.is_mapping(*senses, "senses", "seat: {weighting: wk, threshold: 0.0106}") &&
        physics_senses(reader, *senses);
  }
  if (const YamlNode* node = record.node("paths")) physics_paths(reader, *node, senses_known);
  if (const YamlNode* node = mapped("faults", "cause: {kind: ..., median: ..., spread: ...}"))
    physics_faults(reader, *node);
}

void Loader::physics_facts() {
  for (const AnsweredAs& wanted : answered_as()) {
    const int index = base.fact_index(wanted.fact);
    if (index < 0 || doubtful_.count(index) > 0) continue;
    const Fact& fact = base.facts[static_cast<std::size_t>(index)];
    if (!is_answered_as(fact, wanted))
      problems.push_back(Problem{fact.place,
                                 "'" + fact.id + "' is not as physics.yaml computes it",
                                 std::string(wanted.words) + "; per: case",
                                 {}});
  }
}

void Loader::physics_bodies(const FileReader& reader, const YamlNode& node) {
  if (node.members.empty())
    reader.fault(node, "there are no bodies", "car: {sprung_kg: ..., origin: ...}");
  const int kinds = base.fact_index("vehicle_kind");
  std::vector<std::string> known;
  if (kinds >= 0)
    for (const Answer& answer : base.facts[static_cast<std::size_t>(kinds)].answers)
      known.push_back(answer.id);
  for (const YamlMember& member : node.members) {
    if (std::find(known.begin(), known.end(), member.key) == known.end() && whole("facts.yaml"))
      reader.unknown(Word{member.key, member.line, member.column}, "answer", known,
                     "of 'vehicle_kind'");
    const Record row(reader, member.value, body_fields(), "body '" + short_text(member.key) + "'",
                     member.line, member.column);
    PhysicsBody made;
    made.id = member.key;
    made.sprung = row.number("sprung_kg");
    made.unsprung = row.number("unsprung_kg");
    made.spring = row.number("spring_n_per_mm") * kThousand;
    made.tire = row.number("tire_n_per_mm") * kThousand;
    made.damper = row.number("damper_ns_per_m");
    made.wheel = row.number("wheel_kg");
    made.circumference = row.number("circumference_mm") * kPerThousand;
    made.circumference_sd = row.number("circumference_sd");
    made.axle_ratio = row.number("axle_ratio");
    made.axle_ratio_sd = row.number("axle_ratio_sd");
    made.origin = row.text("origin");
    base.physics.bodies.push_back(std::move(made));
  }
}

// A place is named here, felt there, and answered by the customer: the names are the same.
bool Loader::felt_place(const FileReader& reader, const Word& word) {
  std::vector<std::string> known;
  for (int i = 0; i < kFeltPlaces; ++i) known.emplace_back(name_of(static_cast<FeltPlace>(i)));
  if (std::find(known.begin(), known.end(), word.text) == known.end())
    return reader.unknown(word, "place", known), false;
  const int felt = base.fact_index("felt_at");
  if (!whole("facts.yaml") || doubtful_.count(felt) > 0) return true;
  if (felt < 0 || answer_index(base.facts[static_cast<std::size_t>(felt)], word.text) < 0)
    reader.fault(word, "'" + word.text + "' is no answer of 'felt_at'", "add it in facts.yaml");
  return true;
}

bool Loader::physics_senses(const FileReader& reader, const YamlNode& node) {
  std::vector<PhysicsSense>& senses = base.physics.people.senses;
  bool sound = true;
  for (const YamlMember& member : node.members) {
    const bool known = felt_place(reader, Word{member.key, member.line, member.column});
    const Record row(reader, member.value, sense_fields(),
                     "sense at '" + short_text(member.key) + "'", member.line, member.column);
    if (known)
      senses.push_back({named<FeltPlace>(member.key, kFeltPlaces),
                        weighting_named(row.text("weighting")).value_or(Weighting::wk),
                        row.number("threshold"), row.text("origin")});
    sound = sound && known;
  }
  std::sort(senses.begin(), senses.end(),
            [](const PhysicsSense& a, const PhysicsSense& b) { return a.place < b.place; });
  return sound;
}

void Loader::physics_paths(const FileReader& reader, const YamlNode& node, bool senses_known) {
  if (node.kind != YamlNode::Kind::sequence || node.items.empty())
    return reader.fault(node, "'paths' needs a list", "- {from: vertical, to: seat, hz: ...}");
  const std::vector<PhysicsSense>& senses = base.physics.people.senses;
  for (const YamlNode& item : node.items) {
    const Record row(reader, item, felt_path_fields(), "path", item.line, item.column);
    PhysicsPath made;
    made.from = named<Push>(row.text("from"), kPushes);
    made.to = named<FeltPlace>(row.text("to"), kFeltPlaces);
    made.hz = row.number("hz");
    made.damping = row.number("damping");
    made.isolates = row.yes("isolates");
    made.gain = row.number("gain");
    made.front = row.number("front", made.front);
    made.rear = row.number("rear", made.rear);
    made.origin = row.text("origin");
    const bool felt = std::any_of(senses.begin(), senses.end(),
                                  [&](const PhysicsSense& s) { return s.place == made.to; });
    if (row.has("to") && !felt && senses_known)
      reader.fault(row.word("to"),
                   "a path leads to '" + row.text("to") + "', where nothing is felt",
                   row.text("to") + ": {weighting: ..., threshold: ...} in 'senses'");
    base.physics.paths.push_back(std::move(made));
  }
}

void Loader::physics_faults(const FileReader& reader, const YamlNode& node) {
  std::vector<PhysicsFault>& faults = base.physics.faults;
  for (const YamlMember& member : node.members) {
    const Word word{member.key, member.line, member.column};
    PhysicsFault made;
    made.cause = known_cause(reader, word);
    const Record row(reader, member.value, fault_fields(), "fault '" + short_text(member.key) + "'",
                     member.line, member.column);
    made.place = reader.place(member.line, member.column);
    made.kind = named<FaultKind>(row.text("kind"), kFaultKinds);
    made.median = row.number("median") * si_per_unit(made.kind);
    made.spread = row.number("spread");
    made.front = row.number("front", made.front);
    made.changed = row.yes("changed");
    made.driven = row.yes("driven");
    made.when = named<ShakesWhile>(row.text("while"), kShakesWhile);
    made.steer = row.number("steer", made.steer);
    made.vertical = row.number("vertical", made.vertical);
    made.heard_db = row.number("heard_db", made.heard_db);
    made.origin = row.text("origin");
    if (made.cause < 0) continue;
    const std::vector<Shake>& shakes = base.causes[static_cast<std::size_t>(made.cause)].shakes;
    if (std::any_of(shakes.begin(), shakes.end(),
                    [](const Shake& shake) { return is_engines(shake.source); }))
      reader.fault(word, "'" + member.key + "' turns with the engine, and physics goes by the road",
                   "rules that say where and at which speeds it is felt; no fault of it here");
    if (shakes.empty())
      reader.fault(word, "nothing turns with '" + member.key + "': the cause has no 'shakes'",
                   "shakes: [{source: ..., order: ...}] of the cause, or no fault of it here");
    faults.push_back(std::move(made));
  }
  std::sort(faults.begin(), faults.end(),
            [](const PhysicsFault& a, const PhysicsFault& b) { return a.cause < b.cause; });
  for (std::size_t i = 0; i < faults.size(); ++i)
    base.physics.fault_of[static_cast<std::size_t>(faults[i].cause)] = static_cast<int>(i);
}

int Loader::computed_fact(const std::vector<int>& facts, int cause) const {
  for (const int fact : facts)
    if (computation_of(base, fact, cause)) return fact;
  return -1;
}

std::string Loader::told_computed(int fact, int line, int cause) const {
  const Place place = computation_of(base, fact, cause)->place;
  std::string out = "'" + base.facts[static_cast<std::size_t>(fact)].id + "'";
  if (line > 0) out += " (line " + std::to_string(line) + ")";
  out += " is computed for '" + base.causes[static_cast<std::size_t>(cause)].id + "'";
  if (place.line > 0) out += " (" + place.file + " line " + std::to_string(place.line) + ")";
  return out;
}

}  // namespace perrev
