// The table of units: which names a unit goes by, for which dimension, and its size in SI.
//
// One name may stand for two units ("lb" is a mass and a force): a look-up always says which
// dimension is due. Names of one letter are matched exactly, longer ones in any case ("MPH",
// "kpa"). Sizes: exact by definition (international yard and pound, standard gravity), BIPM SI
// brochure.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/quantity/quantity.h"

namespace perrev {

struct Unit {
  Dimension dimension;
  std::string_view name;  // empty: a bare number
  double size;            // in SI
  bool listed;            // named in messages; the others are spellings of it
};

// Blanks, "-", "*" and raised dots inside a unit count as one blank: "oz-in" is "oz in".
const Unit* find_unit(std::string_view text, Dimension due);

// A dimension of which the text is a unit, if any: for "mm is a length, not a speed".
std::optional<Dimension> dimension_of_unit(std::string_view text);

// "mph, km/h, m/s"
std::string listed_units(Dimension dimension);
std::vector<std::string> unit_names(Dimension dimension);

// "a speed", "an angle", "a temperature difference"
std::string with_article(Dimension dimension);

}  // namespace perrev
