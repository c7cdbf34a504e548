#include "engine/planning/road_otherwise.h"

#include <algorithm>

#include "engine/planning/road_answers.h"

namespace perrev {

std::vector<double> apart_by_answers(const Reasoner& reasoner, const CaseFacts& facts, int check,
                                     const std::vector<int>& suspects) {
  const std::size_t n = suspects.size();
  std::vector<double> out(pair_count(n), 0.0);
  for (const AnswerTable& table : answers_to_learn(reasoner, facts, check, suspects))
    for (std::size_t i = 0; i < n; ++i)
      for (std::size_t j = i + 1; j < n; ++j) {
        double& apart = out[pair_index(i, j, n)];
        apart = std::max(apart, total_variation(table.rows[i], table.rows[j]));
      }
  return out;
}

BayChecks::BayChecks(const Reasoner& reasoner, const CaseFacts& facts, const Offers& offers,
                     const std::vector<int>& suspects)
    : base_(reasoner.base()) {
  for (std::size_t c = 0; c < base_.checks.size(); ++c) {
    const Check& of = base_.checks[c];
    const int check = static_cast<int>(c);
    if (of.by != Asker::bay || of.moves != Moves::no || !can_be_done(base_, facts.now(), check))
      continue;
    checks_.push_back(
        {check, std::find(offers.checks.begin(), offers.checks.end(), check) != offers.checks.end(),
         of.minutes + base_.setup_minutes(of.setup),
         apart_by_answers(reasoner, facts, check, suspects)});
  }
}

int BayChecks::telling(std::size_t pair) const {
  const Bay* best = nullptr;
  const auto better = [&](const Bay& bay) {
    if (!best || bay.offered != best->offered) return !best || bay.offered;
    return bay.apart[pair] / bay.minutes > best->apart[pair] / best->minutes;
  };
  for (const Bay& bay : checks_)
    if (bay.apart[pair] >= kTellsApart && better(bay)) best = &bay;
  return best ? best->check : -1;
}

std::vector<int> BayChecks::showing(int cause) const {
  std::vector<const Bay*> found;
  for (const Bay& bay : checks_) {
    const auto& confirms = base_.checks[static_cast<std::size_t>(bay.check)].confirms;
    if (std::any_of(confirms.begin(), confirms.end(),
                    [&](const auto& verdict) { return verdict.first == cause; }))
      found.push_back(&bay);
  }
  std::sort(found.begin(), found.end(), [](const Bay* a, const Bay* b) {
    return a->minutes != b->minutes ? a->minutes < b->minutes : a->check < b->check;
  });
  std::vector<int> out;
  for (const Bay* bay : found) out.push_back(bay->check);
  return out;
}

}  // namespace perrev
