// What holds of a case, whatever its bytes are: the law of the fuzz target.
//
// An input is the JSON of a case. It is read by the rule base that the project ships.
#pragma once

#include <string>
#include <string_view>

namespace perrev::fuzz {

// What breaks the law; empty where nothing does. A case or problems come, each well told at a place
// in the text or with a pointer into the case. What is read reads the same when it is written
// again, also with an entry more. It adds up to facts, or to problems at entries of the case; facts
// to a ranking that sums to one and is the same to the bit whatever the order of the entries.
std::string broken_case_law(std::string_view text);

// Whether it can be ranked.
bool case_comes_through(std::string_view text);

}  // namespace perrev::fuzz
