// What is said about wrong causes, repairs, evidence, checks and paths: the whole first line of
// each problem. A row with one line says as well that nothing else is told: one error makes no
// others.
#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "tests/engine/knowledge/small_base.h"

namespace {

void check_all(const char* table) {
  for (const perrev::small::WrongBase& wrong : perrev::small::wrong_bases(table)) {
    INFO(wrong.row);
    CHECK(perrev::small::listed(wrong.made.complaints()) == perrev::small::listed(wrong.expected));
  }
}

}  // namespace

TEST_CASE("wrong causes and repairs") {
  check_all(R"rows(
causes/wheels.yaml | wheel_imbalance:\n | not_listed:\n
  rules/causes/wheels.yaml:1:1: error: 'not_listed' is a reserved name; another id
  rules/causes/wheels.yaml:14:13: error: unknown cause 'wheel_imbalance'; known: bent_rim, not_listed, worn_joint
  rules/evidence/history.yaml:3:9: error: unknown cause or family 'wheel_imbalance'; known: nothing_left, bent_rim, not_listed, worn_joint, shafts, wheels
  rules/evidence/readings.yaml:3:9: error: unknown cause or family 'wheel_imbalance'; known: nothing_left, bent_rim, not_listed, worn_joint, shafts, wheels
  rules/repairs.yaml:1:72: error: unknown cause 'wheel_imbalance'; known: bent_rim, not_listed, worn_joint
causes/wheels.yaml | family: wheels\n  usual: 100 | family: weels\n  usual: 100
  rules/causes/wheels.yaml:3:11: error: unknown family 'weels'; did you mean 'wheels'?
causes/wheels.yaml |   usual: 100\n |
  rules/causes/wheels.yaml:1:1: error: cause 'wheel_imbalance' has no 'usual'; per thousand complaints, or a word of strengths.yaml
causes/wheels.yaml | usual: 100 | usual: 0
  rules/causes/wheels.yaml:4:10: error: 'usual' of cause 'wheel_imbalance' is no rate per thousand; a number above 0, or a word of strengths.yaml
causes/wheels.yaml | usual: common | usual: comon
  rules/causes/wheels.yaml:12:10: error: unknown word 'comon' for 'usual' of cause 'bent_rim'; did you mean 'common'?
causes/wheels.yaml | usual: 100 | usual: 10 %
  rules/causes/wheels.yaml:4:10: error: 'usual' of cause 'wheel_imbalance' is no rate per thousand; a number above 0, or a word of strengths.yaml
causes/wheels.yaml | usual: 100 | usual: 4000
  rules/causes/wheels.yaml:4:10: error: 'usual' of cause 'wheel_imbalance' is no rate per thousand; a number above 0, or a word of strengths.yaml
causes/wheels.yaml | [{source: tire, order: 1}] | {source: tire, order: 1}
  rules/causes/wheels.yaml:5:11: error: 'shakes' needs a list; [{source: tire, order: 1}]
causes/wheels.yaml | [{source: tire, order: 1}] | [{source: tyre, order: 1}]
  rules/causes/wheels.yaml:5:21: error: unknown word 'tyre' for 'source' of shake of 'wheel_imbalance'; did you mean 'tire'?
causes/wheels.yaml | [{source: tire, order: 1}] | [{source: tire, order: first}]
  rules/causes/wheels.yaml:5:34: error: 'first' is no order; a number from 0.1 to 100, firing, half_firing, or a range as 6..20
causes/wheels.yaml | [{source: tire, order: 1}] | [{source: tire, order: 3..2}]
  rules/causes/wheels.yaml:5:34: error: '3..2' is no order; a number from 0.1 to 100, firing, half_firing, or a range as 6..20
causes/wheels.yaml | [{source: tire, order: 1}] | [{source: tire, order: 0}]
  rules/causes/wheels.yaml:5:34: error: '0' is no order; a number from 0.1 to 100, firing, half_firing, or a range as 6..20
causes/wheels.yaml | [{source: tire, order: 1}] | []
  rules/causes/wheels.yaml:5:11: error: 'shakes' needs a list; [{source: tire, order: 1}]
causes/wheels.yaml | share: 0.7}, {source: tire, order: 2..3} | share: 0.7}, {source: tire, order: 2..3, share: 0.2}
  rules/causes/wheels.yaml:13:11: error: shares of 'bent_rim' sum to 0.9; they must sum to 1
