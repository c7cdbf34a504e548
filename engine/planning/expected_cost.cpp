#include "engine/planning/expected_cost.h"

#include <algorithm>

namespace perrev {

namespace {

constexpr double kNegligible = 1e-3;  // of the mass: the rest is handed on
constexpr double kHalfway = 0.5;      // what curing one of two faults is worth

}  // namespace

ExpectedCost::ExpectedCost(const DecisionModel& model)
    : model_(&model), cured_through_(model.hypotheses.size()), if_known_(model.handing_on) {
  for (std::size_t r = 0; r < model.repairs.size(); ++r) {
    const std::vector<int>& leaves = model.repairs[r].leaves;
    touches_.emplace_back();
    for (std::size_t h = 0; h < leaves.size(); ++h) {
      if (leaves[h] == static_cast<int>(h)) continue;
      touches_.back().push_back(static_cast<int>(h));
      cured_through_[h].push_back({static_cast<int>(r), leaves[h] == kFixed ? 1.0 : kHalfway});
    }
  }
  // Of two faults one is cured after the other: again until nothing gets cheaper.
  for (bool cheaper = true; cheaper;) {
    cheaper = false;
    for (std::size_t r = 0; r < model.repairs.size(); ++r)
      for (const int touched : touches_[r]) {
        const std::size_t h = static_cast<std::size_t>(touched);
        const int leaves = model.repairs[r].leaves[h];
        const double minutes =
            model.repairs[r].minutes +
            (leaves == kFixed ? 0.0 : if_known_[static_cast<std::size_t>(leaves)]);
        if (minutes >= if_known_[h]) continue;
        if_known_[h] = minutes;
        cheaper = true;
      }
  }
}

double ExpectedCost::minutes_if_known(const std::vector<double>& mass) const {
  double out = 0.0;
  for (std::size_t h = 0; h < mass.size(); ++h) out += mass[h] * if_known_[h];
  return out;
}

void ExpectedCost::add(int hypothesis, double mass) {
  const std::size_t h = static_cast<std::size_t>(hypothesis);
  left_[h] += mass;
  total_ += mass;
  handed_on_ += mass * model_->handing_on[h];
  known_ += mass * if_known_[h];
  for (const Cure& cure : cured_through_[h])
    cured_[static_cast<std::size_t>(cure.repair)] += mass * cure.worth;
}

void ExpectedCost::carry_out(int repair) {
  for (const int h : touches_[static_cast<std::size_t>(repair)]) {
    const double mass = left_[static_cast<std::size_t>(h)];
    add(h, -mass);
    const int leaves =
        model_->repairs[static_cast<std::size_t>(repair)].leaves[static_cast<std::size_t>(h)];
    if (leaves != kFixed) add(leaves, mass);
  }
}

double ExpectedCost::minutes(const std::vector<double>& mass) {
  left_.assign(mass.size(), 0.0);
  cured_.assign(model_->repairs.size(), 0.0);
  total_ = handed_on_ = known_ = 0.0;
  for (std::size_t h = 0; h < mass.size(); ++h)
    if (mass[h] > 0.0) add(static_cast<int>(h), mass[h]);
  const double least = total_ * kNegligible;
  open_.clear();
  for (std::size_t r = 0; r < cured_.size(); ++r)
    if (cured_[r] > least) open_.push_back(static_cast<int>(r));
  double spent = 0.0, out = handed_on_;
  // Whatever comes, what is left costs what it would cost one who knows.
  while (total_ > least && spent + known_ < out) {
    auto best = open_.end();
    double rate = 0.0;
    for (auto r = open_.begin(); r != open_.end(); ++r) {
      const std::size_t i = static_cast<std::size_t>(*r);
      if (cured_[i] <= least || cured_[i] <= rate * model_->repairs[i].minutes) continue;
      rate = cured_[i] / model_->repairs[i].minutes;
      best = r;
    }
    if (best == open_.end()) break;
    spent += model_->repairs[static_cast<std::size_t>(*best)].minutes * total_;
    carry_out(*best);
    open_.erase(best);
    out = std::min(out, spent + std::max(0.0, handed_on_));
  }
  return out;
}

}  // namespace perrev
