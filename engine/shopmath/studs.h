// Evenly spaced studs: the turns they allow between a wheel or rotor and its hub, and the best of
// them.
#pragma once

#include <vector>

#include "engine/result.h"
#include "engine/shopmath/turned.h"

namespace perrev {

inline constexpr int kFewestStuds = 3, kMostStuds = 12;

// The turns that so many studs allow, without none at all: five turn by 72, 144, 216 and 288
// degrees, never by half a turn. A problem for fewer than 3 or more than 12.
Result<std::vector<double>> stud_turns(int studs);
// The turn of that list, or none at all, that is meant by `turn`, up to 1.5 degrees rounded.
Result<double> stud_turn(int studs, double turn);

// The place on the studs where wheel and hub read least together.
struct StudPlace {
  double turn = 0.0;
  Interval amount;
};
Result<StudPlace> best_stud_place(const TurnedParts& parts, int studs);

}  // namespace perrev
