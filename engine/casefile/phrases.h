// What a customer's own words may mean: facts to be confirmed by a person, never entered by
// themselves.
//
// By rules/phrases.yaml: the words of a saying in their order, with small words and at most one
// other word between two of them; never across the end of a sentence. Of sayings that share words
// the longest counts. Words that are negated ("not in the seat") speak for the opposite where there
// is one, else for nothing; a fact with a stop is never cleared that way unless the file says so.
// Any bytes may come in. Time grows with the length of the text.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "engine/knowledge/rule_base.h"

namespace perrev {

struct Span {
  std::size_t begin = 0, end = 0;  // bytes of the text; never inside a character of valid UTF-8
};

// One proposal; at most one for each fact. Phrases speak of facts per case, so there is no place.
struct Heard {
  int fact = -1;
  std::vector<std::string> values;  // as read_value takes them; several only for such a fact
  std::vector<Span> spans;          // from the first to the last word of each phrase; never empty
};

// In the order of their first words. A speed without a unit is in the usual unit of `units`.
std::vector<Heard> hear(const RuleBase& base, std::string_view text, Units units);

}  // namespace perrev
