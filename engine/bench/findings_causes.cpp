// Causes that the rules leave bare: nothing for them, nothing against them, no caution where their
// family asks for one, no check that shows them.
#include <algorithm>
#include <cmath>

#include "engine/bench/findings_passes.h"
#include "engine/knowledge/computed.h"
#include "engine/reasoning/answer_model.h"

namespace perrev {

namespace {

// An answer that moves the odds by a factor of 1.5 (1.8 decibans) says something.
const double kSaysSomething = std::log(1.5);

// To a tenth.
std::string in_decibans(double log_ratio) {
  return show_number(std::round(100.0 * log_ratio / std::log(10.0)) / 10.0);
}

// The most that any sheet of answers speaks against a cause; 0 where none does.
double most_against(const AnswerModel& model, int cause) {
  double least = 1.0;
  for (const GroupTable& group : model.groups(cause))
    least = std::min(least, *std::min_element(group.relative.begin(), group.relative.end()));
  return -std::log(least);
}

// Checks that confirm a cause, by who does them.
struct Confirmed {
  std::string by_bay, by_road;  // a check's id, or empty
};

Confirmed confirmed(const RuleBase& base, int cause) {
  Confirmed out;
  for (const Check& check : base.checks)
    for (const auto& verdict : check.confirms)
      if (verdict.first == cause) (check.by == Asker::bay ? out.by_bay : out.by_road) = check.id;
  return out;
}

void find_not_shown(const RuleBase& base, int index, Findings& out) {
  const Cause& cause = base.causes[at(index)];
  if (cause.shown_by == ShownBy::repair) return;
  const bool in_bay = cause.shown_by == ShownBy::bay;
  const std::string said = "cause '" + cause.id + "' says shown_by: " + (in_bay ? "bay" : "road");
  const Confirmed by = confirmed(base, index);
  const std::string& here = in_bay ? by.by_bay : by.by_road;
  const std::string& there = in_bay ? by.by_road : by.by_bay;
  if (here.empty() && there.empty())
    out.push_back(finding("never-shown", cause.place, said + ", but no check confirms it",
                          "a check with 'confirms', or shown_by: repair"));
  else if (here.empty())
    out.push_back(finding("shown-elsewhere", cause.place,
                          said + ", but only '" + there + "' " +
                              (in_bay ? "on the road" : "in the bay") + " confirms it",
                          std::string("shown_by: ") + (in_bay ? "road" : "bay")));
}

}  // namespace

void find_bare_causes(const Written& written, Findings& out) {
  const RuleBase& base = written.base();
  const AnswerModel model(base);
  std::vector<bool> spoken_for(base.causes.size() + 1, false);
  for (const Rule& rule : base.rules)
    for (const Rule::Effect& effect : rule.effects)
      if (effect.log_ratio > 0.0) spoken_for[at(effect.cause)] = true;
  for (std::size_t c = 0; c < base.causes.size(); ++c) {
    const Cause& cause = base.causes[c];
    const int index = static_cast<int>(c);
    const std::string name = "cause '" + cause.id + "'";
    const bool computed = !facts_computed(base, index).empty();  // answers speak for and against
    if (!spoken_for[c] && !computed)
      out.push_back(finding("nothing-for", cause.place, "no rule speaks for " + name,
                            "a rule with it, or its family, under 'for'"));
    const double against = most_against(model, index);
    if (against < kSaysSomething && !computed)
      out.push_back(finding("nothing-against", cause.place,
                            "no answer speaks against " + name + " by more than " +
                                in_decibans(against) + " decibans",
                            "a find that would rule it out, or 'needs'"));
    if (base.families[at(cause.family)].needs_caution && cause.caution.empty() &&
        base.repairs[at(cause.repair)].caution.empty())
      out.push_back(finding(
          "missing-caution", cause.place,
          name + " has no caution, nor has its repair '" + base.repairs[at(cause.repair)].id + "'",
          "what can hurt somebody, in plain words"));
    find_not_shown(base, index, out);
  }
}

}  // namespace perrev
