// Match mounting: the tire turned on its rim so that its stiff, high place meets the rim's low one.
//
//     assembly = T + k W    peak to peak vectors of the first harmonic, N
//
// T is the tire's own radial force, or its own runout times its stiffness k; W the rim's radial
// runout (m, total). The best turn leaves ||T| - k|W||, the worst makes |T| + k|W|. Where neither
// was read alone, two mountings of the tire on the rim tell them apart (engine/shopmath/turned.h),
// counted from the valve or from a chalk line on the tire; what "stays" is then all that the tire
// does not take along: rim, adapter and hub.
//
// Seating a tire again changes the first harmonic by 25 to 30 N at random on commercial wheels, 10
// N on precision ones: D. J. Schuring, Uniformity of Tire-Wheel Assemblies, Tire Science and
// Technology 19 (1991) 213. No match can be trusted below that.
#pragma once

#include <optional>

#include "engine/shopmath/scatter.h"
#include "engine/shopmath/turned.h"

namespace perrev {

// Radial stiffness of a tire, N/m, with its 95 % interval. Car tires: from memory.
inline constexpr Interval kCarTireStiffness{200e3, 150e3, 280e3};
inline constexpr double kMountingInteraction = 30.0;           // N, commercial wheel
inline constexpr double kPrecisionMountingInteraction = 10.0;  // N, precision wheel

// What the parts were read as. Stays: the rim; turns: the tire.
enum class MatchRead { forces, rim_runout, both_runout };

struct MatchTerms {
  MatchRead read = MatchRead::forces;
  Interval stiffness = kCarTireStiffness;  // counts for nothing where forces were read
  double limit = 0.0;                      // of the assembly, N peak to peak
  double interaction = kMountingInteraction;
  double mounted_at = 0.0;  // the tire's turn now, counted as the turns of the readings were
  // The assembly as it was read now, N; none: what the parts come to.
  std::optional<Interval> read_now = std::nullopt;
};

// Both in newtons, with the uncertainty of the stiffness, which both share if both were runout.
TurnedParts as_force(const TurnedParts& read, const MatchTerms& terms);

// Of each component of one mounting, N, for split_turned: the interaction has any direction, and
// `reading` is the standard deviation of the reading itself.
Scatter mounting_scatter(double interaction, double reading);

enum class MatchWorth {
  not_needed,   // within the limit as it is
  falls_short,  // even the best match is beyond the limit
  drowned,      // gains no more than seating the tire again may take away
  may_help,     // the best match is within the limit, unless the seating spoils it
  will_help,    // within the limit whatever the seating does
};

struct Match {
  Interval now, best, worst;  // N peak to peak
  double turn = 0.0;          // rad, -pi up to pi: the tire from where it is, to where numbers grow
  double turn_half_width = 0.0;
  double gain = 0.0;      // now less best
  Interval afterwards;    // best, with the interaction of a new seating on top: most likely, range
  Interval by_stiffness;  // the best that is left at the ends of the stiffness, and between
  MatchWorth worth = MatchWorth::not_needed;
};

Match match_mount(const TurnedParts& read, const MatchTerms& terms);

}  // namespace perrev
