// The same thing counted by two rules: one condition, or one that holds whenever the other does.
//
// A rule that asks for one fact more may well refine another. It is told only where both use one
// word for a cause and come to more than the strongest word by it.
#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <utility>

#include "engine/bench/findings_passes.h"
#include "engine/bench/truth_table.h"

namespace perrev {

namespace {

struct Shared {
  std::vector<std::string> same_way, both_ways;  // causes
};

class Twice {
 public:
  Twice(const Written& written, Findings& out)
      : written_(written), base_(written.base()), out_(out) {
    for (const Rule& rule : base_.rules) {
      tables_.push_back(truth_table(base_, rule.when));
      for (const Rule::Effect& effect : rule.effects)
        strongest_ = std::max(strongest_, std::abs(effect.log_ratio));
    }
  }

  void find() {
    std::vector<std::vector<Spoken>> about(base_.causes.size() + 1);
    for (std::size_t r = 0; r < base_.rules.size(); ++r)
      if (tables_[r] && !tables_[r]->always() && !tables_[r]->never())
        for (const Rule::Effect& effect : base_.rules[r].effects)
          about[at(effect.cause)].push_back({static_cast<int>(r), effect.log_ratio});
    for (std::size_t c = 0; c < about.size(); ++c)
      for (std::size_t i = 0; i < about[c].size(); ++i)
        for (std::size_t j = i + 1; j < about[c].size(); ++j)
          compare(static_cast<int>(c), about[c][i], about[c][j]);
    for (const auto& [pair, shared] : same_facts_) tell(pair.first, pair.second, shared);
    for (const auto& [pair, causes] : refined_) tell_implied(pair.first, pair.second, causes);
  }

 private:
  struct Spoken {
    int rule = -1;
    double log_ratio = 0.0;
  };

  const TruthTable& table(int rule) const { return *tables_[at(rule)]; }

  void compare(int cause, const Spoken& one, const Spoken& other) {
    const auto &a = table(one.rule).variables, &b = table(other.rule).variables;
    if (a == b) {
      Shared& shared = same_facts_[{one.rule, other.rule}];
      const bool same = (one.log_ratio > 0.0) == (other.log_ratio > 0.0);
      (same ? shared.same_way : shared.both_ways).push_back(cause_id(base_, cause));
      return;
    }
    if (one.log_ratio != other.log_ratio || 2.0 * std::abs(one.log_ratio) <= strongest_) return;
    const bool first_narrow = a.size() > b.size();
    const int narrow = first_narrow ? one.rule : other.rule;
    const int wide = first_narrow ? other.rule : one.rule;
    if (holds_within(narrow, wide)) refined_[{narrow, wide}].push_back(cause_id(base_, cause));
  }

  // `wide` is true whenever `narrow` is, which asks for more facts.
  bool holds_within(int narrow, int wide) const {
    const auto &many = table(narrow).variables, &few = table(wide).variables;
    if (!std::includes(many.begin(), many.end(), few.begin(), few.end())) return false;
    const auto both = truth_table(
        base_, Condition::of(Condition::Kind::all,
                             {base_.rules[at(narrow)].when, base_.rules[at(wide)].when}));
    return both && implies(table(narrow), *both);
  }

  void tell(int first, int second, const Shared& shared) {
    const bool forth = implies(table(first), table(second));
    const bool back = implies(table(second), table(first));
    const Rule& one = base_.rules[at(first)];
    const Rule& other = base_.rules[at(second)];
    const std::string rules = "rules '" + one.id + "' and '" + other.id + "' are true together";
    const Place place = written_.in_rule(other, "when");
    if (forth && back && !shared.both_ways.empty())
      out_.push_back(
          finding("both-ways", place,
                  rules + "; one speaks for " + named(shared.both_ways) + ", the other against",
                  "one of them"));
    if (forth && back && !shared.same_way.empty())
      out_.push_back(finding("same-condition", place,
                             rules + " and count twice for or against " + named(shared.same_way),
                             "one rule, with one strength"));
    if (forth != back && !shared.same_way.empty())
      tell_implied(forth ? first : second, forth ? second : first, shared.same_way);
  }

  void tell_implied(int narrow, int wide, const std::vector<std::string>& causes) {
    const Rule& rule = base_.rules[at(narrow)];
    out_.push_back(finding(
        "counted-twice", written_.in_rule(rule, "when"),
        "whenever rule '" + rule.id + "' is true, so is '" + base_.rules[at(wide)].id +
            "', and both count for or against " + named(causes),
        "conditions that exclude each other, unless the first is meant to add to the second"));
  }

  const Written& written_;
  const RuleBase& base_;
  Findings& out_;
  std::vector<std::optional<TruthTable>> tables_;
  double strongest_ = 0.0;
  std::map<std::pair<int, int>, Shared> same_facts_;
  std::map<std::pair<int, int>, std::vector<std::string>> refined_;  // narrow, wide
};

}  // namespace

void find_counted_twice(const Written& written, Findings& out) { Twice(written, out).find(); }

}  // namespace perrev
