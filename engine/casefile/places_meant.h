// Which places of a fact the word of an entry means.
#pragma once

#include <string>
#include <vector>

#include "engine/knowledge/rule_base.h"

namespace perrev {

// Places that an entry about the fact means by `word`, as indices ("all", "front_axle" and no word
// about a text mean several); -1 for a fact per case; empty where the word is no place of it.
std::vector<int> places_meant(const Fact& fact, const std::string& word);

}  // namespace perrev