causes/wheels.yaml | share: 0.7 | share: 1
  rules/causes/wheels.yaml:13:11: error: shares of 'bent_rim' leave nothing for shakes without one; shares that sum to less than 1, or a share for each
causes/wheels.yaml | not_with: wheel_imbalance | not_with: wheel_imbalace
  rules/causes/wheels.yaml:14:13: error: unknown cause 'wheel_imbalace'; did you mean 'wheel_imbalance'?
causes/wheels.yaml | not_with: wheel_imbalance | not_with: bent_rim
  rules/causes/wheels.yaml:14:13: error: a cause is never paired with itself; another cause
causes/wheels.yaml | not_with: wheel_imbalance | not_with: {wheel_imbalance: yes}
  rules/causes/wheels.yaml:14:13: error: 'not_with' of cause 'bent_rim' is not a word or a list of words; causes it is never paired with
causes/wheels.yaml | repair: new_rim | repair: new_rims
  rules/causes/wheels.yaml:15:11: error: unknown repair 'new_rims'; did you mean 'new_rim'?
causes/wheels.yaml | repair: new_rim | repair: rebalance
  rules/causes/wheels.yaml:15:11: error: repair 'rebalance' does not cure 'bent_rim'; add it to 'cures' in repairs.yaml
causes/wheels.yaml | shown_by: bay | shown_by: the bay
  rules/causes/wheels.yaml:18:13: error: unknown word 'the bay' for 'shown_by' of cause 'bent_rim'; known: bay, road, repair
causes/wheels.yaml | shown_by: road\n | shown_by: road\n  shown_by: bay\n
  rules/causes/wheels.yaml:9:3: error: 'shown_by' stands here twice; first in line 8; keep one
causes/shafts.yaml | worn_joint:\n | bent_rim:\n
  rules/causes/wheels.yaml:9:1: error: cause 'bent_rim' is defined twice; first in rules/causes/shafts.yaml line 1; keep one
  rules/checks.yaml:32:14: error: unknown cause 'worn_joint'; known: bent_rim, wheel_imbalance
  rules/evidence/readings.yaml:13:9: error: unknown cause or family 'worn_joint'; known: nothing_left, bent_rim, wheel_imbalance, shafts, wheels
  rules/repairs.yaml:3:71: error: unknown cause 'worn_joint'; known: bent_rim, wheel_imbalance
causes/shafts.yaml | worn_joint:\n | wheels:\n
  rules/causes/shafts.yaml:1:1: error: 'wheels' is the name of a family already; another id
  rules/checks.yaml:32:14: error: unknown cause 'worn_joint'; known: bent_rim, wheel_imbalance, wheels
  rules/evidence/readings.yaml:13:9: error: unknown cause or family 'worn_joint'; known: nothing_left, bent_rim, wheel_imbalance, wheels, shafts, wheels
  rules/repairs.yaml:3:71: error: unknown cause 'worn_joint'; known: bent_rim, wheel_imbalance, wheels
causes/shafts.yaml | needs: {driven_axle: rear} | needs: {driven_axel: rear}
  rules/causes/shafts.yaml:5:11: error: unknown fact 'driven_axel'; did you mean 'driven_axle'?
causes/shafts.yaml | needs: {driven_axle: rear} | needs: {driven_axle: raer}
  rules/causes/shafts.yaml:5:24: error: unknown answer 'raer' of 'driven_axle'; did you mean 'rear'?
causes/shafts.yaml | needs: {driven_axle: rear} | needs: {driven_axle: }
  rules/causes/shafts.yaml:5:24: error: expected a word here; a word, or a list of words in [ ]
causes/shafts.yaml | needs: {driven_axle: rear} | needs: driven_axle
  rules/causes/shafts.yaml:5:10: error: 'needs' of 'worn_joint' is no mapping; fact: answer
causes/shafts.yaml | needs: {driven_axle: rear} | needs: {worst_speed: 80..120 km/h}
  rules/causes/shafts.yaml:5:11: error: 'worst_speed' cannot be needed; a fact per case of kind one or yesno, or a single answer of several
