#include "engine/planning/expected_cost.h"

#include <algorithm>

namespace perrev {

namespace {

constexpr double kNegligible = 1e-3;  // of the mass: the rest is handed on
constexpr double kHalfway = 0.5;      // what curing one of two faults is worth
constexpr double kSlowest = 0.3;      // repairs so much slower than handing on are never tried

}  // namespace

ExpectedCost::ExpectedCost(const DecisionModel& model)
    : model_(&model), if_known_(model.handing_on) {
  for (const RepairChoice& repair : model.repairs) {
    touches_.emplace_back();
    for (std::size_t h = 0; h < repair.leaves.size(); ++h) {
      if (repair.leaves[h] == static_cast<int>(h)) continue;
      touches_.back().push_back(static_cast<int>(h));
      if (repair.leaves[h] == kFixed) if_known_[h] = std::min(if_known_[h], repair.minutes);
    }
  }
}

double ExpectedCost::minutes_if_known(const std::vector<double>& mass) const {
  double out = 0.0;
  for (std::size_t h = 0; h < mass.size(); ++h) out += mass[h] * if_known_[h];
  return out;
}

double ExpectedCost::cured_by(int repair) const {
  const std::vector<int>& leaves = model_->repairs[static_cast<std::size_t>(repair)].leaves;
  double out = 0.0;
  for (const int h : touches_[static_cast<std::size_t>(repair)])
    out += left_[static_cast<std::size_t>(h)] *
           (leaves[static_cast<std::size_t>(h)] == kFixed ? 1.0 : kHalfway);
  return out;
}

void ExpectedCost::carry_out(int repair) {
  const auto take = [&](int hypothesis, double mass) {
    left_[static_cast<std::size_t>(hypothesis)] -= mass;
    handed_on_ -= mass * model_->handing_on[static_cast<std::size_t>(hypothesis)];
    total_ -= mass;
  };
  for (const int h : touches_[static_cast<std::size_t>(repair)]) {
    const double mass = left_[static_cast<std::size_t>(h)];
    take(h, mass);
    const int leaves =
        model_->repairs[static_cast<std::size_t>(repair)].leaves[static_cast<std::size_t>(h)];
    if (leaves != kFixed) take(leaves, -mass);
  }
}

double ExpectedCost::minutes(const std::vector<double>& mass) {
  left_ = mass;
  total_ = handed_on_ = 0.0;
  for (std::size_t h = 0; h < mass.size(); ++h) {
    total_ += mass[h];
    handed_on_ += mass[h] * model_->handing_on[h];
  }
  const auto minutes_of = [&](int repair) {
    return model_->repairs[static_cast<std::size_t>(repair)].minutes;
  };
  const double least = total_ * kNegligible, slowest = kSlowest * total_ / handed_on_;
  open_.clear();
  for (int r = 0; r < static_cast<int>(model_->repairs.size()); ++r) {
    const double cured = cured_by(r);
    if (cured > least && cured > slowest * minutes_of(r) * total_) open_.push_back(r);
  }
  marks_.clear();
  while (total_ > least) {
    auto best = open_.end();
    double rate = total_ / handed_on_;
    for (auto r = open_.begin(); r != open_.end(); ++r) {
      const double here = cured_by(*r) / (minutes_of(*r) * total_);
      if (here <= rate) continue;
      rate = here;
      best = r;
    }
    if (best == open_.end()) break;
    marks_.push_back({handed_on_, minutes_of(*best) * total_});
    carry_out(*best);
    open_.erase(best);
  }
  double out = std::max(0.0, handed_on_);
  for (std::size_t i = marks_.size(); i-- > 0;)
    out = std::min(marks_[i].handed_on, marks_[i].cost + out);
  return out;
}

}  // namespace perrev
