#include <algorithm>

#include "engine/bench/explain_case.h"
#include "engine/quantity/text.h"
#include "src/answers/explain_parts.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

const Rule& rule_at(const RuleBase& base, int rule) {
  return base.rules[static_cast<std::size_t>(rule)];
}

std::string said(Truth truth) {
  switch (truth) {
    case Truth::yes:
      return "It spoke: its condition holds.";
    case Truth::no:
      return "It did not speak: its condition does not hold, which counts the other way.";
    case Truth::unknown:
      break;
  }
  return "It is undecided: not all that it asks is known.";
}

std::string weight_text(const RuleBase& base, const GroupWeight& weight) {
  std::string text = with_id(base, weight.cause);
  if (!weight.counts) {
    return wrapped(
        "-  " + text +
            (weight.cause == base.nothing_left() ? ": no repair was done"
                                                 : ": was repaired before, counts no more"),
        10, 13);
  }
  if (!weight.rules.empty()) {
    std::vector<std::string> ids;
    for (const int rule : weight.rules) ids.push_back(rule_at(base, rule).id);
    text += ", together with " + joined(ids);
  }
  const std::string number = decibans(weight.decibans);
  return wrapped(number + "  " + text, number.size() < 11 ? 11 - number.size() : 0, 13);
}

std::string in_case_text(const Explainer& with, int rule) {
  const RuleBase& base = with.base();
  const CaseFacts& facts = with.open->facts;
  const RuleInCase told = rule_in_case(with.reasoner, facts, rule);
  std::string out = case_heading(*with.open);
  for (std::size_t round = 0; round < told.rounds.size(); ++round) {
    const RuleInRound& of = told.rounds[round];
    out += round_heading(base, facts, round) + item(said(of.truth)) +
           condition_text(base, rule_at(base, rule).when, with.units, of.parts, told.places) +
           item("What its group came to, in decibans:");
    for (const GroupWeight& weight : of.weights) out += weight_text(base, weight);
  }
  return out;
}

Json in_case_json(const Explainer& with, int rule) {
  const RuleBase& base = with.base();
  const RuleInCase told = rule_in_case(with.reasoner, with.open->facts, rule);
  const std::vector<ConditionPart> parts = parts_of(base, rule_at(base, rule).when, with.units);
  Json rounds = Json::array();
  for (std::size_t round = 0; round < told.rounds.size(); ++round) {
    const RuleInRound& of = told.rounds[round];
    Json read = Json::array(), weights = Json::array();
    for (std::size_t p = 0; p < parts.size(); ++p) {
      Json truths = Json::array();
      for (const Truth truth : of.parts[p]) truths.push_back(name_of(truth));
      Json made = part_json(base, parts[p]);
      made["truth"] = truths;
      read.push_back(std::move(made));
    }
    for (const GroupWeight& weight : of.weights) {
      Json others = Json::array();
      for (const int other : weight.rules) others.push_back(rule_at(base, other).id);
      weights.push_back({{"cause", cause_id(base, weight.cause)},
                         {"counts", weight.counts},
                         {"group_decibans", six_digits(weight.decibans)},
                         {"with_rules", others}});
    }
    rounds.push_back(
        {{"round", round}, {"truth", name_of(of.truth)}, {"parts", read}, {"weights", weights}});
  }
  return {{"places", told.places}, {"rounds", rounds}};
}

}  // namespace

std::string rule_text(const Explainer& with, int rule) {
  const RuleBase& base = with.base();
  const Rule& of = rule_at(base, rule);
  std::string out = title("Rule", {}, of.id, of.place) + heading("When") +
                    condition_text(base, of.when, with.units) + heading("It speaks, in decibans");
  for (const Rule::Effect& effect : of.effects) {
    const std::string number = decibans(decibans_of(effect.log_ratio));
    out += wrapped(number + "  " + strength_of(effect) + ": " + with_id(base, effect.cause),
                   number.size() < 11 ? 11 - number.size() : 0, 13);
  }
  out += heading("Because") + item(of.because) + item("Origin: " + of.origin);
  const std::vector<RuleBeside> beside = rules_beside(base, rule);
  if (!beside.empty())
    out += heading("Weighed in one group with, since they share facts about a cause");
  for (const RuleBeside& other : beside) {
    std::vector<std::string> ids;
    for (const int cause : other.causes) ids.push_back(cause_id(base, cause));
    out += item(rule_at(base, other.rule).id + ", about " + joined(ids));
  }
  if (with.open) out += in_case_text(with, rule);
  return out + strengths_text(base);
}

Json rule_json(const Explainer& with, int rule) {
  const RuleBase& base = with.base();
  const Rule& of = rule_at(base, rule);
  Json effects = Json::array(), beside = Json::array();
  for (const Rule::Effect& effect : of.effects) {
    Json made = {{"cause", cause_id(base, effect.cause)}, {"name", cause_name(base, effect.cause)}};
    made.update(effect_json(effect));
    effects.push_back(std::move(made));
  }
  for (const RuleBeside& other : rules_beside(base, rule)) {
    Json causes = Json::array();
    for (const int cause : other.causes) causes.push_back(cause_id(base, cause));
    beside.push_back({{"rule", rule_at(base, other.rule).id}, {"causes", causes}});
  }
  Json out = {{"place", place_json(of.place)},
              {"when", condition_json(base, of.when, with.units)},
              {"effects", effects},
              {"because", of.because},
              {"origin", of.origin},
              {"same_group", beside},
              {"strengths", strengths_json(base)}};
  if (with.open) out["in_case"] = in_case_json(with, rule);
  return out;
}

}  // namespace perrev
