// Conditions that are never true, always true, or true only where nothing hangs on it.
#include <algorithm>
#include <map>
#include <utility>

#include "engine/bench/findings_passes.h"
#include "engine/bench/truth_table.h"

namespace perrev {

namespace {

AnswerSet all_answers(const RuleBase& base, int variable) {
  const int size = base.variables[at(variable)].size();
  return size >= 64 ? ~AnswerSet{0} : (AnswerSet{1} << size) - 1;
}

// Answers that are still possible, by variable.
using Box = std::map<int, AnswerSet>;

// The ways for a condition to be true: one box each, none of them empty in any variable. Too many
// to write down: none at all, and false is returned.
bool ways(const RuleBase& base, const Condition& condition, bool wanted, std::vector<Box>& out) {
  constexpr std::size_t kMostWays = 512;
  using Kind = Condition::Kind;
  if (condition.kind == Kind::test) {
    const AnswerSet set = wanted ? condition.answers : ~condition.answers;
    const AnswerSet possible = set & all_answers(base, condition.variable);
    if (possible != 0) out.push_back({{condition.variable, possible}});
    return true;
  }
  if (condition.kind == Kind::negation) return ways(base, condition.parts.front(), !wanted, out);
  if ((condition.kind == Kind::any) == wanted) {
    for (const Condition& part : condition.parts)
      if (!ways(base, part, wanted, out) || out.size() > kMostWays) return false;
    return true;
  }
  std::vector<Box> whole = {{}};
  for (const Condition& part : condition.parts) {
    std::vector<Box> these, both;
    if (!ways(base, part, wanted, these) || whole.size() * these.size() > kMostWays) return false;
    for (const Box& left : whole)
      for (const Box& right : these) {
        Box merged = left;
        bool possible = true;
        for (const auto& [variable, answers] : right) {
          const auto found = merged.emplace(variable, answers).first;
          found->second &= answers;
          possible = possible && found->second != 0;
        }
        if (possible) both.push_back(std::move(merged));
      }
    whole = std::move(both);
  }
  out.insert(out.end(), whole.begin(), whole.end());
  return true;
}

// What a condition reads when no more is known than the box: a `no` is sure.
Truth read_in(const Box& box, const Condition& condition) {
  using Kind = Condition::Kind;
  if (condition.kind == Kind::test) {
    const auto found = box.find(condition.variable);
    if (found == box.end()) return Truth::unknown;
    if ((found->second & condition.answers) == 0) return Truth::no;
    return (found->second & ~condition.answers) == 0 ? Truth::yes : Truth::unknown;
  }
  if (condition.kind == Kind::negation) {
    const Truth inner = read_in(box, condition.parts.front());
    return inner == Truth::unknown ? inner : inner == Truth::yes ? Truth::no : Truth::yes;
  }
  const Truth decides = condition.kind == Kind::all ? Truth::no : Truth::yes;
  bool open = false;
  for (const Condition& part : condition.parts) {
    const Truth truth = read_in(box, part);
    if (truth == decides) return truth;
    open = open || truth == Truth::unknown;
  }
  if (open) return Truth::unknown;
  return decides == Truth::no ? Truth::yes : Truth::no;
}

// The first fact of the box that would not be asked while the box holds, -1 when all would.
int not_asked(const RuleBase& base, const Box& box) {
  for (const auto& entry : box) {
    const int fact = base.variables[at(entry.first)].fact;
    if (read_in(box, base.facts[at(fact)].asked_if) == Truth::no) return fact;
  }
  return -1;
}

bool fits(Box box, const std::vector<std::pair<int, AnswerSet>>& needs) {
  return std::all_of(needs.begin(), needs.end(), [&](const auto& need) {
    const auto found = box.emplace(need.first, need.second).first;
    return (found->second &= need.second) != 0;
  });
}

class Conditions {
 public:
  Conditions(const Written& written, Findings& out) : written_(written), out_(out) {}

  // `whose` is how a sentence about it begins.
  void never(const Condition& condition, const Place& place, const std::string& whose) {
    const auto table = truth_table(base_, condition);
    if (table && table->never())
      out_.push_back(finding("never-true", place, whose + " can never be true: " + of(condition),
                             "answers that can be given together"));
  }

