// What a fault feels like in sentences for a technician, and as a picture.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/picture/plot.h"
#include "src/answers/feel_answer.h"

namespace perrev {

// Where it is felt, from which speed, worst at which, by how many; and how large it must be.
std::vector<std::string> feel_sentences(const FeelQuestion& asked, const FeelAnswer& answer,
                                        Units units);

// "1 oz of imbalance at the rim, front"
std::string feel_title(const FeelFault& fault, Units units);

// Places at which anything arrives, those where it is most felt first.
std::vector<FeltPlace> felt_places(const FeelAnswer& answer);
// "steering wheel"
std::string words_of(FeltPlace place);

// How many would feel it at each place over speed; marks at speeds in m/s, in their order.
struct FeelMark {
  double speed = 0.0;
  std::string label;
};
Plot feel_plot(const FeelQuestion& asked, const FeelAnswer& answer,
               const std::vector<FeelMark>& marks, Units units);

}  // namespace perrev
