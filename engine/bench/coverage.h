// What a set of reference cases exercises of a rule base.
//
//   rule      its condition is true at the end of some round of a case
//   answer    some round of a case has it among the readings in force: of `one` and `yesno` the
//             answer itself; of `several` each answer that was named; of a number the band between
//             thresholds, or good or bad; of `text` any text. `unsure` is no answer
//   check     offered: the program offers it at some moment of a case, that is after one of its
//             entries, in their order in time. learned: it is done at the end of some round
//   edge      at some moment its source is done and its condition true
//   cause     it is among the true causes of a case
//   fault     of physics: its cause is among the true causes of a case that answers, in some round,
//             a fact that is computed for it
#pragma once

#include <vector>

#include "engine/bench/expectation.h"

namespace perrev {

struct Exercised {
  explicit Exercised(const RuleBase& base);

  // One flag each, by index of the rule base; answers by fact and answer (answers_of).
  std::vector<char> rules, offered, learned, edges, causes, faults;
  std::vector<std::vector<char>> answers;

  void add(const Exercised& other);
};

Exercised exercised_by(const RuleBase& base, const CaseFile& file, const CaseFacts& facts,
                       const Expectation& expected);

// Ids of the answers of a fact; bands of a number in words.
std::vector<std::string> answers_of(const RuleBase& base, int fact, Units units = Units::us);

}  // namespace perrev
