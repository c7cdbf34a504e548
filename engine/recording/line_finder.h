// Lines that stand out of their surroundings by more than chance allows, over all domains together.
//
// The chance is shared out among all lines that are judged, in all series and domains (Bonferroni).
// The strongest come first; one that is near a stronger is the same, or what the window spreads of
// it. A part that turns with the road leaves a smear in time when the speed changes, and the other
// way round: where a stronger line of another domain passed, a line is judged by the other segments
// alone. At constant speed nothing tells domains apart, and a line is found in each.
#pragma once

#include <vector>

#include "engine/recording/evidence.h"

namespace perrev {

struct SearchedDomain {
  EvidenceTerms terms;
  const SegmentStore* store = nullptr;
  Spectrum spectrum;
};

// By domain, then strongest over the floor first.
//
// `at` is the top of a parabola through the logarithms of three lines (off by at most 0.016 of a
// step for a pure tone); `sd` by the Cramer-Rao bound for a tone of that strength in segments whose
// phases are unknown, times what was measured (line_finder.cpp). `amplitude` is the power within
// two lines to each side, less the floor there.
std::vector<FoundLine> find_lines(const std::vector<SearchedDomain>& domains, double false_alarm);

}  // namespace perrev
