// What is said about wrong facts, limits, strengths and families: the whole first line of each
// problem. A row with one line says as well that nothing else is told: one error makes no others.
#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "tests/engine/knowledge/small_base.h"

using perrev::small::SmallBase;

namespace {

void check_all(const char* table) {
  for (const perrev::small::WrongBase& wrong : perrev::small::wrong_bases(table)) {
    INFO(wrong.row);
    CHECK(perrev::small::listed(wrong.made.complaints()) == perrev::small::listed(wrong.expected));
  }
}

}  // namespace

TEST_CASE("wrong facts") {
  check_all(R"rows(
facts.yaml |   ask: Does it hum?\n |
  rules/facts.yaml:14:1: error: fact 'hums' has no 'ask'; the question in plain words
facts.yaml | ask: Does it hum? | aks: Does it hum?
  rules/facts.yaml:15:3: error: unknown key 'aks' of fact 'hums'; did you mean 'ask'?
facts.yaml | ask: Does it hum? | ask:
  rules/facts.yaml:15:3: error: 'ask' of fact 'hums' is empty; the question in plain words
facts.yaml | ask: Does it hum? | ask: "  "
  rules/facts.yaml:15:8: error: 'ask' of fact 'hums': '  ' will not do; the question in plain words
facts.yaml | hums:\n  ask | Hums:\n  ask
  rules/checks.yaml:14:25: error: unknown fact 'hums'; known: began_after, driven_axle, felt_at, measured_frequency, nuts_loose, nuts_sound, rim_runout, shaft_play, wheel_type, words, worst_speed
  rules/evidence/readings.yaml:2:43: error: unknown fact 'hums'; known: began_after, driven_axle, felt_at, measured_frequency, nuts_loose, nuts_sound, rim_runout, shaft_play, wheel_type, words, worst_speed
  rules/evidence/readings.yaml:12:36: error: unknown fact 'hums'; known: began_after, driven_axle, felt_at, measured_frequency, nuts_loose, nuts_sound, rim_runout, shaft_play, wheel_type, words, worst_speed
  rules/facts.yaml:14:1: error: 'Hums' is no id for a fact; a-z, 0-9 and _, beginning with a letter
facts.yaml | words:\n  ask | not:\n  ask
  rules/checks.yaml:4:34: error: unknown fact 'words'; known: began_after, driven_axle, felt_at, hums, measured_frequency, not, nuts_loose, nuts_sound, rim_runout, shaft_play, wheel_type, worst_speed
  rules/facts.yaml:76:1: error: 'not' is a word of conditions; another id
facts.yaml | hums:\n  ask: Does it hum? | hums:\n  ask: Does it hum?\n  hint: at idle
  rules/facts.yaml:16:3: error: unknown key 'hint' of fact 'hums'; known: ask, how, kind, answers, unit, range, base, asked_at, together, per, lasts, asked_if, after_repair, clear, stop
facts.yaml | kind: several | kind: severel
  rules/facts.yaml:9:9: error: unknown word 'severel' for 'kind' of fact 'felt_at'; did you mean 'several'?
facts.yaml | kind: one\n  answers: {alloy | answers: {alloy
  rules/facts.yaml:27:1: error: fact 'wheel_type' has no 'kind'; one, several, yesno, number or text
facts.yaml |   answers: {alloy: Light alloy, steel: Steel}\n |
  rules/facts.yaml:27:1: error: fact 'wheel_type' needs 'answers'; answers: {answer_id: Words shown, ...}
facts.yaml | {alloy: Light alloy, steel: Steel} | [alloy, steel]
  rules/facts.yaml:27:1: error: fact 'wheel_type' needs 'answers'; answers: {answer_id: Words shown, ...}
facts.yaml | {alloy: Light alloy, steel: Steel} | {alloy: Light alloy, Steel: Steel}
  rules/facts.yaml:30:33: error: 'Steel' will not do as an answer; a-z, 0-9 and _, beginning with a letter; unsure is always there by itself
  rules/facts.yaml:31:22: error: unknown answer 'steel' of 'wheel_type'; did you mean 'Steel'?
facts.yaml | {alloy: Light alloy, steel: Steel} | {alloy: Light alloy, steel: }
  rules/facts.yaml:30:33: error: answer 'steel' has no words; answer_id: Words shown
facts.yaml | {steering_wheel: In the steering wheel, seat: In the seat} | {steering_wheel: In the steering wheel, seat: In the seat, unsure: No idea}
  rules/facts.yaml:10:71: error: 'unsure' will not do as an answer; a-z, 0-9 and _, beginning with a letter; unsure is always there by itself
facts.yaml | base: 0.25 | base: 0.25\n  answers: {yes: Yes, no: No}
  rules/facts.yaml:18:12: error: a fact of kind yesno has no 'answers'; leave it out
facts.yaml |   base: 0.25\n |
  rules/facts.yaml:14:1: error: fact 'hums' has no 'base'; how often a complaint whose cause is not listed answers so
facts.yaml | base: 0.25 | base: 1
  rules/facts.yaml:17:9: error: a base rate lies between 0 and 1, both excluded; for example 0.05
facts.yaml | base: 0.25 | base: .nan
  rules/facts.yaml:17:9: error: a base rate lies between 0 and 1, both excluded; for example 0.05
facts.yaml | base: 0.25 | base: 25 %
  rules/facts.yaml:17:9: error: a base rate lies between 0 and 1, both excluded; for example 0.05
facts.yaml | base: 0.25 | base: {yes: 0.25}
  rules/facts.yaml:17:9: error: expected a single base rate here; for example 0.05
facts.yaml | {front: 0.6, rear: 0.4} | {front: 0.6, rear: 0.3}
  rules/facts.yaml:24:9: error: 'base' of fact 'driven_axle' sums to 0.9; rates of one answer out of many sum to 1
facts.yaml | {front: 0.6, rear: 0.4} | {front: 0.6, raer: 0.4}
  rules/facts.yaml:24:22: error: unknown answer 'raer' of 'driven_axle'; did you mean 'rear'?
facts.yaml | {front: 0.6, rear: 0.4} | {front: 1}
  rules/facts.yaml:24:17: error: a base rate lies between 0 and 1, both excluded; for example 0.05
facts.yaml | {front: 0.6, rear: 0.4} | {front: 0.6}
  rules/facts.yaml:24:9: error: 'base' of fact 'driven_axle' lacks 'rear'; a rate for each answer
facts.yaml | {front: 0.6, rear: 0.4} | 0.6
  rules/facts.yaml:24:9: error: 'base' of fact 'driven_axle' needs a rate for each answer; {answer_id: 0.3, ...}
facts.yaml | asked_at: road\n  asked_if | asked_at: raod\n  asked_if
  rules/facts.yaml:18:13: error: unknown word 'raod' for 'asked_at' of fact 'hums'; did you mean 'road'?
facts.yaml | asked_at: [write_up, bay]\n  clear | asked_at: []\n  clear
  rules/facts.yaml:67:13: error: 'asked_at' of fact 'nuts_loose' is an empty list; write_up, road, bay
facts.yaml | asked_at: [write_up, bay]\n  lasts | asked_at: [bay, bay]\n  lasts
  rules/facts.yaml:25:19: error: 'asked_at' of fact 'driven_axle' names 'bay' twice; each once
facts.yaml | lasts: vehicle\nwheel | lasts: vehicel\nwheel
  rules/facts.yaml:26:10: error: unknown word 'vehicel' for 'lasts' of fact 'driven_axle'; did you mean 'vehicle'?
facts.yaml | per: shaft | per: wheels
  rules/facts.yaml:62:8: error: unknown word 'wheels' for 'per' of fact 'shaft_play'; did you mean 'wheel'?
facts.yaml | asked_if: {felt_at: seat} | asked_if: {felt_at: sead}
  rules/facts.yaml:19:23: error: unknown answer 'sead' of 'felt_at'; did you mean 'seat'?
facts.yaml | asked_if: {felt_at: seat} | asked_if: {fetl_at: seat}
  rules/facts.yaml:19:14: error: unknown fact 'fetl_at'; did you mean 'felt_at'?
facts.yaml | asked_if: {felt_at: seat} | asked_if: seat
  rules/facts.yaml:19:13: error: expected a condition; fact: answer, or not:, any:, all:
facts.yaml | asked_if: {felt_at: seat} | asked_if: {}
  rules/facts.yaml:19:13: error: expected a condition; fact: answer, or not:, any:, all:
facts.yaml | asked_if: {felt_at: seat} | asked_if:
  rules/facts.yaml:19:3: error: 'asked_if' of fact 'hums' is empty; a condition: not asked where it is known to be false
facts.yaml | asked_if: {felt_at: seat} | asked_if: {felt_at: []}
  rules/facts.yaml:19:23: error: no answer of 'felt_at' is named; an answer, or a list of answers
facts.yaml | asked_if: {felt_at: seat} | asked_if: {felt_at: {seat: yes}}
  rules/facts.yaml:19:23: error: expected a word here; a word, or a list of words in [ ]
facts.yaml | asked_if: {felt_at: seat} | asked_if: {words: seat}
  rules/facts.yaml:19:14: error: 'words' is text and cannot stand in a condition; a fact of another kind
facts.yaml | asked_if: {felt_at: seat} | asked_if: {any: {felt_at: seat}}
  rules/facts.yaml:19:19: error: 'any' needs a list of conditions; any: [{fact: answer}, {fact: answer}]
facts.yaml | asked_if: {felt_at: seat} | asked_if: {not: [felt_at]}
  rules/facts.yaml:19:19: error: expected a condition; fact: answer, or not:, any:, all:
facts.yaml | asked_if: {felt_at: seat} | together: any\n  per: axle\n  clear: mabye
  rules/evidence/readings.yaml:11:3: error: the rules about 'nothing_left' tie facts of different kinds of place together; one of per wheel, per axle, per shaft
  rules/evidence/readings.yaml:11:3: error: the rules about 'worn_joint' tie facts of different kinds of place together; one of per wheel, per axle, per shaft
  rules/facts.yaml:21:10: error: unknown answer 'mabye' of 'hums'; known: no, yes
facts.yaml | per: shaft | clear: []
  rules/facts.yaml:62:10: error: 'clear' of fact 'shaft_play' is an empty list; the answers that let a gate pass
facts.yaml | lasts: vehicle\nwheel | together: any\nwheel
  rules/facts.yaml:26:13: error: 'any' needs a yes/no; kind yesno or several, or a number with a limit
facts.yaml | together: any\nhums | together: any\n  clear: seat\nhums
  rules/facts.yaml:14:10: error: fact 'felt_at' can have no 'clear'; only facts of kind one or yesno
facts.yaml | unit: speed\n | unit: sped\n
  rules/facts.yaml:37:9: error: unknown word 'sped' for 'unit' of fact 'worst_speed'; did you mean 'speed'?
facts.yaml |   unit: speed\n |
  rules/facts.yaml:34:1: error: fact 'worst_speed' needs 'unit' and 'range'; unit: speed, range: 0..200 km/h
facts.yaml | range: 0..200 km/h | range: 0..200
  rules/facts.yaml:38:10: error: "200" has no unit; a speed needs one of mph, km/h, m/s
facts.yaml | range: 0..200 km/h | range: 200 km/h
  rules/facts.yaml:38:10: error: "200 km/h" is not a range of a speed; write it like "55..75 mph", "..40 mph" or "75 mph.."
facts.yaml | range: 0..200 km/h | range: 10 km/h..
  rules/facts.yaml:38:10: error: a range needs both ends; 0..200 km/h
facts.yaml | range: 0..200 km/h | range: 0..200 mm
  rules/facts.yaml:38:10: error: "200 mm" is a length, not a speed; units of a speed are mph, km/h, m/s
facts.yaml | {40 km/h: 0.1, 80 km/h: 0.4, 120 km/h: 0.9} | {40 km/h: 0.4, 80 km/h: 0.1, 120 km/h: 0.9}
  rules/facts.yaml:39:24: error: cumulative base rates must rise within the range; values and shares both growing, shares above 0 and below 1
facts.yaml | {40 km/h: 0.1, 80 km/h: 0.4, 120 km/h: 0.9} | {40 km/h: 0.1, 80 km/h: 0.4, 220 km/h: 0.9}
  rules/facts.yaml:39:38: error: cumulative base rates must rise within the range; values and shares both growing, shares above 0 and below 1
facts.yaml | {40 km/h: 0.1, 80 km/h: 0.4, 120 km/h: 0.9} | {40 km/h: 0.1, 80 km/h: 0.4, 120 km/h: 0.99999999}
  rules/facts.yaml:39:38: error: cumulative base rates must rise within the range; values and shares both growing, shares above 0 and below 1
facts.yaml | {40 km/h: 0.1, 80 km/h: 0.4, 120 km/h: 0.9} | {40: 0.1, 80 km/h: 0.4, 120 km/h: 0.9}
  rules/facts.yaml:39:10: error: "40" has no unit; a speed needs one of mph, km/h, m/s
facts.yaml | {40 km/h: 0.1, 80 km/h: 0.4, 120 km/h: 0.9} | {40 km/h: much}
  rules/facts.yaml:39:19: error: expected the share of answers below 40 km/h; for example 0.15
facts.yaml | {40 km/h: 0.1, 80 km/h: 0.4, 120 km/h: 0.9} | 0.2
  rules/facts.yaml:34:1: error: fact 'worst_speed' has a single base rate but no limit; a limit in limits.yaml, or cumulative base rates
facts.yaml | kind: text | kind: text\n  base: 0.5
  rules/facts.yaml:79:9: error: text is never evidence and has no 'base'; leave it out
facts.yaml | answers: yes, reason | answers: ja, reason
  rules/facts.yaml:69:19: error: unknown answer 'ja' of 'nuts_loose'; known: no, yes
facts.yaml | reason: A wheel may come off,  |
  rules/facts.yaml:69:9: error: stop of 'nuts_loose' has no 'reason'; why the vehicle must not move
facts.yaml | cleared_by: nuts_sound | cleared_by: nuts_soudn
  rules/facts.yaml:69:89: error: unknown fact 'nuts_soudn'; did you mean 'nuts_sound'?
facts.yaml | cleared_by: nuts_sound | cleared_by: hums
  rules/facts.yaml:69:89: error: 'hums' cannot lift a stop; a fact per case, asked in the bay, that has 'clear'
facts.yaml | stop: {answers: yes, reason: A wheel may come off, caution: Do not drive, cleared_by: nuts_sound} | stop: yes
  rules/facts.yaml:69:9: error: stop of 'nuts_loose' must be a mapping; key: value, with answers, reason, caution, cleared_by
facts.yaml | answers: yes, reason | answers: no, reason
  rules/facts.yaml:69:9: error: an answer of 'nuts_loose' both stops and is clear; one or the other
facts.yaml | unit: speed\n | unit: speed\n  stop: {answers: yes, reason: A, caution: B, cleared_by: nuts_sound}\n
  rules/facts.yaml:38:9: error: fact 'worst_speed' cannot stop; only facts of kind one or yesno
facts.yaml | * | - hums\n
  rules/facts.yaml:1:1: error: expected a mapping of facts; fact_id: {ask: ..., kind: ...}
facts.yaml | * |
  rules/facts.yaml:1:1: error: the file is empty; at least one entry
facts.yaml | * | {}\n
  rules/facts.yaml:1:1: error: there are no facts here; fact_id: {ask: ..., kind: ...}
facts.yaml | base: {40 km/h: 0.1, 80 km/h: 0.4, 120 km/h: 0.9} | base: {40 km/h: 0.1, 80 km/h: 0.1000001, 120 km/h: 0.9}
  rules/facts.yaml:39:24: error: cumulative base rates must rise within the range; values and shares both growing, shares above 0 and below 1
facts.yaml | base: 0.2\n | base: {10 mm: 0.2}\n
  rules/facts.yaml:53:9: error: expected a single base rate here; for example 0.05
facts.yaml | unit: speed\n | unit: speed\n  after_repair: maybe\n
  rules/facts.yaml:38:17: error: 'after_repair' of fact 'worst_speed': 'maybe' will not do; yes or no
facts.yaml | base: {tires_fitted: 0.1, wheels_off: 0.2, nothing: 0.7} | base: {tires_fitted: 0.1, wheels_off: 0.2, nothing: 0.7, both: 0.1}
  rules/facts.yaml:5:60: error: unknown answer 'both' of 'began_after'; known: tires_fitted, wheels_off, nothing
)rows");
}

TEST_CASE("wrong limits") {
  check_all(R"rows(
limits.yaml | rim_runout: | rim_runot:
  rules/limits.yaml:1:1: error: unknown fact 'rim_runot'; did you mean 'rim_runout'?
limits.yaml | rim_runout: | hums:
  rules/limits.yaml:1:1: error: 'hums' is not a number and can have no limit; a fact of kind number
limits.yaml | better: lower | better: less
  rules/limits.yaml:2:11: error: unknown word 'less' for 'better' of limit 'rim_runout'; known: lower, higher
limits.yaml | class_by: wheel_type | class_by: wheel_typ
  rules/limits.yaml:3:13: error: unknown fact 'wheel_typ'; did you mean 'wheel_type'?
limits.yaml | class_by: wheel_type | class_by: hums
  rules/limits.yaml:3:13: error: 'hums' cannot pick a class; a fact of kind one, per case
limits.yaml |   class_by: wheel_type\n |
  rules/limits.yaml:4:5: error: unknown class 'alloy' of limit 'rim_runout'; known: all
  rules/limits.yaml:5:5: error: unknown class 'other' of limit 'rim_runout'; known: all
limits.yaml | alloy: | aloy:
  rules/limits.yaml:5:5: error: unknown class 'aloy' of limit 'rim_runout'; did you mean 'alloy'?
limits.yaml |     other: {good: 0.8 mm, bad: 1.0 mm, origin: from memory}\n |
  rules/limits.yaml:5:5: error: limit 'rim_runout' has no class 'steel'; a class for each answer, or other
limits.yaml | good: 0.5 mm, bad: 0.8 mm | good: 0.9 mm, bad: 0.8 mm
  rules/limits.yaml:5:5: error: the good edge of 'rim_runout' lies beyond the bad one; good at or below bad
limits.yaml | better: lower | better: higher
  rules/limits.yaml:5:5: error: the good edge of 'rim_runout' lies beyond the bad one; good at or above bad
  rules/limits.yaml:6:5: error: the good edge of 'rim_runout' lies beyond the bad one; good at or above bad
limits.yaml | good: 0.5 mm | good: 0.5
  rules/limits.yaml:5:19: error: "0.5" has no unit; a length needs one of mm, in, thou, cm, m, ft, km, mi
limits.yaml | bad: 1.0 mm | bad: 1.0 kg
  rules/limits.yaml:6:32: error: "1.0 kg" is a mass, not a length; units of a length are mm, in, thou, cm, m, ft, km, mi
limits.yaml | good: 0.5 mm,  |
  rules/limits.yaml:5:5: error: class 'alloy' has no 'good'; the good edge with its unit
limits.yaml | * | rim_runout: {better: lower, classes: {}}\n
  rules/limits.yaml:1:38: error: limit 'rim_runout' has no class 'all'; one class named all, as there is no class_by
limits.yaml | * | rim_runout: {better: lower, classes: [all]}\n
  rules/limits.yaml:1:38: error: expected a mapping of classes; all: {good: ..., bad: ..., origin: ...}
limits.yaml | * | []\n
  rules/limits.yaml:1:1: error: expected a mapping of limits; fact_id: {better: lower, classes: {...}}
limits.yaml | * | {}\n
  rules/facts.yaml:48:1: error: fact 'rim_runout' has a single base rate but no limit; a limit in limits.yaml, or cumulative base rates
)rows");
}

TEST_CASE("wrong strengths and families") {
  check_all(R"rows(
strengths.yaml | hint: 1.5 | hint: 1
  rules/strengths.yaml:1:19: error: 'hint' is no odds ratio; a number above 1, at most 10000
strengths.yaml | hint: 1.5 | hint: {a: b}
  rules/strengths.yaml:1:19: error: 'hint' is no odds ratio; a number above 1, at most 10000
strengths.yaml | hint: 1.5 | Hint: 1.5
  rules/evidence/history.yaml:9:33: error: unknown strength 'hint'; did you mean 'Hint'?
  rules/strengths.yaml:1:13: error: 'Hint' is no word; a-z, 0-9 and _, beginning with a letter
strengths.yaml | rare: 3 | rare: 0
  rules/strengths.yaml:2:33: error: 'rare' is no rate per thousand; a number above 0, at most 1000
strengths.yaml | rare: 3} | rare: 3
  rules/strengths.yaml:3:7: error: not YAML: end of map flow not found; commas in between and a } at the end
strengths.yaml | not_listed: 0.05 | not_listed: 0
  rules/strengths.yaml:3:22: error: 'not_listed' of shares: '0' will not do; a plain number from 0.001 to 0.5
strengths.yaml | not_listed: 0.05 | not_listd: 0.05
  rules/strengths.yaml:3:10: error: unknown key 'not_listd' of shares; did you mean 'not_listed'?
strengths.yaml | not_listed: 0.05, pairs: 0.10 | not_listed: 0.5, pairs: 0.5
  rules/strengths.yaml:3:9: error: 'not_listed' and 'pairs' leave too little for single causes; at most 0.9 together
strengths.yaml | likely_from: 0.5 | likely_from: 2
  rules/strengths.yaml:4:14: error: 'likely_from' of strengths.yaml: '2' will not do; a plain number from 0.01 to 1
strengths.yaml | strengths: {hint: 1.5, some: 2.5, strong: 8}\n |
  rules/strengths.yaml:1:1: error: strengths.yaml has no 'strengths'; word: odds ratio above 1
strengths.yaml | {hint: 1.5, some: 2.5, strong: 8} | [hint, some, strong]
  rules/strengths.yaml:1:12: error: expected a mapping of words and numbers; strong: 8
families.yaml | wheels: {name: Wheels and tires} | wheels: Wheels and tires
  rules/families.yaml:1:1: error: family 'wheels' must be a mapping; key: value, with name, needs_caution
families.yaml | wheels: {name: Wheels and tires} | wheels: {nmae: Wheels and tires}
  rules/families.yaml:1:10: error: unknown key 'nmae' of family 'wheels'; did you mean 'name'?
families.yaml | shafts: {name: Shafts} | shafts: {name: Shafts}\nnothing_left: {name: Nothing}
  rules/families.yaml:3:1: error: 'nothing_left' is a reserved name; another id
)rows");
}

