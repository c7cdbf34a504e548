// The reference case that goes with a new thing: which one, and where it is written.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/bench/new_case.h"
#include "src/would_be.h"

namespace perrev {

// The cause that a case about the new thing is about: the thing itself, or the first that it
// speaks for or shows; -1 where there is none.
int cause_of_case(const NewThing& thing, const RuleBase& base);

// `said` are answers that a vehicle with the cause gave (--seen); where there are none, those that
// the rule base asks for. No answers where it knows of none either.
Result<std::vector<SeenAnswer>> answers_of_case(const NewThing& thing,
                                                const std::vector<std::string>& said,
                                                const RuleBase& base);

// Beside the rule base, by the name of the cause.
std::string usual_case_path(const std::string& rules, const std::string& cause);

}  // namespace perrev
