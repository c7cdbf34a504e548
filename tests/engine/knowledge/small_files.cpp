// The texts of small_base.h. Without doctest: the fuzz target has them too.
#include "tests/engine/knowledge/small_base.h"

namespace perrev::small {

namespace {

struct File {
  const char* name;
  const char* text;
};

const File kFiles[] = {
    {"strengths.yaml",
     R"(strengths: {hint: 1.5, some: 2.5, strong: 8}
usual_words: {common: 20, rare: 3}
shares: {not_listed: 0.05, pairs: 0.10}
likely_from: 0.5
)"},
    {"families.yaml",
     R"(wheels: {name: Wheels and tires}
shafts: {name: Shafts}
)"},
    {"facts.yaml",
     R"(began_after:
  ask: What was done just before it began?
  kind: one
  answers: {tires_fitted: Tires were fitted, wheels_off: The wheels were off, nothing: Nothing}
  base: {tires_fitted: 0.1, wheels_off: 0.2, nothing: 0.7}
  asked_at: [write_up]
felt_at:
  ask: Where do you feel it?
  kind: several
  answers: {steering_wheel: In the steering wheel, seat: In the seat}
  base: {steering_wheel: 0.4, seat: 0.3}
  asked_at: [write_up, road]
  together: any
hums:
  ask: Does it hum?
  kind: yesno
  base: 0.25
  asked_at: road
  asked_if: {felt_at: seat}
driven_axle:
  ask: Which wheels are driven?
  kind: one
  answers: {front: The front wheels, rear: The rear wheels}
  base: {front: 0.6, rear: 0.4}
  asked_at: [write_up, bay]
  lasts: vehicle
wheel_type:
  ask: What are the wheels made of?
  kind: one
  answers: {alloy: Light alloy, steel: Steel}
  base: {alloy: 0.7, steel: 0.3}
  asked_at: bay
  lasts: vehicle
worst_speed:
  ask: At which speed is it worst?
  kind: number
  unit: speed
  range: 0..200 km/h
  base: {40 km/h: 0.1, 80 km/h: 0.4, 120 km/h: 0.9}
  asked_at: [write_up, road]
measured_frequency:
  ask: Which frequency was measured?
  kind: number
  unit: frequency
  range: 0..200 Hz
  base: {10 Hz: 0.3, 30 Hz: 0.8}
  asked_at: road
rim_runout:
  ask: How far is the rim out?
  kind: number
  unit: length
  range: 0..20 mm
  base: 0.2
  asked_at: bay
  per: wheel
  together: any
shaft_play:
  ask: Has the shaft play?
  kind: yesno
  base: 0.15
  asked_at: bay
  per: shaft
nuts_loose:
  ask: Is a wheel nut loose?
  kind: yesno
  base: 0.02
  asked_at: [write_up, bay]
  clear: no
  stop: {answers: yes, reason: A wheel may come off, caution: Do not drive, cleared_by: nuts_sound}
nuts_sound:
  ask: Are all nuts and studs sound?
  kind: yesno
  base: 0.9
  asked_at: bay
  clear: yes
words:
  ask: What does the customer say?
  kind: text
  asked_at: write_up
)"},
    {"limits.yaml",
     R"(rim_runout:
  better: lower
  class_by: wheel_type
  classes:
    alloy: {good: 0.5 mm, bad: 0.8 mm, origin: from memory}
    other: {good: 0.8 mm, bad: 1.0 mm, origin: from memory}
)"},
    {"causes/wheels.yaml",
     R"(wheel_imbalance:
  name: A wheel out of balance
  family: wheels
  usual: 100
  shakes: [{source: tire, order: 1}]
  repair: rebalance
  proof: The wheel is steady at speed.
  shown_by: road
bent_rim:
  name: A bent rim
  family: wheels
  usual: common
  shakes: [{source: tire, order: 1, share: 0.7}, {source: tire, order: 2..3}]
  not_with: wheel_imbalance
  repair: new_rim
  proof: The new rim runs true.
  caution: Support the vehicle before a wheel comes off.
  shown_by: bay
)"},
    {"causes/shafts.yaml",
     R"(worn_joint:
  name: A worn joint of the shaft
  family: shafts
  usual: rare
  needs: {driven_axle: rear}
  repair: new_joint
  proof: No play is left.
  shown_by: bay
)"},
    {"repairs.yaml",
     R"(rebalance: {what: Balance the wheels, minutes: 40, parts: none, cures: wheel_imbalance, proof: It is steady.}
new_rim: {what: Fit a new rim, minutes: 60, parts: medium, cures: [bent_rim], proof: It runs true.}
new_joint: {what: Fit a new joint, minutes: 90, parts: medium, cures: worn_joint, proof: No play.}
)"},
    {"shop.yaml",
     R"(setups: {car_raised: {minutes: 4, what: The car stands on the hoist}}
equipment: {dial_gauge: {what: A dial gauge, have: yes}}
)"},
    {"evidence/history.yaml",
     R"(- rule: after_new_tires
  when: {began_after: [tires_fitted, wheels_off]}
  for: {wheel_imbalance: strong}
  against: {shafts: some}
  because: The wheels were off just before it began.
  origin: from memory
- rule: felt_in_the_wheel
  when: {felt_at: steering_wheel}
  for: {wheels: some, bent_rim: hint}
  because: Front wheels shake the steering wheel.
  origin: from memory
)"},
    {"evidence/readings.yaml",
     R"(- rule: worst_at_speed
  when: {worst_speed: 80..120 km/h, not: {hums: yes}}
  for: {wheel_imbalance: some}
  because: A wheel shakes most at its own speed.
  origin: from memory
- rule: rim_out_of_true
  when: {rim_runout: bad}
  for: {bent_rim: strong}
  because: The rim is out of its limit.
  origin: from memory
- rule: play_in_the_shaft
  when: {any: [{shaft_play: yes}, {hums: yes}]}
  for: {worn_joint: strong}
  against: {nothing_left: some}
  because: A worn joint has play.
  origin: from memory
)"},
    {"checks.yaml",
     R"(ask_customer:
  what: Ask what happened
  by: write_up
  learns: [began_after, felt_at, words]
  minutes: 2
look_at_nuts:
  what: Look at the wheel nuts
  by: bay
  learns: [nuts_loose, nuts_sound]
  minutes: 3
drive:
  what: Drive it
  by: road
  learns: [worst_speed, hums, measured_frequency]
  minutes: 10
  moves: yes
gauge_on_rim:
  what: Read the runout of the rim
  by: bay
  learns: rim_runout
  minutes: 6
  setup: car_raised
  equipment: dial_gauge
  moves: wheels_spin
  confirms: {bent_rim: bad}
shake_shaft:
  what: Shake the shaft by hand
  by: bay
  learns: [shaft_play, driven_axle]
  minutes: 4
  asked_if: {driven_axle: rear}
  confirms: {worn_joint: {shaft_play: yes}}
)"},
    {"path.yaml",
     R"(gates:
  safe_to_move: {guards: [moves, wheels_spin], asks: nuts_loose, what: Nothing is loose}
ends:
  verdict: {what: A cause is shown}
  referral: {what: Somebody else looks at it}
edges:
  - {from: start, to: [ask_customer, look_at_nuts]}
  - {from: ask_customer, to: shake_shaft, when: {began_after: nothing}}
  - {from: look_at_nuts, to: safe_to_move}
  - {from: safe_to_move, to: [drive, gauge_on_rim], when: passed}
  - {from: [drive, gauge_on_rim, shake_shaft], to: [verdict, referral]}
)"},
};

}  // namespace

std::vector<SourceFile> small_files() {
  std::vector<SourceFile> files;
  for (const File& file : kFiles)
    files.push_back({file.name, std::string("rules/") + file.name, file.text});
  return files;
}

}  // namespace perrev::small
