// What loading makes of physics.yaml, what is said about a wrong one, and about rules that speak of
// what physics computes.
#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

#include "engine/knowledge/computed.h"
#include "engine/knowledge/fields.h"
#include "tests/engine/knowledge/small_base.h"
#include "tests/engine/knowledge/sound_base.h"

using namespace perrev;
using small::base_with_physics;
using small::SmallBase;

namespace {

void check_all(const char* table, const SmallBase& from = base_with_physics()) {
  for (const small::WrongBase& wrong : small::wrong_bases(table, from)) {
    INFO(wrong.row);
    CHECK(small::listed(wrong.made.complaints()) == small::listed(wrong.expected));
  }
}

std::vector<std::string> choices_of(const FieldTable& table, std::string_view key) {
  std::vector<std::string> words;
  for (const FieldChoice& choice : field_of(table, key)->choices) words.emplace_back(choice.word);
  return words;
}

template <class Enum>
std::vector<std::string> names(int count) {
  std::vector<std::string> words;
  for (int i = 0; i < count; ++i) words.emplace_back(name_of(static_cast<Enum>(i)));
  return words;
}

void add_numbers(const FieldTable& table, std::set<std::string>& keys) {
  for (const Field& field : table) {
    if (field.type == FieldType::number) keys.emplace(field.key);
    if (field.shape.fields) add_numbers(field.shape.fields(), keys);
  }
}

// Without the digest, which any text changes.
std::string said(const RuleBase& base) {
  return small::written_out(base).substr(base.digest.size());
}

// The causes that a rule speaks of.
std::string effects(const RuleBase& base, const std::string& rule) {
  std::string out;
  for (const Rule& each : base.rules)
    if (each.id == rule)
      for (const Rule::Effect& effect : each.effects)
        out += base.causes[static_cast<std::size_t>(effect.cause)].id + " ";
  return out;
}

}  // namespace

TEST_CASE("a rule base without physics computes nothing by it") {
  const RuleBase base = SmallBase().loaded();
  CHECK(base.physics.empty());
  for (int fact = 0; fact < static_cast<int>(base.facts.size()); ++fact)
    CHECK(computed_for(base, fact).empty());
}

TEST_CASE("physics in SI, with what is not said as it is meant") {
  const RuleBase base = base_with_physics().loaded();
  CHECK(small::listed(small::unsound(base)) == "");
  const PhysicsBook& book = base.physics;
  REQUIRE(book.bodies.size() == 1);
  const PhysicsBody& car = book.bodies[0];
  CHECK(car.id == "car");
  CHECK(car.sprung == doctest::Approx(300.0));        // kg
  CHECK(car.unsprung == doctest::Approx(40.0));       // kg
  CHECK(car.spring == doctest::Approx(20000.0));      // N/m
  CHECK(car.tire == doctest::Approx(200000.0));       // N/m
  CHECK(car.damper == doctest::Approx(1500.0));       // N s/m
  CHECK(car.wheel == doctest::Approx(20.0));          // kg
  CHECK(car.circumference == doctest::Approx(1.98));  // m
  CHECK(car.circumference_sd == doctest::Approx(0.04));
  CHECK(car.axle_ratio == doctest::Approx(3.3));
  CHECK(car.axle_ratio_sd == doctest::Approx(0.12));
  CHECK(book.road.roughness == doctest::Approx(2e-6));  // m3
  CHECK(book.road.fore_aft == doctest::Approx(0.3));
  CHECK(book.road.lateral == doctest::Approx(0.1));
  const PhysicsPeople& people = book.people;
  CHECK(people.spread_db == doctest::Approx(4.5));
  CHECK(people.vehicle_spread_db == doctest::Approx(3.0));
  CHECK(people.listening_hz == doctest::Approx(0.5));
  CHECK(people.complains_from_db == doctest::Approx(4.0));
  CHECK(people.complains_spread_db == doctest::Approx(4.0));
  CHECK(people.clear_db == doctest::Approx(5.0));
  CHECK(people.strong_db == doctest::Approx(13.0));
  CHECK(people.alarming_db == doctest::Approx(22.0));
  CHECK(people.strength_spread_db == doctest::Approx(4.0));
  CHECK(people.whole_car_db == doctest::Approx(16.0));
  REQUIRE(people.senses.size() == 2);  // in the order of places, whatever that of the file
  CHECK(people.senses[0].place == FeltPlace::steering_wheel);
  CHECK(people.senses[0].weighting == Weighting::wh);
  CHECK(people.senses[1].place == FeltPlace::seat);
  CHECK(people.senses[1].threshold == doctest::Approx(0.0106));  // m/s2
  REQUIRE(book.paths.size() == 1);
  const PhysicsPath& path = book.paths[0];
  CHECK(path.from == Push::vertical);
  CHECK(path.to == FeltPlace::seat);
  CHECK(path.hz == doctest::Approx(4.5));
  CHECK(path.damping == doctest::Approx(0.3));
  CHECK(path.isolates);
  CHECK(path.gain == doctest::Approx(2.5));
  CHECK(path.front == doctest::Approx(0.7));
  CHECK(path.rear == doctest::Approx(1.0));
  REQUIRE(book.faults.size() == 1);
  const PhysicsFault& fault = book.faults[0];
  CHECK(fault.cause == base.cause_index("bent_rim"));
  CHECK(fault.kind == FaultKind::radial_runout);
  CHECK(fault.median == doctest::Approx(0.8e-3));  // m
  CHECK(fault.spread == doctest::Approx(1.8));
  CHECK(fault.front == doctest::Approx(0.5));
  CHECK(fault.when == ShakesWhile::driving);
  CHECK(fault.steer == doctest::Approx(1.0));
  CHECK(fault.vertical == doctest::Approx(1.0));
  CHECK(fault.heard_db == doctest::Approx(2.0));
  CHECK(fault.origin == "from memory");
  CHECK(fault.place.file == "rules/physics.yaml");
  CHECK(fault.place.line == 25);
  CHECK(book.fault_of == std::vector<int>{-1, -1, 0});
}

