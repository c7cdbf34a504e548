// Results of reference cases as JUnit XML, the form that most build servers read: one `testsuite`,
// a `testcase` each, with `failure`, `error` (could not be read) or `skipped` (a known gap) in it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/bench/judge.h"

namespace perrev {

std::string junit_xml(const std::vector<TestedCase>& cases);

// Text as the value of an attribute or as content. What may not stand in XML 1.0 (its production
// [2] Char) and what is no UTF-8 becomes U+FFFD.
std::string escaped_xml(std::string_view text);

}  // namespace perrev
