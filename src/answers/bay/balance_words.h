// What the balancing tools have in common: readings of a balancer, limits, words, arrows.
#pragma once

#include <string>
#include <vector>

#include "engine/picture/dial.h"
#include "engine/shopmath/two_planes.h"
#include "src/answers/bay/bay_tool.h"

namespace perrev {

// A balancer shows where weight goes, or where the wheel is heavy.
BayField shows_field();
// The heavy place of a reading that is shown as the choice of `shows_field` says.
Vector heavy_place(const BayInput& input, double mass, double angle);

// What may be left, as masses at the rim flange; for a car where the vehicle is not known.
struct BalanceMasses {
  double static_mass = 0.0, couple_mass = 0.0;
  bool of_a_car = false;  // assumed
};
BalanceMasses balance_masses(const BayContext& context);

// A place in the table of numbers; a hair below a whole turn is none.
BayNumber place_number(const std::string& id, double angle);

// "35 g at 312 deg (10:30 o'clock)".
std::string mass_at(double mass, double angle, Units units);

// An arrow of a known mass, kg, in the unit of the words.
DialArrow mass_arrow(const std::string& name, Vector mass, Units units);
std::string mass_dial(const std::string& title, const std::string& mark,
                      const std::vector<DialArrow>& arrows, Units units);

}  // namespace perrev