causes/shafts.yaml | needs: {driven_axle: rear} | needs: {shaft_play: yes}
  rules/causes/shafts.yaml:5:11: error: 'shaft_play' cannot be needed; a fact per case of kind one or yesno, or a single answer of several
causes/shafts.yaml | needs: {driven_axle: rear} | needs: {felt_at: [seat, steering_wheel]}
  rules/causes/shafts.yaml:5:11: error: 'felt_at' cannot be needed; a fact per case of kind one or yesno, or a single answer of several
causes/shafts.yaml | needs: {driven_axle: rear} | needs: {driven_axle: []}
  rules/causes/shafts.yaml:5:24: error: no answer of 'driven_axle' is named; an answer, or a list of answers
causes/shafts.yaml | * | {}\n
  rules/checks.yaml:32:14: error: unknown cause 'worn_joint'; known: bent_rim, wheel_imbalance
  rules/evidence/history.yaml:4:13: error: no cause is of the family 'shafts'; a family with causes
  rules/evidence/readings.yaml:13:9: error: unknown cause or family 'worn_joint'; known: nothing_left, bent_rim, wheel_imbalance, shafts, wheels
  rules/repairs.yaml:3:71: error: unknown cause 'worn_joint'; known: bent_rim, wheel_imbalance
repairs.yaml | minutes: 40 | minutes: 40 min
  rules/repairs.yaml:1:48: error: 'minutes' of repair 'rebalance': '40 min' will not do; a plain number from 0 to 10000
repairs.yaml | minutes: 40 | minutes: -1
  rules/repairs.yaml:1:48: error: 'minutes' of repair 'rebalance': '-1' will not do; a plain number from 0 to 10000
repairs.yaml | parts: none | parts: few
  rules/repairs.yaml:1:59: error: unknown word 'few' for 'parts' of repair 'rebalance'; known: none, small, medium, large
repairs.yaml | cures: [bent_rim] | cures: [bent_rm]
  rules/repairs.yaml:2:68: error: unknown cause 'bent_rm'; did you mean 'bent_rim'?
repairs.yaml | cures: [bent_rim] | cures: []
  rules/repairs.yaml:2:67: error: 'cures' of repair 'new_rim' is an empty list; the causes it cures
repairs.yaml | cures: [bent_rim] | cures: [bent_rim, bent_rim]
  rules/repairs.yaml:2:78: error: 'cures' of repair 'new_rim' names 'bent_rim' twice; each once
repairs.yaml | rebalance: { | Rebalance: {
  rules/causes/wheels.yaml:6:11: error: unknown repair 'rebalance'; known: new_joint, new_rim
  rules/repairs.yaml:1:1: error: 'Rebalance' is no id for a repair; a-z, 0-9 and _, beginning with a letter
causes/wheels.yaml | not_with: wheel_imbalance | not_with: []
  rules/causes/wheels.yaml:14:13: error: 'not_with' of cause 'bent_rim' is an empty list; causes it is never paired with
causes/wheels.yaml | repair: new_rim\n | repair: [new_rim]\n
  rules/causes/wheels.yaml:15:11: error: 'repair' of cause 'bent_rim' is not a single value; a repair of repairs.yaml
)rows");
}