  // Where every answer must not do: known or not is a difference on the path, not in a rule.
  void always(const Condition& condition, const Place& place, const std::string& whose) {
    const auto table = truth_table(base_, condition);
    if (table && table->always())
      out_.push_back(finding("always-true", place,
                             whose + " is true whatever is answered to " + of(condition),
                             "a condition that some answer makes false, or leave it out"));
  }

  void rule(const Rule& rule) {
    const Place place = written_.in_rule(rule, "when");
    const std::string whose = "rule '" + rule.id + "'";
    const std::size_t before = out_.size();
    never(rule.when, place, "the condition of " + whose);
    always(rule.when, place, "the condition of " + whose);
    if (out_.size() > before) return;
    idle_part(rule.when, place, whose);
    std::vector<Box> boxes;
    if (!ways(base_, rule.when, true, boxes) || boxes.empty()) return;
    const auto open = std::remove_if(boxes.begin(), boxes.end(),
                                     [&](const Box& box) { return not_asked(base_, box) >= 0; });
    if (open == boxes.begin()) {
      const std::string fact = base_.facts[at(not_asked(base_, boxes.front()))].id;
      out_.push_back(finding(
          "never-asked", place,
          whose + " waits for '" + fact + "', which is not asked where the rest of it is true",
          "another 'asked_if' of '" + fact + "', or another condition"));
      return;
    }
    boxes.erase(open, boxes.end());
    cannot_apply(rule, boxes);
  }

 private:
  std::string of(const Condition& condition) const {
    std::vector<std::string> ids;
    for (const int fact : facts_in(base_, condition)) ids.push_back(base_.facts[at(fact)].id);
    return named(ids);
  }

  // A test that every answer passes, inside a condition that says more.
  void idle_part(const Condition& condition, const Place& place, const std::string& whose) {
    std::vector<std::string> idle;
    condition.each_test([&](const Condition& leaf) {
      if (leaf.answers == all_answers(base_, leaf.variable))
        idle.push_back(base_.facts[at(base_.variables[at(leaf.variable)].fact)].id);
    });
    if (!idle.empty())
      out_.push_back(finding("idle-part", place,
                             whose + " asks for " + named(idle) + " and takes every answer",
                             "leave it out, or name the answers that count"));
  }

  void cannot_apply(const Rule& rule, const std::vector<Box>& boxes) {
    std::vector<std::string> spoken_for;
    for (const Rule::Effect& effect : rule.effects) {
      if (effect.cause == base_.nothing_left() || effect.log_ratio < 0.0) continue;
      const Cause& cause = base_.causes[at(effect.cause)];
      if (std::none_of(boxes.begin(), boxes.end(),
                       [&](const Box& box) { return fits(box, cause.needs); }))
        spoken_for.push_back(cause.id);
    }
    if (!spoken_for.empty())
      out_.push_back(finding(
          "cannot-apply", written_.in_rule(rule, "for"),
          "rule '" + rule.id + "' speaks for " + named(spoken_for) + " where 'needs' rules it out",
          "leave it out, or correct 'needs' or the condition"));
  }

  const Written& written_;
  const RuleBase& base_ = written_.base();
  Findings& out_;
};

}  // namespace

void find_idle_conditions(const Written& written, Findings& out) {
  const RuleBase& base = written.base();
  Conditions conditions(written, out);
  for (const Rule& rule : base.rules) conditions.rule(rule);
  for (const Fact& fact : base.facts)
    conditions.never(fact.asked_if, fact.place, "'asked_if' of fact '" + fact.id + "'");
  for (const Check& check : base.checks) {
    conditions.never(check.asked_if, check.place, "'asked_if' of check '" + check.id + "'");
    for (const auto& [cause, verdict] : check.confirms) {
      const std::string whose =
          "what confirms '" + base.causes[at(cause)].id + "' by check '" + check.id + "'";
      conditions.never(verdict, check.place, whose);
      conditions.always(verdict, check.place, whose);
    }
  }
  const PathEdge* before = nullptr;  // an edge with lists is several, all at one place
  for (const PathEdge& edge : base.edges) {
    const bool same = before && before->place.line == edge.place.line &&
                      before->place.column == edge.place.column;
    if (!same) conditions.never(edge.when, edge.place, "the condition of this edge");
    before = &edge;
  }
}

}  // namespace perrev