TEST_CASE("every number of physics.yaml is read, and none is read for another") {
  SmallBase all = base_with_physics();
  all.change("physics.yaml", "front: 0.7,", "front: 0.7, rear: 0.9,");
  all.change("physics.yaml", "heard_db: 2,", "heard_db: 2, front: 0.4, steer: 1.2, vertical: 1.3,");
  std::set<std::string> numbers, tried, seen = {said(all.loaded())};
  add_numbers(physics_fields(), numbers);
  const auto files = all.files();
  const std::string text = std::find_if(files.begin(), files.end(), [](const SourceFile& file) {
                             return file.name == "physics.yaml";
                           })->text;
  std::size_t colon = 0;
  while ((colon = text.find(": ", colon + 1)) != std::string::npos) {
    const std::size_t key = text.find_last_of(" {\n", colon) + 1;
    const std::size_t end = text.find_first_of(",}\n", colon);
    const auto value = parse_decimal(text.substr(colon + 2, end - colon - 2));
    if (!value) continue;
    CAPTURE(text.substr(key, end - key));
    tried.insert(text.substr(key, colon - key));
    std::string other = text;
    other.replace(colon + 2, end - colon - 2, show_number(1.03 * *value));
    CHECK(seen.insert(said(all.set("physics.yaml", other).loaded())).second);
  }
  CHECK(tried == numbers);
}

TEST_CASE("when a fault shakes") {
  const auto when = [](const std::string& word) {
    return base_with_physics()
        .change("physics.yaml", "heard_db: 2", "while: " + word)
        .loaded()
        .physics.faults.front()
        .when;
  };
  CHECK(when("driving") == ShakesWhile::driving);
  CHECK(when("braking") == ShakesWhile::braking);
  CHECK(when("pulling") == ShakesWhile::pulling);
}

TEST_CASE("the words of physics.yaml are the names of what they stand for") {
  CHECK(choices_of(felt_path_fields(), "from") == names<Push>(kPushes));
  CHECK(choices_of(felt_path_fields(), "to") == names<FeltPlace>(kFeltPlaces));
  CHECK(choices_of(fault_fields(), "kind") == names<FaultKind>(kFaultKinds));
}