TEST_CASE("wrong evidence") {
  check_all(R"rows(
evidence/history.yaml | - rule: after_new_tires | - rule: felt_in_the_wheel
  rules/evidence/history.yaml:7:9: error: rule 'felt_in_the_wheel' is defined twice; first in rules/evidence/history.yaml line 1; keep one
evidence/readings.yaml | - rule: worst_at_speed | - rule: after_new_tires
  rules/evidence/readings.yaml:1:9: error: rule 'after_new_tires' is defined twice; first in rules/evidence/history.yaml line 1; keep one
evidence/history.yaml | - rule: after_new_tires\n  when | - when
  rules/evidence/history.yaml:1:3: error: rule has no 'rule'; the rule's id
evidence/history.yaml | [tires_fitted, wheels_off] | [tire_fitted, wheels_off]
  rules/evidence/history.yaml:2:24: error: unknown answer 'tire_fitted' of 'began_after'; did you mean 'tires_fitted'?
evidence/history.yaml | for: {wheel_imbalance: strong} | for: {wheel_imbalance: storng}
  rules/evidence/history.yaml:3:26: error: unknown strength 'storng'; did you mean 'strong'?
evidence/history.yaml | for: {wheel_imbalance: strong} | for: {wheel_imbalance: very strong indeed}
  rules/evidence/history.yaml:3:26: error: unknown strength 'very strong indeed'; known: hint, some, strong
evidence/history.yaml | for: {wheel_imbalance: strong} | for: {wheel_imbalance: 1}
  rules/evidence/history.yaml:3:26: error: '1' is no odds ratio; a number above 1, at most 10000; `against` is what speaks against
evidence/history.yaml | for: {wheel_imbalance: strong} | for: {wheel_imbalance: 0.5}
  rules/evidence/history.yaml:3:26: error: '0.5' is no odds ratio; a number above 1, at most 10000; `against` is what speaks against
evidence/history.yaml | for: {wheel_imbalance: strong} | for: {wheel_imbalance: 10001}
  rules/evidence/history.yaml:3:26: error: '10001' is no odds ratio; a number above 1, at most 10000; `against` is what speaks against
evidence/history.yaml | for: {wheel_imbalance: strong} | for: {wheel_inbalance: strong}
  rules/evidence/history.yaml:3:9: error: unknown cause or family 'wheel_inbalance'; did you mean 'wheel_imbalance'?
evidence/history.yaml | {wheels: some, bent_rim: hint} | {weels: some, bent_rim: hint}
  rules/evidence/history.yaml:9:9: error: unknown cause or family 'weels'; did you mean 'wheels'?
evidence/history.yaml | {wheels: some, bent_rim: hint} | [wheels]
  rules/evidence/history.yaml:9:8: error: expected causes and strengths; {cause: strong}
evidence/history.yaml | {wheels: some, bent_rim: hint} | {}
  rules/evidence/history.yaml:9:8: error: expected causes and strengths; {cause: strong}
evidence/history.yaml |   for: {wheels: some, bent_rim: hint}\n |
  rules/evidence/history.yaml:7:3: error: rule 'felt_in_the_wheel' says nothing; for: {cause: strength} or against: {...}
evidence/history.yaml | for: {wheels: some, bent_rim: hint} | fro: {wheels: some, bent_rim: hint}
  rules/evidence/history.yaml:9:3: error: unknown key 'fro' of rule 'felt_in_the_wheel'; did you mean 'for'?
evidence/history.yaml | against: {shafts: some} | against: {wheel_imbalance: some}
  rules/evidence/history.yaml:4:13: error: rule 'after_new_tires' speaks twice about 'wheel_imbalance'; either for or against
evidence/history.yaml | for: {wheel_imbalance: strong} | for: {wheels: some}\n  agianst: {shafts: some}
  rules/evidence/history.yaml:4:3: error: unknown key 'agianst' of rule 'after_new_tires'; did you mean 'against'?
evidence/history.yaml |   because: The wheels were off just before it began.\n |
  rules/evidence/history.yaml:1:3: error: rule 'after_new_tires' has no 'because'; the reason in a plain sentence
evidence/history.yaml | when: {felt_at: steering_wheel} | when: [felt_at, steering_wheel]
  rules/evidence/history.yaml:8:9: error: expected a condition; fact: answer, or not:, any:, all:
evidence/history.yaml | when: {felt_at: steering_wheel} | wehn: {felt_at: steering_wheel}
  rules/evidence/history.yaml:8:3: error: unknown key 'wehn' of rule 'felt_in_the_wheel'; did you mean 'when'?
evidence/readings.yaml | {worst_speed: 80..120 km/h, | {worst_speed: 80..120 kmh/h,
  rules/evidence/readings.yaml:2:23: error: 'worst_speed': "120 kmh/h" has an unknown unit "kmh/h"; did you mean "km/h"?
evidence/readings.yaml | {worst_speed: 80..120 km/h, | {worst_speed: 80..120,
  rules/evidence/readings.yaml:2:23: error: 'worst_speed': "120" has no unit; a speed needs one of mph, km/h, m/s
evidence/readings.yaml | {worst_speed: 80..120 km/h, | {worst_speed: high,
  rules/evidence/readings.yaml:2:23: error: 'worst_speed': "high" is not a range of a speed; write it like "55..75 mph", "..40 mph" or "75 mph.."
evidence/readings.yaml | {worst_speed: 80..120 km/h, | {worst_speed: 210..220 km/h,
  rules/evidence/readings.yaml:2:23: error: 'worst_speed' can never lie in 210..220 km/h; a range within 0 km/h to 200 km/h
evidence/readings.yaml | {rim_runout: bad} | {rim_runout: 1..2 mm}
  rules/evidence/readings.yaml:7:22: error: unknown answer '1..2 mm' of 'rim_runout'; known: good, bad
evidence/readings.yaml | {rim_runout: bad} | {rim_runout: bda}
  rules/evidence/readings.yaml:7:22: error: unknown answer 'bda' of 'rim_runout'; did you mean 'bad'?
evidence/readings.yaml | {rim_runout: bad} | {rim_runout: bad, shaft_play: yes}
  rules/evidence/readings.yaml:6:3: error: the rules about 'bent_rim' tie facts of different kinds of place together; one of per wheel, per axle, per shaft
evidence/readings.yaml | {rim_runout: bad} | {measured_frequency: 10..15 Hz}
  rules/evidence/readings.yaml:6:3: error: rule 'rim_out_of_true' speaks of measured_frequency; that is computed from the orders of causes; leave it out
evidence/readings.yaml | {nothing_left: some} | {nothing_lft: some}
  rules/evidence/readings.yaml:14:13: error: unknown cause or family 'nothing_lft'; did you mean 'nothing_left'?
evidence/readings.yaml | {any: [{shaft_play: yes}, {hums: yes}]} | {any: []}
  rules/evidence/readings.yaml:12:15: error: 'any' needs a list of conditions; any: [{fact: answer}, {fact: answer}]
evidence/readings.yaml | * | rule: worst_at_speed\n
  rules/evidence/readings.yaml:1:1: error: expected a list of rules; - rule: rule_id
evidence/readings.yaml | * | - just text\n
  rules/evidence/readings.yaml:1:3: error: rule must be a mapping; key: value, with rule, when, for, against, because, origin
evidence/readings.yaml | {worst_speed: 80..120 km/h, | {worst_speed: [80..120 km/h, 120..80 km/h],
  rules/evidence/readings.yaml:2:38: error: 'worst_speed': "120..80 km/h" does not rise; the low end must lie below the high end
)rows");
}

TEST_CASE("wrong shop and checks") {
  check_all(R"rows(
shop.yaml | minutes: 4, | minutes: four,
  rules/shop.yaml:1:32: error: 'minutes' of set-up 'car_raised': 'four' will not do; a plain number from 0 to 1000
shop.yaml | have: yes | have: maybe
  rules/shop.yaml:2:52: error: 'have' of equipment 'dial_gauge': 'maybe' will not do; yes or no
shop.yaml | setups: { | setup: {
  rules/shop.yaml:1:1: error: unknown key 'setup' of shop.yaml; did you mean 'setups'?
shop.yaml | {dial_gauge: {what: A dial gauge, have: yes}} | [dial_gauge]
  rules/shop.yaml:2:12: error: expected a mapping of equipment; thing_id: {what: ..., have: yes}
checks.yaml | by: write_up | by: write-up
  rules/checks.yaml:3:7: error: unknown word 'write-up' for 'by' of check 'ask_customer'; did you mean 'write_up'?
checks.yaml | learns: [began_after, felt_at, words] | learns: [began_afer, felt_at, words]
  rules/checks.yaml:4:12: error: unknown fact 'began_afer'; did you mean 'began_after'?
checks.yaml |   learns: rim_runout\n |
  rules/checks.yaml:17:1: error: check 'gauge_on_rim' has no 'learns'; the facts it gives
checks.yaml | minutes: 10 | minutes: 0
  rules/checks.yaml:15:12: error: 'minutes' of check 'drive': '0' will not do; a plain number from 0.01 to 10000
checks.yaml | setup: car_raised | setup: car_rased
  rules/checks.yaml:22:10: error: unknown set-up 'car_rased'; did you mean 'car_raised'?
checks.yaml | equipment: dial_gauge | equipment: dial_guage
  rules/checks.yaml:23:14: error: unknown equipment 'dial_guage'; did you mean 'dial_gauge'?
checks.yaml | moves: wheels_spin | moves: wheel_spin
  rules/checks.yaml:24:10: error: unknown word 'wheel_spin' for 'moves' of check 'gauge_on_rim'; did you mean 'wheels_spin'?
checks.yaml | confirms: {bent_rim: bad} | confirms: {bent_rm: bad}
  rules/checks.yaml:25:14: error: unknown cause 'bent_rm'; did you mean 'bent_rim'?
checks.yaml | confirms: {bent_rim: bad} | confirms: {bent_rim: worse}
  rules/checks.yaml:25:24: error: unknown answer 'worse' of 'rim_runout'; known: good, bad
checks.yaml | confirms: {bent_rim: bad} | confirms: bent_rim
  rules/checks.yaml:25:13: error: 'confirms' is no mapping; cause: answer, or cause: {fact: answer}
checks.yaml | confirms: {worn_joint: {shaft_play: yes}} | confirms: {worn_joint: yes}
  rules/checks.yaml:32:26: error: 'shake_shaft' learns several facts, and which shows 'worn_joint' is not said; cause: {fact: answer}
checks.yaml | asked_if: {driven_axle: rear} | asked_if: {driven_axle: both}
  rules/checks.yaml:31:27: error: unknown answer 'both' of 'driven_axle'; known: front, rear
checks.yaml | ask_customer:\n | start:\n
  rules/checks.yaml:1:1: error: 'start' is a reserved name; another id
  rules/path.yaml:7:24: error: unknown check, gate or end 'ask_customer'; known: drive, gauge_on_rim, look_at_nuts, shake_shaft, start, safe_to_move, referral, verdict
  rules/path.yaml:8:12: error: unknown check or gate 'ask_customer'; known: start, drive, gauge_on_rim, look_at_nuts, shake_shaft, start, safe_to_move
checks.yaml | ask_customer:\n | verdict:\n
  rules/path.yaml:4:3: error: a check, a gate or an end is named 'verdict' already; another id
  rules/path.yaml:7:24: error: unknown check, gate or end 'ask_customer'; known: drive, gauge_on_rim, look_at_nuts, shake_shaft, verdict, safe_to_move, referral
  rules/path.yaml:8:12: error: unknown check or gate 'ask_customer'; known: start, drive, gauge_on_rim, look_at_nuts, shake_shaft, verdict, safe_to_move
checks.yaml | learns: rim_runout\n | learns: [rim_runout, rim_runout]\n
  rules/checks.yaml:20:24: error: 'learns' of check 'gauge_on_rim' names 'rim_runout' twice; each once
)rows");
}

TEST_CASE("wrong paths") {
  check_all(R"rows(
path.yaml | guards: [moves, wheels_spin] | guards: [moves, wheels_spins]
  rules/path.yaml:2:34: error: unknown word 'wheels_spins' for 'guards' of gate 'safe_to_move'; did you mean 'wheels_spin'?
path.yaml | guards: [moves, wheels_spin] | guards: []
  rules/path.yaml:2:26: error: 'guards' of gate 'safe_to_move' is an empty list; moves, wheels_spin or both
path.yaml | guards: [moves, wheels_spin] | guards: [moves]
  rules/checks.yaml:17:1: error: 'gauge_on_rim' spins a wheel and can be reached round every gate that guards it; lead every way to it through an edge 'when: passed' of such a gate
path.yaml | asks: nuts_loose | asks: nuts_lose
  rules/path.yaml:2:54: error: unknown fact 'nuts_lose'; did you mean 'nuts_loose'?
path.yaml | asks: nuts_loose | asks: hums
  rules/path.yaml:2:54: error: 'hums' cannot pass a gate; a fact that has 'clear'
path.yaml | asks: nuts_loose | asks: []
  rules/path.yaml:2:54: error: 'asks' of gate 'safe_to_move' is an empty list; facts that must be clear
path.yaml | safe_to_move: { | start: {
  rules/path.yaml:2:3: error: 'start' is a reserved name; another id
  rules/path.yaml:9:30: error: unknown check, gate or end 'safe_to_move'; known: ask_customer, drive, gauge_on_rim, look_at_nuts, shake_shaft, start, referral, verdict
  rules/path.yaml:10:12: error: unknown check or gate 'safe_to_move'; known: start, ask_customer, drive, gauge_on_rim, look_at_nuts, shake_shaft, start
path.yaml | verdict: {what: A cause is shown} | verdict: A cause is shown
  rules/path.yaml:4:3: error: end 'verdict' must be a mapping; key: value, with what
path.yaml | verdict: {what: A cause is shown}\n  referral: {what: Somebody else looks at it} | {}
  rules/path.yaml:4:3: error: the path has no ends; end_id: {what: ...}
path.yaml | to: shake_shaft | to: shake_shat
  rules/path.yaml:8:30: error: unknown check, gate or end 'shake_shat'; did you mean 'shake_shaft'?
path.yaml | from: ask_customer | from: ask_custmer
  rules/path.yaml:8:12: error: unknown check or gate 'ask_custmer'; did you mean 'ask_customer'?
path.yaml | from: ask_customer | from: verdict
  rules/path.yaml:8:12: error: nothing follows the end 'verdict'; a check, a gate or start
path.yaml | to: shake_shaft | to: start
  rules/path.yaml:8:30: error: nothing leads back to the start; a check, a gate or an end
path.yaml | {began_after: nothing} | {began_after: nothin}
  rules/path.yaml:8:63: error: unknown answer 'nothin' of 'began_after'; did you mean 'nothing'?
path.yaml | {began_after: nothing} | passed
  rules/path.yaml:8:12: error: only a gate can be passed, not 'ask_customer'; a gate
path.yaml | when: passed | when: pased
  rules/path.yaml:10:59: error: unknown word 'pased' for 'when' of an edge; did you mean 'passed'?
path.yaml | , when: passed |
  rules/checks.yaml:11:1: error: 'drive' moves the car and can be reached round every gate that guards it; lead every way to it through an edge 'when: passed' of such a gate
  rules/checks.yaml:17:1: error: 'gauge_on_rim' spins a wheel and can be reached round every gate that guards it; lead every way to it through an edge 'when: passed' of such a gate
path.yaml | from: look_at_nuts, to: safe_to_move | from: look_at_nuts, to: look_at_nuts
  rules/checks.yaml:6:1: error: 'look_at_nuts' is a dead end; an edge towards a verdict, a referral or no fault
  rules/checks.yaml:6:1: error: the path leads from 'look_at_nuts' to itself; take out one of its edges
  rules/checks.yaml:11:1: error: 'drive' cannot be reached from the start; an edge that leads to it
  rules/checks.yaml:17:1: error: 'gauge_on_rim' cannot be reached from the start; an edge that leads to it
  rules/path.yaml:2:3: error: 'safe_to_move' cannot be reached from the start; an edge that leads to it
path.yaml |   - {from: look_at_nuts, to: safe_to_move}\n |
  rules/checks.yaml:6:1: error: 'look_at_nuts' is a dead end; an edge towards a verdict, a referral or no fault
  rules/checks.yaml:11:1: error: 'drive' cannot be reached from the start; an edge that leads to it
  rules/checks.yaml:17:1: error: 'gauge_on_rim' cannot be reached from the start; an edge that leads to it
  rules/path.yaml:2:3: error: 'safe_to_move' cannot be reached from the start; an edge that leads to it
path.yaml | [drive, gauge_on_rim, shake_shaft] | [drive, gauge_on_rim]
  rules/checks.yaml:1:1: error: 'ask_customer' is a dead end; an edge towards a verdict, a referral or no fault
  rules/checks.yaml:26:1: error: 'shake_shaft' is a dead end; an edge towards a verdict, a referral or no fault
path.yaml | to: [verdict, referral] | to: verdict
  rules/path.yaml:5:3: error: 'referral' cannot be reached from the start; an edge that leads to it
path.yaml | to: [verdict, referral] | to: [verdict, referral, ask_customer]
  rules/checks.yaml:1:1: error: the path runs in a circle through 'shake_shaft' and 'ask_customer'; take out one of its edges
path.yaml | to: [ask_customer, look_at_nuts] | to: [ask_customer, look_at_nuts, drive]
  rules/checks.yaml:11:1: error: 'drive' moves the car and can be reached round every gate that guards it; lead every way to it through an edge 'when: passed' of such a gate
path.yaml | - {from: look_at_nuts, to: safe_to_move}\n | - {from: look_at_nuts, to: safe_to_move}\n  - {from: safe_to_move, to: drive, when: {hums: no}}\n
  rules/checks.yaml:11:1: error: 'drive' moves the car and can be reached round every gate that guards it; lead every way to it through an edge 'when: passed' of such a gate
path.yaml | * | gates: {}\nends: {verdict: {what: A}}\nedges: []\n
  rules/path.yaml:3:8: error: 'edges' needs a list; - {from: start, to: ask_speed}
path.yaml | - {from: look_at_nuts, to: safe_to_move}\n | - {from: look_at_nuts}\n
  rules/path.yaml:9:5: error: edge has no 'to'; checks, gates or ends
path.yaml | * | gates: []\nends: []\nedges: {}\n
  rules/path.yaml:1:8: error: expected a mapping of gates; gate_id: {guards: moves, asks: [...], what: ...}
  rules/path.yaml:2:7: error: expected a mapping of ends; end_id: {what: ...}
  rules/path.yaml:3:8: error: 'edges' needs a list; - {from: start, to: ask_speed}
path.yaml | ends:\n  verdict | ends:\n  safe_to_move: {what: Safe}\n  verdict
  rules/path.yaml:4:3: error: a check, a gate or an end is named 'safe_to_move' already; another id
)rows");
}

TEST_CASE("wrong files") {
  check_all(R"rows(
families.yaml | - |
  rules/families.yaml: error: there is no such file; every rule base has its families.yaml
facts.yaml | - |
  rules/facts.yaml: error: there is no such file; every rule base has its facts.yaml
fact.yaml | * | {}\n
  rules/fact.yaml: error: not a file of a rule base; did you mean 'facts.yaml'?
cuases/wheels.yaml | * | {}\n
  rules/cuases/wheels.yaml: error: not a file of a rule base; did you mean 'causes/wheels.yaml'?
notes.yaml | * | {}\n
  rules/notes.yaml: error: not a file of a rule base; known: strengths.yaml, families.yaml, facts.yaml, limits.yaml, repairs.yaml, shop.yaml, checks.yaml, path.yaml, causes/, evidence/, flow_chart.yaml, phrases.yaml, physics.yaml
evidence/more.yaml | * |
  rules/evidence/more.yaml:1:1: error: the file is empty; at least one entry
causes/more.yaml | * | - a\n
  rules/causes/more.yaml:1:1: error: expected a mapping of causes; cause_id: {name: ..., family: ...}
limits.yaml | + | rim_runout: {}\n
  rules/limits.yaml:7:1: error: 'rim_runout' stands here twice; first in line 1; keep one
facts.yaml | + | hums: {}\n
  rules/facts.yaml:80:1: error: 'hums' stands here twice; first in line 14; keep one
)rows");
}

TEST_CASE("the name of a file is text, as it stands in messages about others") {
  perrev::small::SmallBase made;
  made.set("causes/a\xFF.yaml", "worn_joint: {}\n");
  CHECK(perrev::small::listed(made.complaints()) ==
        "rules/causes/a\xFF.yaml: error: the name of this file is no plain text; letters, digits "
        "and _ in UTF-8\n");
}

TEST_CASE("of very many errors the first are told, and that there are more") {
  perrev::small::SmallBase made;
  std::string rules;
  for (int i = 0; i < 5000; ++i) rules += "- {}\n";
  const std::vector<std::string> told = made.set("evidence/more.yaml", rules).complaints();
  CHECK(told.size() == 1001);
  CHECK(
      told.front() ==
      "rules/evidence/more.yaml:1:3: error: rule has no 'because'; the reason in a plain sentence");
  CHECK(told.back().find("error: more errors than can be told; these mended first") !=
        std::string::npos);
}
