// What the entries of a case add up to, read against the rule base.
//
// The value of a fact, per place and round, is the unretracted entry of the highest source (bay
// over road over write-up), then of the latest moment, then of the largest id. A known value is
// never displaced by an `unsure`. Of a stop fact the worst answer of any source stands; the stop is
// lifted while the bay's last word on the fact named in cleared_by is clear and not older than it.
// A repair that was done opens a round; symptoms belong to their round, facts that last with the
// vehicle to all. The order of entries in the file means nothing.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "engine/casefile/casefile.h"
#include "engine/knowledge/rule_base.h"
#include "engine/result.h"

namespace perrev {

// One answer as it counts.
struct Reading {
  std::size_t entry = 0;  // index into CaseFile::entries()
  int fact = -1;
  int place = -1;            // index into places_of(); -1 for a fact per case
  std::vector<int> answers;  // one for each variable of the fact; -1 where it says nothing
  bool unsure = false;  // asked, nobody can tell (a reading between the edges of a limit is known)
  std::vector<double> numbers;              // number: SI, as read
  double number = 0.0;                      // number: their median, SI
  std::string text;                         // as entered, for people
  std::map<std::string, std::string> with;  // what was held while it was read
  Asker by = Asker::write_up;
};

// A table of answers by slot (Variable::first_slot + place); -1 is unknown.
using Answers = std::vector<int>;

// A cause that a check showed in a round.
struct Shown {
  int cause = -1, check = -1;
};

struct RoundFacts {
  std::vector<Reading>
      readings;     // in force, sorted by fact and place; those of the vehicle included
  Answers answers;  // the same as a table
  std::vector<int>
      opened_by;  // repairs (index into RuleBase::repairs), in order; empty for the first
  std::vector<int> not_possible;  // checks, sorted
  std::vector<Shown> shown;       // in the order of the checks

  // Null when the fact has no reading in force there.
  const Reading* find(int fact, int place = -1) const;
  // Asked in this round, or known of the vehicle; unsure counts.
  bool asked(int fact) const;
};

// A stop in force, or one that was lifted.
struct StopState {
  int fact = -1;
  std::size_t entry = 0;  // the entry that stops
  bool lifted = false;
};

struct CaseFacts {
  std::vector<RoundFacts> rounds;  // at least one; the last is now
  Answers vehicle;                 // only the facts that last with the vehicle
  std::vector<StopState> stops;    // sorted by fact
  std::vector<int> closed;         // causes of the latest closing in force, sorted
  std::vector<int> verdicts;       // causes shown by a check and not repaired since, sorted
  // By entry of the file: the round it belongs to (a repair that was done: the one it opens); -1
  // where it was taken back.
  std::vector<int> round_of;

  const RoundFacts& now() const { return rounds.back(); }
  bool stopped() const;
};

// All that is wrong in the entries is told, each with its place; so is what was held with a reading
// (`by`, `speed`, `rpm`, `sd`). A case of more than 200 rounds is refused: each holds a table of
// answers.
Result<CaseFacts, Problems> facts_of(const CaseFile& file, const RuleBase& base);
// The same of entries alone; `shown` names their file in problems.
Result<CaseFacts, Problems> facts_of(const std::vector<Entry>& entries, const std::string& shown,
                                     const RuleBase& base);

// One value read against one fact: what the interview and the loader of cases share. `values` as in
// Entry.
Result<Reading> read_value(const RuleBase& base, int fact, const std::vector<std::string>& values,
                           const Answers& class_answers);

// The rows of a limit that apply: one; all of them while the answer that picks it is not known.
std::vector<const LimitClass*> limit_rows(const RuleBase& base, const Limit& limit,
                                          const Answers& class_answers);

// Places that an entry about the fact means by `word`, as indices ("all", "front_axle" and no word
// about a text mean several); -1 for a fact per case; empty where the word is no place of it.
std::vector<int> places_meant(const Fact& fact, const std::string& word);

// The truth of a condition at one place; facts per case are read as they are.
Truth truth_at(const RuleBase& base, const Condition& condition, const Answers& answers, int place);
// True where it holds at some place, false where it holds at none, else unknown.
Truth truth_somewhere(const RuleBase& base, const Condition& condition, const Answers& answers);

}  // namespace perrev
