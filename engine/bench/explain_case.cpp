#include "engine/bench/explain_case.h"

#include <algorithm>
#include <map>
#include <tuple>

namespace perrev {

namespace {

// The group of `cause` that the rule is weighed in; -1 for a rule without facts.
int group_with(const AnswerModel& model, int cause, const Rule& rule) {
  const std::vector<int> variables = rule.when.variables();
  return variables.empty() ? -1 : model.group_of(cause, variables.front());
}

// Weights of evidence of all rounds by the cause that was present and its group.
class Weights {
 public:
  Weights(const Reasoner& reasoner, const CaseFacts& facts)
      : reasoner_(reasoner), facts_(facts), present_(present_by_round(reasoner.base(), facts)) {}

  GroupWeight of(std::size_t round, int rule, int cause) {
    const RuleBase& base = reasoner_.base();
    GroupWeight out{cause, true, 0.0, {}};
    // What is said of nothing_left counts for the causes that were repaired.
    const int told = cause == base.nothing_left() ? repaired_before(round) : cause;
    out.counts = told >= 0 &&
                 (cause == base.nothing_left() || present_[round][static_cast<std::size_t>(cause)]);
    const int group =
        group_with(reasoner_.answers(), cause, base.rules[static_cast<std::size_t>(rule)]);
    if (!out.counts || group < 0) return out;
    for (const Reason& reason : reasons(told).evidence)
      if (reason.round == round && reason.cause == cause && reason.group == group)
        out.decibans = reason.weight_decibans;
    for (const GroupRule& other :
         reasoner_.answers().groups(cause)[static_cast<std::size_t>(group)].rules)
      if (other.rule != rule &&
          truth_somewhere(base, base.rules[static_cast<std::size_t>(other.rule)].when,
                          facts_.rounds[round].answers) == Truth::yes)
        out.rules.push_back(other.rule);
    return out;
  }

 private:
  int repaired_before(std::size_t round) const {
    const std::vector<char>& present = present_[round];
    for (std::size_t c = 0; c < reasoner_.base().causes.size(); ++c)
      if (!present[c]) return static_cast<int>(c);
    return -1;
  }
  const Reasons& reasons(int cause) {
    const auto found = reasons_.find(cause);
    if (found != reasons_.end()) return found->second;
    return reasons_.emplace(cause, reasons_for(reasoner_, facts_, cause)).first->second;
  }

  const Reasoner& reasoner_;
  const CaseFacts& facts_;
  const std::vector<std::vector<char>> present_;
  std::map<int, Reasons> reasons_;
};

}  // namespace

RuleInCase rule_in_case(const Reasoner& reasoner, const CaseFacts& facts, int rule) {
  const RuleBase& base = reasoner.base();
  const Rule& of = base.rules[static_cast<std::size_t>(rule)];
  RuleInCase out{places_read(base, of.when), {}};
  const std::vector<ConditionPart> parts = parts_of(base, of.when, Units::metric);
  Weights weights(reasoner, facts);
  for (std::size_t round = 0; round < facts.rounds.size(); ++round) {
    const Answers& answers = facts.rounds[round].answers;
    RuleInRound made;
    made.truth = truth_somewhere(base, of.when, answers);
    for (const ConditionPart& part : parts)
      made.parts.push_back(truths_of(base, *part.condition, answers, out.places));
    for (const Rule::Effect& effect : of.effects)
      made.weights.push_back(weights.of(round, rule, effect.cause));
    out.rounds.push_back(std::move(made));
  }
  return out;
}

namespace {

bool stops(const RuleBase& base, const Fact& fact, int index, const Entry& entry) {
  if (!fact.stop || entry.unsure) return false;
  const auto read =
      read_value(base, index, entry.values, Answers(static_cast<std::size_t>(base.slot_count), -1));
  return read && !read->answers.empty() && read->answers[0] >= 0 &&
         ((fact.stop->answers >> read->answers[0]) & 1u);
}

// Why `loser` does not count beside `winner` (facts_of.h).
EntryStanding::Why beaten_by(const RuleBase& base, int fact, const Entry& loser,
                             const Entry& winner) {
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  if (loser.unsure && !winner.unsure) return EntryStanding::Why::unsure;
  if (stops(base, of, fact, winner) && !stops(base, of, fact, loser))
    return EntryStanding::Why::worst;
  if (winner.by != loser.by) return EntryStanding::Why::source;
  return winner.key().milliseconds != loser.key().milliseconds ? EntryStanding::Why::later
                                                               : EntryStanding::Why::larger_id;
}

// The entry in force that retracts entry `i`.
std::size_t retracted_by(const CaseFile& file, const CaseFacts& facts, std::size_t i) {
  const std::vector<Entry>& entries = file.entries();
  for (std::size_t k = 0; k < entries.size(); ++k)
    if (entries[k].kind == Entry::Kind::retraction && facts.round_of[k] >= 0 &&
        entries[k].retracts == entries[i].id)
      return k;
  return i;
}

}  // namespace

std::vector<EntryStanding> standings_of(const RuleBase& base, const CaseFile& file,
                                        const CaseFacts& facts, int fact) {
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  const std::vector<Entry>& entries = file.entries();
  std::vector<EntryStanding> out;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    if (entries[i].kind != Entry::Kind::answer || entries[i].fact != of.id) continue;
    const bool in_force = facts.round_of[i] >= 0;
    const int round = !in_force ? -1 : of.lasts_with_vehicle ? 0 : facts.round_of[i];
    for (const int place : places_meant(of, entries[i].place)) {
      EntryStanding made{i, place, round, EntryStanding::Why::taken_back, i};
      const Reading* reading =
          in_force ? facts.rounds[static_cast<std::size_t>(round)].find(fact, place) : nullptr;
      if (!reading) {
        made.other = retracted_by(file, facts, i);
      } else if (reading->entry == i) {
        made.why = EntryStanding::Why::counts;
      } else {
        made.other = reading->entry;
        made.why = beaten_by(base, fact, entries[i], entries[reading->entry]);
      }
      out.push_back(made);
    }
  }
  std::sort(out.begin(), out.end(), [&](const EntryStanding& a, const EntryStanding& b) {
    if (std::tie(a.round, a.place) != std::tie(b.round, b.place))
      return std::tie(a.round, a.place) < std::tie(b.round, b.place);
    return entries[a.entry].key() < entries[b.entry].key();
  });
  return out;
}

std::string words_of(EntryStanding::Why why) {
  switch (why) {
    case EntryStanding::Why::counts:
      return "counts";
    case EntryStanding::Why::unsure:
      return "unsure never takes the place of an answer";
    case EntryStanding::Why::worst:
      return "the worst answer of a stop stands";
    case EntryStanding::Why::source:
      return "bay counts over road, road over write-up";
    case EntryStanding::Why::later:
      return "a later entry of the same source counts";
    case EntryStanding::Why::larger_id:
      return "of one moment the larger id counts";
    case EntryStanding::Why::taken_back:
      return "taken back";
  }
  return "";
}

}  // namespace perrev
