// Random cases for a random base: several sources, ties of moments, unsure, retractions, repairs.
#pragma once

#include <string>
#include <vector>

#include "engine/casefile/casefile.h"
#include "engine/knowledge/rule_base.h"
#include "tests/engine/reasoning/lcg.h"

namespace perrev::testing {

struct CaseShape {
  int entries = 12;
  double unsure = 0.12;
  double retractions = 0.10;
  double repairs = 0.08;
};

CaseFile random_case(const RuleBase& base, Lcg& random, const CaseShape& shape = {});

// An answer of any fact, from any source, at any minute of the hour.
Entry random_answer(const RuleBase& base, Lcg& random, double unsure);

// What to enter so that the variables of `fact` read as `answers`; any class of a limit reads it
// the same.
std::vector<std::string> values_for(const RuleBase& base, int fact,
                                    const std::vector<int>& answers);

// An entry that gives `answers` to `fact` at `place` (empty: per case). `id` empty: the next free
// one.
Entry answer_entry(const RuleBase& base, int fact, const std::string& place,
                   const std::vector<int>& answers, Asker by, const std::string& at);

// The same entries in another order.
CaseFile shuffled(const CaseFile& file, Lcg& random);

// "2026-05-04T09:MM:00Z"
std::string minute(int minutes);
inline const char* const kAfterAll = "2026-05-04T12:00:00Z";

}  // namespace perrev::testing
