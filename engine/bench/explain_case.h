// Why things read as they do in one case: a rule, and a fact's value.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/explain_condition.h"
#include "engine/reasoning/reasons.h"

namespace perrev {

// What the group of a rule came to for one cause in one round.
struct GroupWeight {
  int cause = -1;          // of the effect; may be RuleBase::nothing_left()
  bool counts = true;      // false: the cause was repaired before; nothing_left: nothing was
  double decibans = 0.0;   // of the whole group; 0 where nothing in it is known
  std::vector<int> rules;  // the other rules of the group that were true
};

struct RuleInRound {
  Truth truth = Truth::unknown;
  std::vector<std::vector<Truth>> parts;  // by part of the condition (parts_of) and place
  std::vector<GroupWeight> weights;       // by effect of the rule
};

struct RuleInCase {
  std::vector<std::string> places;  // where it is read (places_read)
  std::vector<RuleInRound> rounds;
};
RuleInCase rule_in_case(const Reasoner& reasoner, const CaseFacts& facts, int rule);

// An entry about a fact at one place of it.
struct EntryStanding {
  enum class Why {
    counts,      // it is the value
    unsure,      // nobody could tell, and another entry could
    worst,       // another entry stops the vehicle: the worst answer stands
    source,      // another entry is of a higher source
    later,       // another entry of the same source is later
    larger_id,   // another entry of the same source and moment has the larger id
    taken_back,  // another entry retracts it
  };
  std::size_t entry = 0;  // of the case file
  int place = -1;         // index into places_of(); -1 for a fact per case
  int round = -1;         // 0 for what lasts with the vehicle; -1 where it was taken back
  Why why = Why::counts;
  std::size_t other = 0;  // the other entry that `why` speaks of
};
std::string words_of(EntryStanding::Why why);

// In the order of rounds, places and moments.
std::vector<EntryStanding> standings_of(const RuleBase& base, const CaseFile& file,
                                        const CaseFacts& facts, int fact);

}  // namespace perrev
