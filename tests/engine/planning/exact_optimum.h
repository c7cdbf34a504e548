// The exact optimum of a decision model, and what the planner's policy truly costs in it.
//
// The twin of engine/planning/look_ahead.h, written from the definition alone: its own update of
// beliefs, its own set-up arithmetic from the list of set-ups, no call of SetUps or ExpectedCost.
//
//   V(belief, held, done) = 0 where nothing is left, else the least of
//     handing on   sum over what is left of mass * handing_on
//     a check      mass * (its minutes + what its set-up takes from what is held) + sum over its
//                  outcomes of V(mass * P(outcome | hypothesis), held with its set-up, done with
//                  it)
//     a repair     mass * minutes + V(what it leaves, after_repair, done); a repair that changes
//                  nothing of what is left is no choice
//
// Masses are not brought to one again, so V is minutes times mass. Two paths to one belief multiply
// the same numbers in another order; masses that agree in 40 bits are taken for one belief (1e-12).
// A search by AND/OR, with memo and an admissible lower bound; that the bound changes nothing is
// tested, not believed (Bounds::none). At most 16 hypotheses and 32 checks.
#pragma once

#include <cstddef>
#include <memory>
#include <vector>

#include "engine/planning/decision_model.h"
#include "engine/planning/look_ahead.h"

namespace perrev::testing {

// What stands ready, read a second time: the set-up that stands with all it is built on, and those
// beside, each set-up by itself.
class Shop {
 public:
  explicit Shop(const std::vector<Setup>& setups) : setups_(setups) {}

  double minutes(const Held& held, int setup) const {
    const std::vector<char> ready = in_place(held);
    double out = 0.0;
    for (const int s : chain(setup))
      if (!ready[at(s)]) out += setups_[at(s)].minutes;
    return out;
  }
  Held with(const Held& held, int setup) const {
    if (setup < 0 || in_place(held)[at(setup)]) return held;
    Held out = held;
    if (!setups_[at(setup)].beside) {
      out.standing = setup;
      return out;
    }
    int bit = 0;
    for (int s = 0; s < setup; ++s) bit += setups_[at(s)].beside ? 1 : 0;
    out.beside |= 1U << bit;
    return out;
  }

 private:
  static std::size_t at(int i) { return static_cast<std::size_t>(i); }

  // It and all that it is built on.
  std::vector<int> chain(int setup) const {
    std::vector<int> out;
    for (; setup >= 0; setup = setups_[at(setup)].after) out.push_back(setup);
    return out;
  }
  // By set-up.
  std::vector<char> in_place(const Held& held) const {
    std::vector<char> out(setups_.size(), 0);
    for (const int s : chain(held.standing)) out[at(s)] = 1;
    int beside = 0;
    for (std::size_t s = 0; s < setups_.size(); ++s)
      if (setups_[s].beside) out[s] = static_cast<char>((held.beside >> beside++) & 1U);
    return out;
  }

  std::vector<Setup> setups_;
};

enum class Bounds { none, admissible };

class ExactOptimum {
 public:
  // `setups` are those that the model was made with; `model` must outlive it.
  ExactOptimum(const DecisionModel& model, const std::vector<Setup>& setups,
               Bounds bounds = Bounds::admissible);
  ~ExactOptimum();

  double minutes();                        // from the beginning
  double minutes(const Outlook& outlook);  // from there; times the mass that is left
  Choice first(const Outlook& outlook);    // what the optimum does there
  std::size_t beliefs() const;             // in the memo

 private:
  class Search;
  std::unique_ptr<Search> search_;
};

// Exact expected minutes of always doing choices_at(...).front(), all outcomes walked.
struct PolicyCost {
  double minutes = 0.0;
  std::size_t steps = 0;  // beliefs that were asked about
};
PolicyCost policy_minutes(const DecisionModel& model, const std::vector<Setup>& setups,
                          const LookAheadLimits& limits = {});

// What is left of `mass` after a repair.
std::vector<double> after_repair(const RepairChoice& repair, const std::vector<double>& mass);

}  // namespace perrev::testing
