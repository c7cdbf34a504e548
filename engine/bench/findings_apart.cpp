// Pairs of causes that no check of the rule base can tell apart.
//
// Measured by the answer models: whatever the answers to all that checks can learn, the odds
// between the two move by less than a factor of 2. Causes that a check confirms apart, or that
// shake otherwise where a frequency can be measured, are told apart by that.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <utility>

#include "engine/bench/findings_passes.h"
#include "engine/reasoning/answer_model.h"

namespace perrev {

namespace {

const double kToldApart = std::log(2.0);  // 3 decibans: odds of two to one

// How far answers can move the log odds between two causes, group by group.
class Apart {
 public:
  bool enough() const { return total_ + here_ >= kToldApart; }
  void add(double one, double other) {
    const double ratio = one == other                 ? 0.0
                         : one == 0.0 || other == 0.0 ? std::numeric_limits<double>::infinity()
                                                      : std::abs(std::log(one / other));
    here_ = std::max(here_, ratio);
  }
  void end_group() {
    total_ += here_;
    here_ = 0.0;
  }

 private:
  double total_ = 0.0, here_ = 0.0;
};

bool shake_alike(const Cause& one, const Cause& other) {
  const auto same = [](const Shake& a, const Shake& b) {
    return a.source == b.source && a.kind == b.kind && a.low_order == b.low_order &&
           a.high_order == b.high_order;
  };
  return one.shakes.size() == other.shakes.size() &&
         std::is_permutation(one.shakes.begin(), one.shakes.end(), other.shakes.begin(), same);
}

class Pairs {
 public:
  explicit Pairs(const RuleBase& base) : base_(base), model_(base) {
    for (const Check& check : base.checks)
      learned_.insert(check.learns.begin(), check.learns.end());
    frequency_is_read_ = learned_.count(base.fact_index("measured_frequency")) > 0;
  }

  bool told_apart(int one, int other) const {
    return confirmed_apart(one, other) ||
           (frequency_is_read_ && !shake_alike(base_.causes[at(one)], base_.causes[at(other)])) ||
           answered_apart(one, other);
  }

  // Facts that rules about others of the family ask for, and none about these two.
  std::vector<std::string> facts_that_might(int one, int other) const {
    std::map<int, std::set<int>> causes_by_fact;
    for (const Rule& rule : base_.rules)
      for (const Rule::Effect& effect : rule.effects)
        for (const int fact : facts_in(base_, rule.when))
          if (learned_.count(fact) > 0) causes_by_fact[fact].insert(effect.cause);
    const int family = base_.causes[at(one)].family, second = base_.causes[at(other)].family;
    std::vector<std::pair<int, int>> ranked;  // how many of the family, fact
    for (const auto& [fact, causes] : causes_by_fact) {
      if (causes.count(one) + causes.count(other) > 0) continue;
      int of_family = 0;
      for (const int c : causes)
        if (c != base_.nothing_left())
          of_family += base_.causes[at(c)].family == family || base_.causes[at(c)].family == second;
      if (of_family > 0) ranked.emplace_back(-of_family, fact);
    }
    std::sort(ranked.begin(), ranked.end());
    constexpr std::size_t kFew = 3;
    std::vector<std::string> out;
    for (std::size_t i = 0; i < std::min(kFew, ranked.size()); ++i)
      out.push_back(base_.facts[at(ranked[i].second)].id);
    return out;
  }

 private:
  bool confirmed_apart(int one, int other) const {
    const auto confirms = [](const Check& check, int cause) {
      return std::any_of(check.confirms.begin(), check.confirms.end(),
                         [&](const auto& verdict) { return verdict.first == cause; });
    };
    return std::any_of(base_.checks.begin(), base_.checks.end(), [&](const Check& check) {
      return confirms(check, one) != confirms(check, other);
    });
  }

  bool answered_apart(int one, int other) const {
    Apart apart;
    std::set<int> joint;
    for (std::size_t v = 0; v < base_.variables.size() && !apart.enough(); ++v) {
      const Variable& variable = base_.variables[v];
      const int index = static_cast<int>(v);
      if (learned_.count(variable.fact) == 0) continue;
      if (model_.tied(index)[one] || model_.tied(index)[other]) {
        joint.insert(index);
        continue;
      }
      for (int a = 0; a < variable.size(); ++a)
        apart.add(model_.row(index, a)[one], model_.row(index, a)[other]);
      apart.end_group();
    }
    while (!joint.empty() && !apart.enough()) {
      const std::set<int> tied = tied_together(*joint.begin(), one, other);
      if (!add_joint(std::vector<int>(tied.begin(), tied.end()), one, other, apart)) return true;
      for (const int v : tied) joint.erase(v);
    }
    return apart.enough();
  }

  // Everything that groups of either cause tie to a variable.
  std::set<int> tied_together(int variable, int one, int other) const {
    std::set<int> out;
    std::vector<int> open = {variable};
    while (!open.empty()) {
      const int v = open.back();
      open.pop_back();
      if (!out.insert(v).second) continue;
      for (const int cause : {one, other})
        if (const int g = model_.group_of(cause, v); g >= 0)
          for (const int tied : model_.groups(cause)[at(g)].variables) open.push_back(tied);
    }
    return out;
  }

  // False when there are too many sheets to look at.
  bool add_joint(const std::vector<int>& variables, int one, int other, Apart& apart) const {
    int sheets = 1;
    for (const int v : variables) {
      sheets *= base_.variables[at(v)].size();
      if (sheets > kLargestGroup) return false;
    }
    std::map<int, int> answers;
    for (int sheet = 0; sheet < sheets; ++sheet) {
      int rest = sheet;
      for (const int v : variables) {
        answers[v] = rest % base_.variables[at(v)].size();
        rest /= base_.variables[at(v)].size();
      }
      apart.add(relative(one, answers), relative(other, answers));
    }
    apart.end_group();
    return true;
  }

  double relative(int cause, const std::map<int, int>& answers) const {
    double out = 1.0;
    for (const auto& [first, unused] : answers) {
      const int g = model_.group_of(cause, first);
      if (g < 0) continue;
      const GroupTable& group = model_.groups(cause)[at(g)];
      if (group.variables.front() != first) continue;  // each group once
      int sheet = 0;
      for (std::size_t i = 0; i < group.variables.size(); ++i)
        sheet += answers.at(group.variables[i]) * group.strides[i];
      out *= group.relative[at(sheet)];
    }
    return out;
  }

  const RuleBase& base_;
  AnswerModel model_;
  std::set<int> learned_;
  bool frequency_is_read_ = false;
};

}  // namespace

void find_not_told_apart(const Written& written, Findings& out) {
  const RuleBase& base = written.base();
  const Pairs pairs(base);
  const int count = static_cast<int>(base.causes.size());
  for (int i = 0; i < count; ++i)
    for (int j = i + 1; j < count; ++j) {
      if (pairs.told_apart(i, j)) continue;
      const Cause& one = base.causes[at(i)];
      const Cause& other = base.causes[at(j)];
      const std::string both = "'" + one.id + "' and '" + other.id + "'";
      if (one.repair == other.repair) {
        out.push_back(finding("one-repair", other.place,
                              "no check tells " + both + " apart, and one repair cures both",
                              "one cause for both"));
        continue;
      }
      const std::vector<std::string> facts = pairs.facts_that_might(i, j);
      out.push_back(
          finding("not-told-apart", other.place,
                  "no check tells " + both + " apart; only repair and proof do",
                  facts.empty()
                      ? "a fact that differs between them"
                      : "a rule about one of them; others of the family ask for " + named(facts)));
    }
}

}  // namespace perrev
