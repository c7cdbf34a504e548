// From a case to its decision model: the hypotheses that count, the checks that may be done now,
// the repairs that cure something, and what stands ready.
//
// The path, the gates, the stops and the shop's equipment have already said which checks are
// offered: they are constraints, never weights. Compiled once from a rule base; immutable; safe to
// share between threads.
#pragma once

#include <vector>

#include "engine/planning/decision_model.h"
#include "engine/reasoning/offers.h"

namespace perrev {

struct PlannerLimits {
  double mass = 0.999;          // causes are taken until they cover so much
  std::size_t hypotheses = 60;  // causes, at most
  double least_pair = 0.01;     // two causes at once stand for themselves from this share on
  std::size_t pairs = 12;       // at most
  std::size_t questions = 8;    // at most, those that tell most a minute
  std::size_t checks = 20;      // others, at most: half tell most a minute, half tell most
  std::size_t outcomes = 8;     // of a check, at most
};

class Planner {
 public:
  // `reasoner` must outlive the planner.
  explicit Planner(const Reasoner& reasoner);

  const Reasoner& reasoner() const { return *reasoner_; }
  const SetUps& set_ups() const { return set_ups_; }

  // `held` is what stands ready now.
  DecisionModel model(const CaseFacts& facts, const Ranking& ranking, const Offers& offers,
                      const Held& held, const PlannerLimits& limits = {}) const;

  // Minutes of a repair's labour and parts.
  double minutes_of(const Repair& repair) const;
  // The cheapest repairs after which nothing is wrong, their labour and parts; of what is not
  // listed as much as the usual cause takes.
  double repair_minutes(const Hypothesis& hypothesis) const;
  // Handing the vehicle on: on top of the repair, which is then done and proved elsewhere.
  double handing_on_minutes(const Hypothesis& hypothesis) const;
  // The drive that proves a repair: with its set-up from nothing; 0 when the rule base has none.
  double proof_minutes() const { return proof_minutes_; }
  Held after_repair() const;
  // The questions that pass the gates of driving, fewest minutes first, and their minutes.
  const std::vector<int>& safety_checks() const { return safety_checks_; }
  double safety_minutes() const { return safety_minutes_; }
  // The bay check that learns `fact`, -1 if there is none.
  int lifting_check(int fact) const;

 private:
  void find_safety_checks();
  void add_hypotheses(const Ranking& ranking, const PlannerLimits& limits,
                      DecisionModel& model) const;
  void add_checks(const CaseFacts& facts, const Offers& offers, const PlannerLimits& limits,
                  DecisionModel& model) const;
  void add_repairs(DecisionModel& model) const;

  const Reasoner* reasoner_;
  SetUps set_ups_;
  double proof_minutes_ = 0.0;
  double unlisted_minutes_ = 0.0;
  int proof_setup_ = -1;
  std::vector<int> safety_checks_;
  double safety_minutes_ = 0.0;
  std::vector<double> minutes_by_cause_;    // the cheapest repair
  std::vector<std::vector<int>> cured_by_;  // by cause: repairs
};

// Whether asking again can tell something new: a check done in an earlier round is not done again
// as long as the complaint stayed the same.
bool is_stale(const RuleBase& base, const CaseFacts& facts, int check);

}  // namespace perrev
