// What the explanations of rules, causes, facts and checks are made of.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "engine/bench/explain_condition.h"
#include "engine/bench/explain_touches.h"
#include "src/answers/explain.h"

namespace perrev {

using Json = nlohmann::ordered_json;

std::string rule_text(const Explainer& with, int rule);
Json rule_json(const Explainer& with, int rule);
std::string cause_text(const Explainer& with, int cause);
Json cause_json(const Explainer& with, int cause);
std::string fact_text(const Explainer& with, int fact);
Json fact_json(const Explainer& with, int fact);
std::string check_text(const Explainer& with, int check);
Json check_json(const Explainer& with, int check);

// "Cause: Wheel out of balance [wheel_imbalance]", and where it stands.
std::string title(const std::string& kind, const std::string& name, const std::string& id,
                  const Place& place);
// A blank line and the words.
std::string heading(const std::string& words);
// One item of a list under a heading.
std::string item(const std::string& text);
// "How: ..."; nothing where the text is empty.
std::string labelled(const std::string& label, const std::string& text);
// "Wheel out of balance [wheel_imbalance]".
std::string with_id(const std::string& name, const std::string& id);
std::string with_id(const RuleBase& base, int cause);
Json place_json(const Place& place);

// A condition as an indented list; with truths, each line begins with how it reads.
std::string condition_text(const RuleBase& base, const Condition& condition, Units units);
std::string condition_text(const RuleBase& base, const Condition& condition, Units units,
                           const std::vector<std::vector<Truth>>& truths,
                           const std::vector<std::string>& places);
Json condition_json(const RuleBase& base, const Condition& condition, Units units);
Json part_json(const RuleBase& base, const ConditionPart& part);

// "for, strong (odds times 8)"
std::string strength_of(const Rule::Effect& effect);
Json effect_json(const Rule::Effect& effect);
// The table of the words of strength.
std::string strengths_text(const RuleBase& base);
Json strengths_json(const RuleBase& base);

// An edge of the path: its condition in words; "always" where it has none.
std::string edge_words(const RuleBase& base, const PathEdge& edge, Units units);
std::string edge_text(const RuleBase& base, int edge, Units units);
Json edge_json(const RuleBase& base, int edge, Units units);
// A vertex of the path for people: what is done, asked or ended there, with its id.
std::string vertex_words(const RuleBase& base, int vertex);

// What is computed for a cause, and from what; the causes for which a fact is computed. No text
// where there is nothing.
std::string computed_text(const Explainer& with, int cause);
Json computed_json(const Explainer& with, int cause);
std::string computed_for_text(const RuleBase& base, int fact);
Json computed_for_json(const RuleBase& base, int fact);

// "In this case: LABEL".
std::string case_heading(const OpenCase& open);
std::string round_heading(const RuleBase& base, const CaseFacts& facts, std::size_t round);

}  // namespace perrev
