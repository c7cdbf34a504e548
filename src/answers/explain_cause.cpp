#include <algorithm>
#include <cmath>

#include "engine/bench/explain_likeness.h"
#include "engine/quantity/text.h"
#include "engine/reasoning/reasons.h"
#include "src/answers/explain_parts.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr std::size_t kRivalsShown = 5;

const Cause& cause_at(const RuleBase& base, int cause) {
  return base.causes[static_cast<std::size_t>(cause)];
}

std::string order_words(const Shake& shake) {
  std::string order;
  switch (shake.kind) {
    case Shake::Kind::number:
      order = show_number(shake.low_order);
      if (shake.high_order > shake.low_order) order += " to " + show_number(shake.high_order);
      return "order " + order;
    case Shake::Kind::firing:
      return "at every firing";
    case Shake::Kind::half_firing:
      break;
  }
  return "at every second firing";
}

std::string shake_words(const Shake& shake) {
  const std::string share = shake.share < 1.0 && shake.share > 0.0
                                ? ", in " + percent(shake.share) + " of its cases"
                                : "";
  return spaced(shake.source) + ", " + order_words(shake) + share;
}

std::string need_words(const RuleBase& base, const std::pair<int, AnswerSet>& need, Units units) {
  return in_words(base, Condition::test(need.first, need.second), units);
}

std::string answer_words(const RuleBase& base, int variable, int answer, Units units) {
  const Variable& v = base.variables[static_cast<std::size_t>(variable)];
  const Fact& fact = base.facts[static_cast<std::size_t>(v.fact)];
  if (v.answer >= 0 || fact.answers.empty()) return base.answer_name(variable, answer, units);
  return fact.answers[static_cast<std::size_t>(answer)].label;
}

std::string row_of(const std::string& head, const std::string& first, const std::string& second) {
  constexpr std::size_t kFirst = 64, kSecond = 76;
  const std::string cut = head.size() + 1 > kFirst - first.size() ? head + "\n" : head;
  std::string out = cut == head ? head : cut;
  const std::size_t begun = cut == head ? head.size() : 0;
  out.append(kFirst - first.size() - begun, ' ');
  out += first;
  out.append(kSecond - kFirst - second.size(), ' ');
  return out + second + "\n";
}

std::string answers_text(const Explainer& with, int cause) {
  const RuleBase& base = with.base();
  std::string out = heading(
      "How it makes people answer, and how they answer when the cause is not listed; of facts "
      "weighed together (*) with the others left open");
  out += row_of("", "with it", "not listed");
  for (const GivenAnswers& given : answers_given(with.reasoner.answers(), cause)) {
    const Variable& v = base.variables[static_cast<std::size_t>(given.variable)];
    const Fact& fact = base.facts[static_cast<std::size_t>(v.fact)];
    std::string question = fact.ask;
    if (v.answer >= 0) question += " " + fact.answers[static_cast<std::size_t>(v.answer)].label;
    out += wrapped(
        with_id(question, base.variable_name(given.variable)) + (given.alone ? "" : " *"), 4, 8);
    for (int answer = 0; answer < v.size(); ++answer) {
      const std::size_t i = static_cast<std::size_t>(answer);
      std::string head = wrapped(answer_words(base, given.variable, answer, with.units), 6, 8);
      head.pop_back();
      const std::size_t last = head.rfind('\n') + 1;  // 0 where it is one line
      out += head.substr(0, last) +
             row_of(head.substr(last), percent(given.probability[i]), percent(v.base[i]));
    }
  }
  return out;
}

Json answers_json(const Explainer& with, int cause) {
  const RuleBase& base = with.base();
  Json out = Json::array();
  for (const GivenAnswers& given : answers_given(with.reasoner.answers(), cause)) {
    const Variable& v = base.variables[static_cast<std::size_t>(given.variable)];
    Json rows = Json::array();
    for (int answer = 0; answer < v.size(); ++answer) {
      const std::size_t i = static_cast<std::size_t>(answer);
      rows.push_back({{"answer", base.answer_name(given.variable, answer, with.units)},
                      {"probability", six_digits(given.probability[i])},
                      {"not_listed", six_digits(v.base[i])}});
    }
    out.push_back({{"fact", base.variable_name(given.variable)},
                   {"group", given.group},
                   {"alone", given.alone},
                   {"answers", rows}});
  }
  return out;
}

