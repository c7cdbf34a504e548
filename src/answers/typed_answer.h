// What a person types at a question, read into the values of an entry.
#pragma once

#include <string>
#include <vector>

#include "engine/knowledge/rule_base.h"
#include "engine/result.h"

namespace perrev {

// By number ("2"), by word (an answer's id or the words shown, or their beginning where that is
// plain), as a quantity ("65" in the unit shown, or "105 km/h"), for several: a list with commas,
// or "none". The values are ready for read_value(); errors say what would be right.
Result<std::vector<std::string>> read_typed(const Fact& fact, const std::string& typed,
                                            Units units);

// The question with its answers, for a prompt of 80 columns.
std::string question_text(const Fact& fact, const std::string& place, Units units);

}  // namespace perrev
