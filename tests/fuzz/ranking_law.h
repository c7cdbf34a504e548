// What holds of every ranking, whatever it is a ranking of.
#pragma once

#include <string>

#include "engine/reasoning/ranking.h"

namespace perrev::fuzz {

// What breaks the law; empty where nothing does. Probabilities are such, finite, and sum to one.
std::string broken_ranking(const Ranking& ranking);

}  // namespace perrev::fuzz
