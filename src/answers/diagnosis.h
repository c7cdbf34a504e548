// A case diagnosed: everything `diagnose` and `interview` say about it.
#pragma once

#include <limits>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/planning/plan.h"
#include "engine/reasoning/next.h"
#include "engine/reasoning/reasons.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

struct Diagnosis {
  Ranking ranking;
  Offers offers;
  NextSteps told;  // what checks and questions would tell
  Plan plan;
  std::vector<Conflict> conflicts;  // speeds of rotating parts that cannot all be true
};

Diagnosis diagnose(const Planner& planner, const CaseFile& file, const CaseFacts& facts);

// A step of a plan in words.
std::string words_of(const RuleBase& base, const PlannedStep& step);
std::string minutes_words(double minutes);
// What is confirmed and not repaired yet: the repair, its proof and its caution.
std::string repairs_text(const RuleBase& base, const CaseFacts& facts, const Ranking& ranking);
// Which second fault stays open after a repair; empty when there is none worth telling.
std::string still_open_words(const RuleBase& base, const Ranking& ranking, int repair);
nlohmann::ordered_json still_open_json(const RuleBase& base, const Ranking& ranking, int repair);

// Stable keys; probabilities 0..1, weights in decibans. Beyond the first `explained` causes of the
// ranking no reasons are given.
nlohmann::ordered_json to_json(const Reasoner& reasoner, const CaseFile& file,
                               const CaseFacts& facts, const Diagnosis& diagnosis,
                               std::size_t explained = std::numeric_limits<std::size_t>::max());
// One item of the ranking with all its reasons.
nlohmann::ordered_json ranked_json(const Reasoner& reasoner, const CaseFacts& facts,
                                   const Ranked& ranked, const Reasons& reasons);

// What stands ready with a set-up of this id, from nothing.
Result<Held> held_with(const Planner& planner, const std::string& setup);
nlohmann::ordered_json plan_json(const RuleBase& base, const CaseFile& file, const CaseFacts& facts,
                                 const Ranking& ranking, const Plan& plan);

// For people, 80 columns. `shown` causes are explained; 0 shows all there is.
std::string to_text(const Reasoner& reasoner, const CaseFile& file, const CaseFacts& facts,
                    const Diagnosis& diagnosis, std::size_t shown, Units units);

// Facts that the gate on the way to a drive still lacks and the write-up can ask.
std::vector<int> missing_for_drive(const RuleBase& base, const Offers& offers);

// The stops in force, with their cautions; empty when there are none.
std::string stops_text(const RuleBase& base, const CaseFacts& facts);

}  // namespace perrev