TEST_CASE("errors of several files are told in one go, by file and line") {
  SmallBase base;
  base.change("path.yaml", "to: shake_shaft", "to: shake_shat");
  base.change("facts.yaml", "ask: Does it hum?", "aks: Does it hum?");
  base.change("facts.yaml", "{front: 0.6, rear: 0.4}", "{front: 0.6, rear: 0.3}");
  base.change("evidence/readings.yaml", "{rim_runout: bad}", "{rim_runout: bda}");
  base.change("causes/wheels.yaml", "usual: common", "usual: comon");
  base.change("shop.yaml", "have: yes", "have: maybe");
  base.set("families.yaml", "wheels: [\n");
  const auto loaded = base.load();
  REQUIRE_FALSE(loaded.ok());
  CHECK(
      perrev::small::listed(perrev::small::first_lines(loaded.error())) ==
      R"(rules/causes/wheels.yaml:12:10: error: unknown word 'comon' for 'usual' of cause 'bent_rim'; did you mean 'common'?
rules/evidence/readings.yaml:7:22: error: unknown answer 'bda' of 'rim_runout'; did you mean 'bad'?
rules/facts.yaml:15:3: error: unknown key 'aks' of fact 'hums'; did you mean 'ask'?
rules/facts.yaml:24:9: error: 'base' of fact 'driven_axle' sums to 0.9; rates of one answer out of many sum to 1
rules/families.yaml:1:9: error: not YAML: end of sequence flow not found; commas in between and a ] at the end
rules/path.yaml:8:30: error: unknown check, gate or end 'shake_shat'; did you mean 'shake_shaft'?
rules/shop.yaml:2:52: error: 'have' of equipment 'dial_gauge': 'maybe' will not do; yes or no
)");
}