// The SI brochure (BIPM, 9th edition, 2019) of g, mm and degree.
TEST_CASE("a size in the unit of its kind is SI inside") {
  struct Row {
    FaultKind kind;
    const char* unit;
    double si;
  };
  const std::vector<Row> rows = {
      {FaultKind::imbalance, "g", 0.001},
      {FaultKind::couple_imbalance, "g", 0.001},
      {FaultKind::force_variation, "N", 1.0},
      {FaultKind::radial_runout, "mm", 0.001},
      {FaultKind::lateral_runout, "mm", 0.001},
      {FaultKind::eccentricity, "mm", 0.001},
      {FaultKind::shaft_imbalance, "g mm", 0.000001},
      {FaultKind::shaft_runout, "mm", 0.001},
      {FaultKind::joint_angle, "deg", 0.0174532925},
      {FaultKind::axial_force, "N", 1.0},
      {FaultKind::brake_torque, "N m", 1.0},
      {FaultKind::engine_torque, "N m", 1.0},
  };
  REQUIRE(rows.size() == kFaultKinds);
  for (const Row& row : rows) {
    CAPTURE(name_of(row.kind));
    CHECK(unit_of(row.kind) == row.unit);
    CHECK(si_per_unit(row.kind) == doctest::Approx(row.si).epsilon(1e-8));
    const RuleBase base = base_with_physics()
                              .change("physics.yaml", "kind: radial_runout",
                                      "kind: " + std::string(name_of(row.kind)))
                              .loaded();
    CHECK(base.physics.faults[0].kind == row.kind);
    CHECK(base.physics.faults[0].median == doctest::Approx(0.8 * row.si).epsilon(1e-8));
  }
}

TEST_CASE("wrong physics") {
  check_all(R"rows(
causes/wheels.yaml | share: 0.7}, {source: tire, order: 2..3}] | share: 0.7}, {source: engine, order: 1}]
  rules/physics.yaml:25:3: error: 'bent_rim' turns with the engine, and physics goes by the road; rules that say where and at which speeds it is felt; no fault of it here
physics.yaml | road: {roughness_cm3: 2, fore_aft: 0.3, lateral: 0.1, origin: from memory}\n |
  rules/physics.yaml:1:1: error: physics.yaml has no 'road'; the road that is driven on
physics.yaml | roughness_cm3: 2, | roughness_m3: 2,
  rules/physics.yaml:5:8: error: unknown key 'roughness_m3' of road; did you mean 'roughness_cm3'?
physics.yaml | roughness_cm3: 2, | roughness_cm3: 0,
  rules/physics.yaml:5:23: error: 'roughness_cm3' of road: '0' will not do; a plain number from 0.001 to 1000000
physics.yaml | lateral: 0.1, origin: from memory | lateral: 0.1
  rules/physics.yaml:5:7: error: road has no 'origin'; a citation, common practice, or from memory
