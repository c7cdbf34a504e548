// Simulated complaints, each taken by a strategy from the write-up to a vehicle that is right.
//
// What every strategy must do alike is outside of it: before a drive the questions of the gates are
// asked, what stops the vehicle is looked at in the bay, every repair is proved on the road, and a
// vehicle that is handed on costs what the shop says. A repair that cures all that is wrong is
// taken to show on the drive. The bound knows the fault: it repairs what is wrong, the cheapest
// way, and proves it once; what is not listed it hands on at once.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "engine/planning/planner.h"
#include "engine/planning/seen_complaint.h"

namespace perrev {

// What a strategy may see.
struct Bench {
  const Planner& planner;
  const CaseFacts& facts;
  const Offers& offers;
  const Held& held;
  Random& random;
};

struct TrialStep {
  enum class Kind { check, repair, hand_on };
  Kind kind = Kind::hand_on;
  int check = -1;            // index into RuleBase::checks
  std::vector<int> repairs;  // done together
};

class Strategy {
 public:
  virtual ~Strategy() = default;
  virtual std::string name() const = 0;
  virtual TrialStep next(const Bench& bench) const = 0;
};

struct TrialRun {
  double minutes = 0.0;
  double bound = 0.0;
  bool solved = false;  // right, not handed on
  Hypothesis truth;
  int checks = 0;
  int repairs = 0;  // wrong ones included
  // Before the first repair or handing on:
  std::size_t rank = 0;  // of the true cause (the better one of two), from 1; 0: not listed
  double top = 0.0;      // probability of the cause that stood first
  bool top_is_true = false;
};

TrialRun run_trial(const Planner& planner, const Strategy& strategy, std::uint64_t seed,
                   double corrupted = 0.0);
// A complaint of another rule base (seen_complaint.h): `truth` of the run is of the world, and its
// rank 0 also where the judge does not know the cause.
TrialRun run_trial(const Planner& world, const Planner& judge, const Strategy& strategy,
                   std::uint64_t seed, double corrupted = 0.0);

}  // namespace perrev
