// A brake rotor by micrometer and dial: how its thickness varies, how it runs out, and which way
// round it sits best on its hub.
//
// Lengths in m, angles in rad from one mark. Thickness variation and totals are highest less lowest
// (total indicated), vectors of runout are amplitudes. Minimum thickness is what is stamped on the
// rotor. Source: common practice; vectors as in runout_turned.h.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/turn_fit.h"

namespace perrev {

struct RotorThicknessReadings {
  std::vector<double> readings;
  std::vector<double> angles = {};
  Gauge gauge = {};
  std::optional<double> minimum = {};  // as stamped
};

enum class RotorWear { above_minimum, at_minimum, below_minimum };

struct RotorThickness {
  TurnFit fit;         // harmonics: the first is felt once a turn, the second twice
  Interval variation;  // highest less lowest
  Interval thinnest;
  std::optional<RotorWear> wear;  // at_minimum: scatter leaves it open
};

Result<RotorThickness> rotor_thickness(const RotorThicknessReadings& of);

struct RotorOnHub {
  VectorEstimate on_hub;  // rotor fastened to its hub, dial near the rotor's edge
  VectorEstimate hub;     // the bare hub face
  double radius_on_hub = 0.0, radius_hub = 0.0;  // m, at which the dial stood
  int studs = 5;                                 // evenly spaced
};

struct RotorPlace {
  double turn = 0.0;    // rad, towards where the dial's numbers grow
  VectorEstimate left;  // what runs out there
};

struct RotorIndex {
  VectorEstimate own;              // the rotor's, as it sits now
  VectorEstimate hub;              // the hub's, seen where the rotor's was read
  std::vector<RotorPlace> places;  // one for each stud; the first is as it sits now
  std::size_t best = 0;
  Interval gained;  // amount now less amount at the best place
};

// The face of a hub wobbles: what it does to the rotor grows with the radius.
Result<RotorIndex> index_rotor(const RotorOnHub& of);

}  // namespace perrev