physics.yaml |   car: {sprung |   cat: {sprung
  rules/physics.yaml:2:3: error: unknown answer 'cat' of 'vehicle_kind'; did you mean 'car'?
physics.yaml | sprung_kg: 300 | sprung_kg: 300 kg
  rules/physics.yaml:2:20: error: 'sprung_kg' of body 'car': '300 kg' will not do; a plain number from 1 to 10000
physics.yaml | spread_db: 4.5 | spread_db: -4.5
  rules/physics.yaml:7:14: error: 'spread_db' of people: '-4.5' will not do; a plain number from 0.1 to 40
physics.yaml | strong_db: 13 | strong_db: 30
  rules/physics.yaml:13:14: error: the borders of how strong it is called do not grow; clear_db below strong_db below alarming_db
physics.yaml |     seat: { |     sead: {
  rules/physics.yaml:18:5: error: unknown place 'sead'; did you mean 'seat'?
physics.yaml |     seat: { |     floor: {
  rules/physics.yaml:18:5: error: 'floor' is no answer of 'felt_at'; add it in facts.yaml
  rules/physics.yaml:22:26: error: a path leads to 'seat', where nothing is felt; seat: {weighting: ..., threshold: ...} in 'senses'
physics.yaml | weighting: wk | weighting: wb
  rules/physics.yaml:18:23: error: unknown word 'wb' for 'weighting' of sense at 'seat'; did you mean 'wk'?
physics.yaml | threshold: 0.02 | threshold: 0
  rules/physics.yaml:19:48: error: 'threshold' of sense at 'steering_wheel': '0' will not do; a plain number from 0.000001 to 10
physics.yaml | from: vertical | from: upright
  rules/physics.yaml:22:12: error: unknown word 'upright' for 'from' of path; known: vertical, fore_aft, steer, lateral, shaft, axial, torque, pressure
physics.yaml | to: seat | to: sead
  rules/physics.yaml:22:26: error: unknown word 'sead' for 'to' of path; did you mean 'seat'?
physics.yaml | to: seat | to: brake_pedal
  rules/physics.yaml:22:26: error: a path leads to 'brake_pedal', where nothing is felt; brake_pedal: {weighting: ..., threshold: ...} in 'senses'
physics.yaml | isolates: yes | isolates: true
  rules/physics.yaml:22:65: error: 'isolates' of path: 'true' will not do; yes or no
physics.yaml | damping: 0.3 | damping: 0
  rules/physics.yaml:22:50: error: 'damping' of path: '0' will not do; a plain number from 0.001 to 10
physics.yaml | gain: 2.5 | gain: -1
  rules/physics.yaml:22:76: error: 'gain' of path: '-1' will not do; a plain number from 0.000001 to 1000
physics.yaml |   bent_rim: |   bent_rims:
  rules/physics.yaml:25:3: error: unknown cause 'bent_rims'; did you mean 'bent_rim'?
physics.yaml |   bent_rim: |   worn_joint:
  rules/physics.yaml:25:3: error: nothing turns with 'worn_joint': the cause has no 'shakes'; shakes: [{source: ..., order: ...}] of the cause, or no fault of it here
physics.yaml | kind: radial_runout | kind: runout
  rules/physics.yaml:25:20: error: unknown word 'runout' for 'kind' of fault 'bent_rim'; known: imbalance, couple_imbalance, force_variation, radial_runout, lateral_runout, eccentricity, shaft_imbalance, shaft_runout, joint_angle, axial_force, brake_torque, engine_torque
physics.yaml | kind: radial_runout, |
  rules/physics.yaml:25:3: error: fault 'bent_rim' has no 'kind'; how its size is measured
physics.yaml | median: 0.8 | median: 0.8 mm
  rules/physics.yaml:25:43: error: 'median' of fault 'bent_rim': '0.8 mm' will not do; a plain number from 0.000001 to 1000000
physics.yaml | median: 0.8 | median: 0
  rules/physics.yaml:25:43: error: 'median' of fault 'bent_rim': '0' will not do; a plain number from 0.000001 to 1000000
physics.yaml | spread: 1.8 | spread: 1
  rules/physics.yaml:25:56: error: 'spread' of fault 'bent_rim': '1' will not do; a plain number from 1.01 to 20
physics.yaml | heard_db: 2 | front: 1.5
  rules/physics.yaml:25:68: error: 'front' of fault 'bent_rim': '1.5' will not do; a plain number from 0 to 1
physics.yaml | heard_db: 2 | while: turning
  rules/physics.yaml:25:68: error: unknown word 'turning' for 'while' of fault 'bent_rim'; known: driving, braking, pulling
physics.yaml | heard_db: 2 | steer: -1
  rules/physics.yaml:25:68: error: 'steer' of fault 'bent_rim': '-1' will not do; a plain number from 0 to 100
physics.yaml | heard_db: 2, origin: from memory | heard_db: 2
  rules/physics.yaml:25:3: error: fault 'bent_rim' has no 'origin'; a citation, common practice, or from memory
physics.yaml | * | []\n
  rules/physics.yaml:1:1: error: expected a mapping of settings; bodies: {...}, road: {...}, people: {...}, paths: [...], faults: {...}
physics.yaml | + | extra: 1\n
  rules/physics.yaml:26:1: error: unknown key 'extra' of physics.yaml; known: bodies, road, people, paths, faults
facts.yaml |   unit: speed\n  range: 0..200 km/h\n  base: {40 km/h: 0.1, 80 km/h: 0.4, 120 km/h: 0.9} |   unit: frequency\n  range: 0..200 Hz\n  base: {40 Hz: 0.1, 80 Hz: 0.4, 120 Hz: 0.9}
  rules/evidence/readings.yaml:2:23: error: 'worst_speed': "120 km/h" is a speed, not a frequency; units of a frequency are Hz, rpm, 1/min, 1/s
  rules/facts.yaml:34:1: error: 'worst_speed' is not as physics.yaml computes it; a number, unit speed; per: case
facts.yaml | clear: Clear, strong: Strong | strong: Strong, clear: Clear
  rules/facts.yaml:87:1: error: 'how_strong' is not as physics.yaml computes it; kind one, answers slight, clear, strong and alarming in this order; per: case
)rows");
}

TEST_CASE("rules leave out what physics computes") {
  check_all(R"rows(
evidence/history.yaml | {wheels: some} | {wheels: some, bent_rim: hint}
  rules/evidence/history.yaml:9:23: error: 'felt_at' (line 8) is computed for 'bent_rim' (rules/physics.yaml line 25); leave it out here
evidence/history.yaml | {wheels: some} | {shafts: some}\n  against: {bent_rim: hint}
  rules/evidence/history.yaml:10:13: error: 'felt_at' (line 8) is computed for 'bent_rim' (rules/physics.yaml line 25); leave it out here
evidence/readings.yaml | wheel_imbalance: some | bent_rim: some
  rules/evidence/readings.yaml:3:9: error: 'worst_speed' (line 2) is computed for 'bent_rim' (rules/physics.yaml line 25); leave it out here
evidence/readings.yaml | {any: [{shaft_play: yes}, {hums: yes}]} | {any: [{shaft_play: yes}, {all: [{hums: yes}, {not: {felt_at: seat}}]}]}
  rules/evidence/readings.yaml:11:3: error: rule 'play_in_the_shaft' ties 'felt_at', which is computed for some causes, to 'hums'; a rule for each
evidence/readings.yaml | {any: [{shaft_play: yes}, {hums: yes}]}\n  for: {worn_joint: strong} | {any: [{shaft_play: yes}, {all: [{hums: yes}, {not: {felt_at: seat}}]}]}\n  for: {bent_rim: strong}
  rules/evidence/readings.yaml:11:3: error: rule 'play_in_the_shaft' ties 'felt_at', which is computed for some causes, to 'hums'; a rule for each
  rules/evidence/readings.yaml:13:9: error: 'felt_at' (line 12) is computed for 'bent_rim' (rules/physics.yaml line 25); leave it out here
causes/wheels.yaml | not_with: wheel_imbalance | needs: {felt_at: seat}
  rules/causes/wheels.yaml:14:11: error: 'felt_at' is computed for 'bent_rim' (rules/physics.yaml line 25); leave it out here
causes/wheels.yaml | family: wheels\n  usual: 100 | family: shafts\n  usual: 100
  rules/evidence/history.yaml:9:9: error: 'felt_at' (line 8) is computed for 'bent_rim' (rules/physics.yaml line 25); as for all of its family; leave it out here
)rows");
}

TEST_CASE("a family passes over the causes for which the fact is computed, and no others") {
  const RuleBase base = base_with_physics().loaded();
  CHECK(effects(base, "felt_in_the_wheel") == "wheel_imbalance ");
  CHECK(effects(SmallBase().loaded(), "felt_in_the_wheel") == "wheel_imbalance bent_rim ");
  const int felt = base.fact_index("felt_at"), rim = base.cause_index("bent_rim");
  CHECK(computed_for(base, felt) == std::vector<int>{rim});
  CHECK(computed_for(base, base.fact_index("rim_runout")).empty());
  REQUIRE(computation_of(base, felt, rim));
  CHECK(computation_of(base, felt, rim)->by == "physics");
  CHECK(computation_of(base, felt, rim)->place.line == 25);
  CHECK(!computation_of(base, felt, base.nothing_left()));
}

TEST_CASE("what the rule base has facts for is computed, by their ids") {
  const RuleBase base = base_with_physics().loaded();
  std::set<std::string> computed;
  for (std::size_t f = 0; f < base.facts.size(); ++f)
    if (!computed_for(base, static_cast<int>(f)).empty()) computed.insert(base.facts[f].id);
  CHECK(computed == std::set<std::string>{"felt_at", "how_strong", "worst_speed"});
}
