// Two rule bases compared, as a page to read and to print; one file with whole_document().
#pragma once

#include "src/answers/rules_diff.h"
#include "src/report/report.h"

namespace perrev {

// `version` of the program.
Report rules_diff_page(const RulesDiff& diff, const std::string& version);

}  // namespace perrev
