#include "engine/planning/trial.h"

#include <algorithm>

namespace perrev {

namespace {

constexpr int kMostSteps = 400;  // a strategy that goes on for ever hands on

// For one who knows what is wrong.
double bound_of(const Planner& planner, const Hypothesis& truth) {
  return truth.first < 0
             ? planner.handing_on_minutes(truth)
             : planner.repair_minutes(truth) + planner.safety_minutes() + planner.proof_minutes();
}

class Run {
 public:
  Run(const Planner& world, const Planner& judge, const Strategy& strategy, std::uint64_t seed,
      double corrupted)
      : world_(world),
        planner_(judge),
        base_(judge.reasoner().base()),
        strategy_(strategy),
        random_(~seed),
        complaint_(world, judge, seed, corrupted) {}

  TrialRun go() {
    out_.truth = complaint_.truth();
    make_safe();
    const double safety = out_.minutes;  // the bound is as careful
    out_.bound = safety + bound_of(world_, complaint_.truth());
    for (int i = 0; i < kMostSteps; ++i) {
      const Offers offers = offers_of(base_, complaint_.facts());
      const TrialStep step =
          strategy_.next({planner_, complaint_.facts(), offers, complaint_.held(), random_});
      if (step.kind == TrialStep::Kind::check) {
        do_check(step.check);
        lift_stops();
        continue;
      }
      if (out_.repairs == 0) look_at_ranking();
      if (step.kind == TrialStep::Kind::hand_on) break;
      if (repair(step.repairs)) return out_;
    }
    out_.minutes += world_.handing_on_minutes(complaint_.now());
    return out_;
  }

 private:
  // The questions of the gates, and what a stop asks of the bay.
  void make_safe() {
    for (const int check : planner_.safety_checks()) do_check(check);
    lift_stops();
  }

  void lift_stops() {
    for (std::size_t s = 0; s < complaint_.facts().stops.size(); ++s) {
      const StopState stop = complaint_.facts().stops[s];
      if (stop.lifted) continue;
      const int lifts = base_.facts[static_cast<std::size_t>(stop.fact)].stop->cleared_by;
      const int check = planner_.lifting_check(lifts);
      if (check >= 0 && !is_done(base_, complaint_.facts().now(), check)) do_check(check);
    }
  }

  void do_check(int check) {
    out_.minutes += complaint_.set_up_and_check(check);
    ++out_.checks;
    complaint_.learn(check);
  }

  // Whether the vehicle is right afterwards.
  bool repair(const std::vector<int>& repairs) {
    for (const int r : repairs) out_.minutes += complaint_.minutes_of_repair(r);
    for (const int check : planner_.safety_checks())
      out_.minutes += complaint_.minutes_from_nothing(check);
    out_.minutes += world_.proof_minutes();
    out_.repairs += static_cast<int>(repairs.size());
    // What still stops it is put right and looked at once more before anybody drives.
    for (const StopState& stop : complaint_.facts().stops)
      if (!stop.lifted) {
        const int check = planner_.lifting_check(
            base_.facts[static_cast<std::size_t>(stop.fact)].stop->cleared_by);
        if (check >= 0) out_.minutes += complaint_.minutes_of_check(check);
      }
    complaint_.lift_stops();
    complaint_.repair(repairs);
    complaint_.hold_after_repair();
    if (complaint_.is_right()) {
      out_.solved = true;
      return true;
    }
    for (const int check : planner_.safety_checks()) complaint_.learn(check);
    lift_stops();
    return false;
  }

  void look_at_ranking() {
    const Ranking ranking = rank(planner_.reasoner(), complaint_.facts());
    const Hypothesis truth = complaint_.truth();
    const int first = complaint_.cause_of(truth.first), second = complaint_.cause_of(truth.second);
    for (std::size_t i = ranking.causes.size(); i-- > 0;) {
      const Ranked& ranked = ranking.causes[i];
      if (ranked.cause == first || ranked.cause == second) out_.rank = i + 1;
    }
    out_.top = ranking.causes.front().probability;
    out_.top_is_true = out_.rank == 1;
  }

  const Planner& world_;
  const Planner& planner_;
  const RuleBase& base_;
  const Strategy& strategy_;
  Random random_;  // of the strategy
  SeenComplaint complaint_;
  TrialRun out_;
};

}  // namespace

TrialRun run_trial(const Planner& planner, const Strategy& strategy, std::uint64_t seed,
                   double corrupted) {
  return Run(planner, planner, strategy, seed, corrupted).go();
}

TrialRun run_trial(const Planner& world, const Planner& judge, const Strategy& strategy,
                   std::uint64_t seed, double corrupted) {
  return Run(world, judge, strategy, seed, corrupted).go();
}

}  // namespace perrev
