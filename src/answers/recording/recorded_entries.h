// What a recording puts into a case: the frequencies that stand out, with the speed they were read
// at, and the speed at which it shakes most.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "src/answers/recording/recorded.h"

namespace perrev {

struct RecordedEntry {
  std::string fact;
  std::vector<std::string> values;  // empty: unsure, it was recorded and nothing stood out
  std::map<std::string, std::string> with;
};

// Whether the case says just that already.
bool says_already(const RuleBase& base, const CaseFacts& facts, const RecordedEntry& entry);
// "measured frequency: 14.12 Hz (by gps, sd 0.05 Hz, speed 124.2 km/h)"; "unsure" where nothing
// stood out.
std::string entry_text(const RecordedEntry& entry);

// `measured_frequency`: up to three, those felt most, at the speed where the first is strongest.
// `worst_speed`: where none is known yet, the drive went through a range of speeds and the first is
// strongest within it, not at its ends. Facts that the rule base does not have are left out.
std::vector<RecordedEntry> recorded_entries(const RuleBase& base, const CaseFacts& facts,
                                            const Recorded& recorded, const RecordedLines& lines);

}  // namespace perrev
