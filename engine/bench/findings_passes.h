// The inside of findings.h: one function looks for one kind of weakness. Not for use outside.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/explain_touches.h"
#include "engine/bench/finding.h"
#include "engine/bench/written.h"

namespace perrev {

using Findings = std::vector<Finding>;

void find_unused(const Written& written, Findings& out);           // findings_unused.cpp
void find_bare_causes(const Written& written, Findings& out);      // findings_causes.cpp
void find_idle_conditions(const Written& written, Findings& out);  // findings_conditions.cpp
void find_hidden_entries(const Written& written, Findings& out);   // findings_hidden.cpp
void find_counted_twice(const Written& written, Findings& out);    // findings_twice.cpp
void find_loose_ranges(const Written& written, Findings& out);     // findings_ranges.cpp
void find_not_told_apart(const Written& written, Findings& out);   // findings_apart.cpp

inline std::size_t at(int index) { return static_cast<std::size_t>(index); }

// "'a', 'b' and 3 more"
std::string named(const std::vector<std::string>& ids);

}  // namespace perrev