TEST_CASE("an error in one file hides no error of the path") {
  SmallBase base;
  base.change("facts.yaml", "{front: 0.6, rear: 0.4}", "{front: 0.6, rear: 0.3}");
  base.change("path.yaml", "{began_after: nothing}", "{began_after: nothin}");
  base.change("path.yaml", "to: [verdict, referral]", "to: verdict");
  CHECK(
      perrev::small::listed(base.complaints()) ==
      R"(rules/facts.yaml:24:9: error: 'base' of fact 'driven_axle' sums to 0.9; rates of one answer out of many sum to 1
rules/path.yaml:5:3: error: 'referral' cannot be reached from the start; an edge that leads to it
rules/path.yaml:8:63: error: unknown answer 'nothin' of 'began_after'; did you mean 'nothing'?
)");
}

// Each file in turn is broken, lost, or of the wrong kind.
TEST_CASE("a broken file makes no errors in the others") {
  const std::vector<perrev::SourceFile> files = SmallBase().files();
  for (const perrev::SourceFile& file : files) {
    for (const char* text : {"a: [", "text", "", "{a: 1, a: 2}"}) {
      INFO(file.name << " is: " << text);
      SmallBase base;
      const std::vector<std::string> said = base.set(file.name, text).complaints();
      REQUIRE(said.size() == 1);
      CHECK(said[0].rfind(file.shown + ":1:", 0) == 0);
    }
    if (file.name.find('/') != std::string::npos) continue;  // folders may hold any files
    INFO(file.name << " is missing");
    SmallBase base;
    CHECK(perrev::small::listed(base.remove(file.name).complaints()) ==
          file.shown + ": error: there is no such file; every rule base has its " + file.name +
              "\n");
  }
}