std::string rules_text(const RuleBase& base, int cause) {
  std::string out;
  for (const bool in_favour : {true, false}) {
    std::string list;
    for (const SpokenRule& spoken : rules_on(base, cause)) {
      if ((spoken.effect.log_ratio >= 0.0) != in_favour) continue;
      const Rule& rule = base.rules[static_cast<std::size_t>(spoken.rule)];
      const std::string number = decibans(decibans_of(spoken.effect.log_ratio));
      list += wrapped(
          number + "  " + said_strength(spoken.effect) + ": " + with_id(rule.because, rule.id),
          number.size() < 11 ? 11 - number.size() : 0, 13);
    }
    if (!list.empty())
      out +=
          heading(in_favour ? "Rules for it, in decibans" : "Rules against it, in decibans") + list;
  }
  return out;
}

std::string rule_states(const RuleBase& base, const GroupTable& group, const Answers& answers) {
  std::string out;
  for (const GroupRule& rule : group.rules) {
    const Rule& of = base.rules[static_cast<std::size_t>(rule.rule)];
    out +=
        (out.empty() ? "" : ", ") + of.id + " " + name_of(truth_somewhere(base, of.when, answers));
  }
  return out;
}

std::string in_case_text(const Explainer& with, int cause) {
  const RuleBase& base = with.base();
  const CaseFacts& facts = with.open->facts;
  const Ranking ranking = rank(with.reasoner, facts);
  const Ranked& ranked = ranking.of(cause);
  const Reasons reasons = reasons_for(with.reasoner, facts, cause);
  std::string out = case_heading(*with.open);
  out += item("It is " + name_of(state_of(base, facts, ranked)) + ": " +
              percent(ranked.probability) + ", alone " + percent(ranked.alone) + ".");
  const auto line = [&](double weight, const std::string& text) {
    const std::string number = decibans(weight);
    out += wrapped(number + "  " + text, number.size() < 11 ? 11 - number.size() : 0, 13);
  };
  line(reasons.prior_decibans, "before anything was asked");
  double sum = reasons.prior_decibans;
  for (const Reason& reason : reasons.evidence) {
    const ReasonWords words = words_of(with.reasoner, facts, reasons, reason, with.units);
    sum += reason.weight_decibans;
    std::string text = words.because + " [";
    for (std::size_t i = 0; i < words.facts.size(); ++i)
      text += (i == 0 ? "" : "; ") + words.facts[i] + ": " + words.values[i];
    text += "]";
    if (facts.rounds.size() > 1) text += " Round " + std::to_string(reason.round + 1) + ".";
    line(reason.weight_decibans, text);
    const std::string states =
        reason.provider ? "computed: " + reason.provider->name()
                        : rule_states(base,
                                      with.reasoner.answers().groups(
                                          reason.cause)[static_cast<std::size_t>(reason.group)],
                                      facts.rounds[reason.round].answers);
    if (!states.empty()) out += wrapped((reason.provider ? "" : "rules: ") + states, 13, 15);
  }
  line(sum, "in all, against a cause that is not listed");
  return out;
}

Json in_case_json(const Explainer& with, int cause) {
  const RuleBase& base = with.base();
  const CaseFacts& facts = with.open->facts;
  const Ranking ranking = rank(with.reasoner, facts);
  const Ranked& ranked = ranking.of(cause);
  const Reasons reasons = reasons_for(with.reasoner, facts, cause);
  Json evidence = Json::array();
  for (const Reason& reason : reasons.evidence) {
    const ReasonWords words = words_of(with.reasoner, facts, reasons, reason, with.units);
    Json rules = Json::array();
    if (!reason.provider)
      for (const GroupRule& rule : with.reasoner.answers()
                                       .groups(reason.cause)[static_cast<std::size_t>(reason.group)]
                                       .rules) {
        const Rule& of = base.rules[static_cast<std::size_t>(rule.rule)];
        rules.push_back({{"rule", of.id},
                         {"truth", name_of(truth_somewhere(base, of.when,
                                                           facts.rounds[reason.round].answers))}});
      }
    evidence.push_back({{"round", reason.round},
                        {"facts", words.facts},
                        {"values", words.values},
                        {"rules", rules},
                        {"provider", reason.provider ? Json(reason.provider->name()) : Json()},
                        {"weight_decibans", six_digits(reason.weight_decibans)},
                        {"because", words.because}});
  }
  return {{"state", name_of(state_of(base, facts, ranked))},
          {"probability", six_digits(ranked.probability)},
          {"alone", six_digits(ranked.alone)},
          {"prior_decibans", six_digits(reasons.prior_decibans)},
          {"evidence", evidence}};
}

