// Sentences of invented customers and the facts a careful person at the counter would propose.
//
// Held out: written before the first line of rules/phrases.yaml. No phrase was written for one of
// them afterwards; but a wrong "I hear" in one led to a look at all sayings that come down to a
// single word, which took it away. The same person wrote sentences and phrases, so the rate tells
// how far the lexicon carries over to sentences it was not made for, not how all customers talk.
// The words of the cases in cases/ are a harder test: of their proposals about one in five differs
// from what the case holds (a part of them speeds that differ by a few mph).
#pragma once

namespace perrev::customers {

struct Sentence {
  const char* text;
  const char* facts;  // "fact: answer, answer; fact: answer", facts in any order
};

inline constexpr Sentence kHeldOut[] = {
    {"The steering wheel shakes like crazy at 65 ever since I got new tires put on.",
     "felt_at: steering_wheel; worst_speed: 65 mph; began_after: tires_fitted"},
    {"There's a humming noise that gets louder the faster I go, I can't feel anything though.",
     "heard: growl; felt_at: heard_only"},
    {"When I hit the brakes coming down off the highway the whole front end judders.",
     "when_braking: only"},
    {"Brake pedal pulses under my foot", "felt_at: brake_pedal; when_braking: only"},
    {"i feel it in my butt, not in the wheel, around 70", "felt_at: seat; worst_speed: 70 mph"},
    {"Vibrates between 55 and 70 then smooths out", "begins_speed: 55 mph; ends_speed: 70 mph"},
    {"My wife hit a pothole last week and now it wobbles", "began_after: kerb_or_pothole"},
    {"Only does it under hard acceleration, lift off the gas and it's gone",
     "when_accelerating: only; when_coasting: less"},
    {"clunk when I shift from park into reverse", "shift_thump: yes; heard: clunk"},
    {"It thumps for the first few miles in the morning then it goes away",
     "character: thump; with_warmth: fades; after_parking: after_night"},
    {"car sat in the garage for two months and now it bounces", "began_after: long_parking"},
    {"the brakes grind and it smells like something is burning",
     "brake_feel: grinds; heat_or_smell: burning"},
    {"You guys already balanced them twice and it made no difference.", "balance_tried: same"},
    {"Steering is loose and it wanders all over the road", "steering_feel: loose"},
    {"Engine light is flashing and it shakes at idle in drive, fine in neutral",
     "engine_lamp: flashing; standing_idle: in_gear"},
    {"I get a droning sound at 45 on the motorway, comes and goes every few seconds",
     "heard: drone; worst_speed: 45 mph; rhythm: comes_and_goes"},
    {"Seat and floor buzz above 60 mph",
     "felt_at: seat, floor; begins_speed: 60 mph; character: tingle"},
    {"had the winter tyres put on last wednesday, it has shaken since at 110 km/h",
     "began_after: wheels_removed; tread_kind: winter; worst_speed: 110 km/h"},
    {"No shaking in the steering wheel at all, just the floor", "felt_at: floor"},
    {"it shudders when I pull away from a stop light, even gently", "pulling_away: light"},
    {"growling from the left front that gets louder when I turn right",
     "heard: growl; in_turns: worse_right"},
    {"The whole car is shaking above 100 kph, scary",
     "felt_at: whole_car; begins_speed: 100 km/h; how_strong: alarming"},
    {"feels like driving over rumble strips at a steady 45 with hardly any gas",
     "steady_light_pedal: yes; worst_speed: 45 mph"},
    {"I hear clicking in tight turns in the parking lot", "heard: click; in_turns: tight_only"},
    {"One of the lug nuts was missing when I checked", "nuts_loose: yes"},
    {"Got a bulge in the sidewall on one of the tires", "tire_damage_seen: yes"},
    {"stearing whel vibrates when breaking from high spead",
     "felt_at: steering_wheel; when_braking: only; braking_where: from_speed"},
    {"since the shop rotated my tires the vibration moved from the seat to the steering wheel",
     "rotation_tried: moved; felt_at: steering_wheel"},
    {"it's worse with the caravan on the back and it doesn't pull to either side",
     "load_matters: worse_towing; pulls_to_side: none"},
    {"Slow wobble side to side at walking speed, feels like a flat spot",
     "lumpy_at_walking_pace: rocks; character: side_to_side"},
};

}  // namespace perrev::customers
