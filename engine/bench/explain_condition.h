// A condition part by part: in the words of its questions and answers, and how each part reads on
// the answers of a case (three-valued: yes, no, unknown).
#pragma once

#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"

namespace perrev {

struct ConditionPart {
  int depth = 0;
  const Condition* condition = nullptr;  // a part of the one that was asked about
  std::string words;                     // "Where do you feel it? In the seat"; "all of these:"
  std::string ids;                       // "felt_at: seat"; empty where parts follow
  int fact = -1;                         // that it reads; -1 where parts follow
};

// In reading order, each before its own parts. `condition` must outlive what is returned.
std::vector<ConditionPart> parts_of(const RuleBase& base, const Condition& condition, Units units);
// The same on one line: "Where do you feel it? In the seat; and ...".
std::string in_words(const RuleBase& base, const Condition& condition, Units units);

// Where a condition is read: the places of its facts; one empty name where they have none.
std::vector<std::string> places_read(const RuleBase& base, const Condition& condition);
// How a part reads at each of `places` (of the whole condition).
std::vector<Truth> truths_of(const RuleBase& base, const Condition& part, const Answers& answers,
                             const std::vector<std::string>& places);
std::string name_of(Truth truth);

}  // namespace perrev
