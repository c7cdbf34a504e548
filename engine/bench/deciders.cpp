#include "engine/bench/deciders.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/bench/explain_touches.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

// The part of a reason's weight that a rule has in it, by ReasonWords::rules.
std::vector<double> shares(const Reasoner& reasoner, const Reason& reason,
                           const ReasonWords& words) {
  const GroupTable& group =
      reasoner.answers().groups(reason.cause)[static_cast<std::size_t>(reason.group)];
  std::vector<double> out;
  double sum = 0.0;
  for (const int rule : words.rules) {
    const auto of = std::find_if(group.rules.begin(), group.rules.end(),
                                 [&](const GroupRule& g) { return g.rule == rule; });
    out.push_back(std::abs(of->log_ratio));
    sum += out.back();
  }
  for (double& share : out) share /= sum;
  return out;
}

class Balance {
 public:
  // `both` sides count: what rules `higher` out, too.
  Balance(const Reasoner& reasoner, const CaseFacts& facts, bool both)
      : reasoner_(reasoner), facts_(facts), both_(both) {}

  void add(int cause, double sign) {
    const Reasons reasons = reasons_for(reasoner_, facts_, cause);
    for (const Reason& reason : reasons.evidence) {
      const double weight = sign * reason.weight_decibans;
      // A check showed what cannot be here.
      if (std::isinf(weight) && sign > 0.0 && !both_) continue;
      const ReasonWords words = words_of(reasoner_, facts_, reasons, reason);
      if (words.rules.empty()) {
        const std::string name =
            reason.provider ? reason.provider->name() : joined(words.facts, "+");
        put(-1, name, weight, words.because);
        continue;
      }
      const std::vector<double> parts = shares(reasoner_, reason, words);
      for (std::size_t i = 0; i < parts.size(); ++i) {
        const Rule& rule = reasoner_.base().rules[static_cast<std::size_t>(words.rules[i])];
        put(words.rules[i], rule.id, weight * parts[i],
            words.rules.size() == 1 ? words.because : rule.because);
      }
    }
  }

  std::vector<Decider> all() const {
    std::vector<Decider> out;
    for (const auto& each : by_name_) out.push_back(each.second);
    return out;
  }

  std::vector<Decider> heaviest(std::size_t most) const {
    std::vector<Decider> out;
    for (const auto& each : by_name_)
      if (each.second.decibans > 0.0) out.push_back(each.second);
    std::sort(out.begin(), out.end(), [](const Decider& a, const Decider& b) {
      return a.decibans != b.decibans ? a.decibans > b.decibans : a.name < b.name;
    });
    if (out.size() > most) out.resize(most);
    return out;
  }

 private:
  // The words are those of the side that it weighs for.
  void put(int rule, const std::string& name, double weight, const std::string& because) {
    Decider& of = by_name_[name];
    if (of.because.empty() || weight > 0.0) of.because = because;
    of.rule = rule;
    of.name = name;
    of.decibans += weight;
  }

  const Reasoner& reasoner_;
  const CaseFacts& facts_;
  bool both_;
  std::map<std::string, Decider> by_name_;
};

}  // namespace

std::vector<Decider> deciders(const Reasoner& reasoner, const CaseFacts& facts, int higher,
                              int lower, std::size_t most) {
  Balance balance(reasoner, facts, false);
  balance.add(higher, 1.0);
  if (lower >= 0) balance.add(lower, -1.0);
  return balance.heaviest(most);
}

double prior_decibans(const Reasoner& reasoner, int higher, int lower) {
  const double other = lower < 0 ? reasoner.log_prior_not_listed() : reasoner.log_prior(lower);
  return decibans_of(reasoner.log_prior(higher) - other);
}

std::vector<Decider> all_that_weighs(const Reasoner& reasoner, const CaseFacts& facts, int higher,
                                     int lower) {
  Balance balance(reasoner, facts, true);
  balance.add(higher, 1.0);
  if (lower >= 0) balance.add(lower, -1.0);
  return balance.all();
}

}  // namespace perrev