TEST_CASE("a problem carries its line of the file, fit for a terminal") {
  SmallBase base;
  base.change("facts.yaml", "ask: Does it hum?", "aks: Does it hum?\t\"\xC3\xA9\xC3\xA9\"");
  const auto loaded = base.load();
  REQUIRE_FALSE(loaded.ok());
  CHECK(loaded.error()[0].source == "  aks: Does it hum? \"\xC3\xA9\xC3\xA9\"");
  base.change("facts.yaml", "Does it hum?", std::string(200, 'x'));
  const auto longer = base.load();
  REQUIRE_FALSE(longer.ok());
  CHECK(longer.error()[0].source == "  aks: " + std::string(89, 'x') + "...");
}

TEST_CASE("no causes at all, and one name for two files") {
  SmallBase base;
  base.remove("causes/wheels.yaml").remove("causes/shafts.yaml");
  const std::vector<std::string> said = base.complaints();
  REQUIRE_FALSE(said.empty());
  CHECK(said[0] == "causes/: error: the rule base has no causes; files of causes");

  std::vector<perrev::SourceFile> files = SmallBase().files();
  files.push_back({"facts.yaml", "other/facts.yaml", "hums: {ask: Another}\n"});
  const auto loaded = perrev::load_rule_base(files);
  REQUIRE_FALSE(loaded.ok());
  CHECK(perrev::small::listed(perrev::small::first_lines(loaded.error())) ==
        "other/facts.yaml: error: two files are named facts.yaml; each name once\n");
}
