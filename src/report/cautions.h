// Of the cautions in the rule base, those that concern the customer: tightening again, not driving,
// driving only so fast.
#pragma once

#include <string>
#include <vector>

#include "src/report/findings.h"
#include "src/report/report.h"

namespace perrev {

// One sentence each, none twice.
std::vector<std::string> customer_cautions(const ReportedCase& of,
                                           const std::vector<FaultFound>& findings);

// Split after full stops that end a sentence.
std::vector<std::string> sentences(const std::string& text);

}  // namespace perrev