std::string rivals_text(const Explainer& with, int cause) {
  std::string out = heading(
      "Hardest to tell from it: of a hundred vehicles, half of them with each, at most so many "
      "taken for the other when everything is answered");
  const std::vector<Rival> rivals = rivals_of(with.reasoner.answers(), cause);
  for (std::size_t i = 0; i < rivals.size() && i < kRivalsShown; ++i)
    out +=
        item(fixed(100.0 * rivals[i].mistaken, 1) + "  " + with_id(with.base(), rivals[i].cause));
  return out;
}

}  // namespace

std::string cause_text(const Explainer& with, int cause) {
  const RuleBase& base = with.base();
  const Cause& of = cause_at(base, cause);
  std::string out = title("Cause", of.name, of.id, of.place) +
                    labelled("Family", base.families[static_cast<std::size_t>(of.family)].name) +
                    item("Usual: " + show_number(of.usual) + " in a thousand complaints; " +
                         fixed(100.0 * std::exp(with.reasoner.log_prior(cause)), 2) +
                         " % before anything is asked");
  for (const Shake& shake : of.shakes) out += item("Shakes: " + shake_words(shake));
  for (const auto& need : of.needs) out += item("Needs: " + need_words(base, need, with.units));
  if (of.repair >= 0) {
    const Repair& repair = base.repairs[static_cast<std::size_t>(of.repair)];
    out += item("Repair: " + with_id(repair.what, repair.id) + ", " + show_number(repair.minutes) +
                " minutes") +
           labelled("Proof", of.proof) + labelled("Caution", repair.caution);
  }
  out += labelled("Caution", of.caution);
  std::vector<std::string> never;
  for (const int other : of.not_with) never.push_back(with_id(base, other));
  out += labelled("Never paired with", joined(never, "; "));
  const std::vector<int> checks = checks_confirming(base, cause);
  out += heading("Checks that can show it");
  if (checks.empty()) out += item("None: the repair and its proof decide.");
  for (const int c : checks) {
    const Check& check = base.checks[static_cast<std::size_t>(c)];
    for (const auto& verdict : check.confirms)
      if (verdict.first == cause)
        out +=
            item(with_id(check.what, check.id) + ": " + in_words(base, verdict.second, with.units));
  }
  if (with.open) out += in_case_text(with, cause);
  return out + computed_text(with, cause) + rules_text(base, cause) + strengths_text(base) +
         rivals_text(with, cause) + answers_text(with, cause);
}

Json cause_json(const Explainer& with, int cause) {
  const RuleBase& base = with.base();
  const Cause& of = cause_at(base, cause);
  Json shakes = Json::array(), needs = Json::array(), never = Json::array(), checks = Json::array(),
       rules = Json::array(), rivals = Json::array();
  for (const Shake& shake : of.shakes)
    shakes.push_back({{"source", shake.source},
                      {"order", order_words(shake)},
                      {"share", six_digits(shake.share)}});
  for (const auto& need : of.needs) needs.push_back(need_words(base, need, with.units));
  for (const int other : of.not_with) never.push_back(cause_id(base, other));
  for (const int c : checks_confirming(base, cause))
    checks.push_back(base.checks[static_cast<std::size_t>(c)].id);
  for (const SpokenRule& spoken : rules_on(base, cause)) {
    const Rule& rule = base.rules[static_cast<std::size_t>(spoken.rule)];
    Json made = {{"rule", rule.id}, {"because", rule.because}};
    made.update(effect_json(spoken.effect));
    rules.push_back(std::move(made));
  }
  for (const Rival& rival : rivals_of(with.reasoner.answers(), cause)) {
    if (rivals.size() == kRivalsShown) break;
    rivals.push_back(
        {{"cause", cause_id(base, rival.cause)}, {"mistaken_at_most", six_digits(rival.mistaken)}});
  }
  Json out = {{"name", of.name},
              {"place", place_json(of.place)},
              {"family", base.families[static_cast<std::size_t>(of.family)].id},
              {"usual_per_thousand", of.usual},
              {"prior", six_digits(std::exp(with.reasoner.log_prior(cause)))},
              {"shakes", shakes},
              {"needs", needs},
              {"repair",
               of.repair < 0 ? Json() : Json(base.repairs[static_cast<std::size_t>(of.repair)].id)},
              {"proof", of.proof},
              {"caution", of.caution},
              {"not_with", never},
              {"confirmed_by", checks},
              {"rules", rules},
              {"computed", computed_json(with, cause)},
              {"strengths", strengths_json(base)},
              {"rivals", rivals},
              {"answers", answers_json(with, cause)}};
  if (with.open) out["in_case"] = in_case_json(with, cause);
  return out;
}

}  // namespace perrev
