// The road-test plan: before a drive, the set of manoeuvres that separates the causes still alive,
// with the speeds, gears and engine speeds for this vehicle.
//
// Suspects are the causes still alive, most probable first: until they cover kCovered of the
// probability of all listed causes, at most kMostSuspects, none below kLeastSuspect; what a check
// has shown already is no suspect. After a repair "nothing is wrong any more" is one of them
// (RuleBase::nothing_left()).
//
// Manoeuvres are checks that Offers offers on the road, never others and no wheels run on a hoist:
// chosen as in road_choice.h, driven in the order of road_style.h. What takes longer than
// kLongestManoeuvre (wheels changed, tires driven warm, a load fetched) is a drive of its own,
// planned for what this one leaves open. Some are in the plan whatever they tell (RoadNeed). While
// a stop holds there are none at all.
//
// Values only; words for people are made in src. Speeds in m/s as the instrument shows them,
// frequencies in Hz. The same case gives the same plan, bit for bit.
#pragma once

#include <optional>
#include <vector>

#include "engine/planning/road_choice.h"
#include "engine/planning/road_recording.h"
#include "engine/planning/road_style.h"
#include "engine/planning/road_watch.h"
#include "engine/reasoning/offers.h"

namespace perrev {

inline constexpr double kCovered = 0.90;
inline constexpr std::size_t kMostSuspects = 8;
inline constexpr double kLeastSuspect = 0.02;
inline constexpr double kLongestManoeuvre = 12.0;  // minutes

struct RoadSuspect {
  int cause = -1;  // or RuleBase::nothing_left()
  double probability = 0.0;
};

// Two suspects (indices, first < second) and how far apart they are told: a total variation.
struct RoadPair {
  std::size_t first = 0, second = 0;
  double apart = 0.0;
};

enum class RoadNeed {
  none,          // it tells suspects apart
  gate,          // it looks at what has to be clear before a drive
  complaint,     // what cannot be brought back cannot be tested
  speed,         // nobody has said at which speed it is felt
  engine_speed,  // without it the engine's lines cannot be told from others
  proof          // the proof of a repair
};

struct RoadManoeuvre {
  int check = -1;
  RoadKind kind = RoadKind::any;
  RoadNeed need = RoadNeed::none;
  double minutes = 0.0;            // without set-up; of a recording, of all its settings
  std::optional<double> from, to;  // the same where a speed is held; none where no speed is known
  // Engine speed where it can be computed: of the next lower gear (a range); of a coast, the one at
  // its end, near which the gear goes back in; of a run-up standing, where it ends.
  std::optional<double> engine_low, engine_high;
  std::vector<RoadPair> separates;  // by suspects
  std::vector<RoadWatch> watch;
};

// Two lines that no speed and no gear tells apart, and a check that tells the suspects on them
// apart instead; -1 where there is none.
struct RoadAmbiguity {
  std::size_t pair = 0;  // of RoadRecording::pairs
  int instead = -1;
};

// Two suspects that no manoeuvre tells apart, and the check in the bay that does; -1 for none.
struct RoadLeftOpen {
  std::size_t first = 0, second = 0;
  int bay = -1;
};

// A suspect that makes the drive dangerous (its caution in the rule base begins with "Safety"), and
// the standing check in the bay that would show it; -1 for none.
struct RoadLookFirst {
  std::size_t suspect = 0;
  int check = -1;
};

struct RoadGate {
  int gate = -1;
  std::vector<int> missing;  // facts
};

struct RoadPlan {
  std::vector<int> stops;       // facts whose stop is in force: the plan then holds no manoeuvre
  std::vector<RoadGate> gates;  // before a drive, not passed
  std::vector<int> shown;       // causes that a check has shown, not repaired yet
  std::vector<RoadSuspect> suspects;
  double not_listed = 0.0;
  std::vector<RoadLookFirst> look_first;
  RoadSpeeds speeds;
  std::vector<Conflict> conflicts;  // speeds, rpm and ratios of the case that cannot all be true
  std::vector<RoadManoeuvre> manoeuvres;   // in the order of the drive
  std::vector<RoadManoeuvre> longer;       // drives of their own, in the same order
  std::optional<RoadRecording> recording;  // where the plan holds one
  std::vector<RoadAmbiguity> ambiguous;    // of the recording
  // Facts that a recording needs and that no manoeuvre learns; also where the plan holds none yet.
  std::vector<int> look_up;
  std::vector<RoadLeftOpen> left_open;
  std::vector<int> confirming;  // one suspect alone: checks in the bay that would show it
  std::vector<int> equipment;   // to take along
  double minutes = 0.0;         // of the manoeuvres, set-ups once
};

// `units` picks round speeds: steps of 5 mph or of 10 km/h.
RoadPlan road_plan(const Reasoner& reasoner, const CaseFacts& facts, const Ranking& ranking,
                   const Offers& offers, Units units = Units::us);

}  // namespace perrev
