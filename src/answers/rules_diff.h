// Two rule bases compared: as JSON with stable keys, and in words for people.
#pragma once

#include <cstdint>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "engine/bench/case_change.h"
#include "engine/bench/rule_changes.h"
#include "engine/planning/trial_report.h"

namespace perrev {

struct ComparedBase {
  std::string name;    // as it was asked for
  std::string commit;  // empty: a folder
  std::string digest;
};

struct RulesDiff {
  ComparedBase before, after;
  std::vector<RuleChange> rules;
  std::size_t cases = 0;              // compared
  std::size_t hardly = 0;             // not told: nothing but probabilities moved, by little
  std::vector<CaseChange> otherwise;  // worst first

  // Simulated complaints: drawn from the one and from the other. None: switched off, or nothing
  // changed that they could show.
  std::uint64_t seed = 0;
  std::optional<PairedReport> drawn_from_before, drawn_from_after;

  bool breaks() const;  // a case that held holds no more
};

// A case of which nothing but probabilities moved, by less than this, is only counted.
inline constexpr double kHardly = 0.005;
// Sorts the cases into those that are told and those that are counted; `all` tells what hardly
// moved, too.
void take_cases(std::vector<CaseChange> compared, bool all, RulesDiff& diff);

nlohmann::ordered_json to_json(const RulesDiff& diff);
std::string to_text(const RulesDiff& diff);  // 80 columns

// How the numbers of simulated complaints are to be read.
extern const char* const kHowToRead;

// The same words on the page and in the terminal.
std::string words_of(const FieldChange& change);
std::string perhaps_words(const RuleChange& change);  // "perhaps renamed from ..."
std::string verdict_of(const PairedMean& mean);       // "same", "within noise", or nothing
std::string counted(const std::vector<RuleChange>& changes);
std::string counted_cases(const RulesDiff& diff);
// What comes otherwise in a case besides probability and rank, a line each.
std::vector<std::string> lines_of(const CaseChange& change);

}  // namespace perrev
