#include "engine/planning/strategies.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/planning/check_outcomes.h"

namespace perrev {

namespace {

constexpr double kSure = 0.9;         // from this probability on no more is measured
constexpr double kWorthDoing = 0.01;  // bits
constexpr double kLeastRate = 0.02;   // bits a minute

TrialStep as_step(const DecisionModel& model, const Choice& choice) {
  switch (choice.kind) {
    case Choice::Kind::check:
      return {
          TrialStep::Kind::check, model.checks[static_cast<std::size_t>(choice.index)].check, {}};
    case Choice::Kind::repair:
      return {TrialStep::Kind::repair, -1,
              model.repairs[static_cast<std::size_t>(choice.index)].repairs};
    case Choice::Kind::hand_on:
      break;
  }
  return {};
}

class LookingAhead : public Strategy {
 public:
  LookingAhead(const PlannerLimits& model, const LookAheadLimits& search)
      : model_(model), search_(search) {}

  std::string name() const override { return "look_ahead"; }

  TrialStep next(const Bench& bench) const override {
    const Ranking ranking = rank(bench.planner.reasoner(), bench.facts);
    const DecisionModel model =
        bench.planner.model(bench.facts, ranking, bench.offers, bench.held, model_);
    return as_step(model, choices_at(model, outlook_of(model), search_).front());
  }

 private:
  PlannerLimits model_;
  LookAheadLimits search_;
};

// Checks first, in an order that a subclass gives; then repairs.
class ChecksFirst : public Strategy {
 public:
  TrialStep next(const Bench& bench) const override {
    PlannerLimits none;
    none.checks = 0;
    const Ranking ranking = rank(bench.planner.reasoner(), bench.facts);
    const DecisionModel model =
        bench.planner.model(bench.facts, ranking, bench.offers, bench.held, none);
    if (ranking.causes.front().probability < kSure) {
      std::vector<Telling> open;
      for (const int c : bench.offers.checks)
        if (!is_stale(bench.planner.reasoner().base(), bench.facts, c)) {
          // Near enough in bits where it is little.
          const double bits = spread_in_all(bench.planner.reasoner(), bench.facts, c,
                                            model.hypotheses, model.mass) /
                              (2.0 * std::log(2.0));
          if (bits >= kWorthDoing) open.push_back({c, bits});
        }
      const int check = open.empty() ? -1 : pick(bench, model, open);
      if (check >= 0) return {TrialStep::Kind::check, check, {}};
    }
    LookAheadLimits one;
    one.steps = 1;
    return as_step(model, choices_at(model, outlook_of(model), one).front());
  }

 protected:
  struct Telling {
    int check;
    double bits;
  };
  // Of checks that tell something, in the order of the rule base; -1: none is worth it.
  virtual int pick(const Bench& bench, const DecisionModel& model,
                   std::vector<Telling>& open) const = 0;
};

class EntropyPerMinute : public ChecksFirst {
 public:
  std::string name() const override { return "entropy_per_minute"; }

 protected:
  int pick(const Bench& bench, const DecisionModel& model,
           std::vector<Telling>& open) const override {
    const Reasoner& reasoner = bench.planner.reasoner();
    const auto minutes = [&](const Telling& of) {
      const Check& check = reasoner.base().checks[static_cast<std::size_t>(of.check)];
      return check.minutes + bench.planner.set_ups().minutes(bench.held, check.setup);
    };
    std::sort(open.begin(), open.end(), [&](const Telling& a, const Telling& b) {
      const double x = a.bits / minutes(a), y = b.bits / minutes(b);
      return x != y ? x > y : a.check < b.check;
    });
    int best = -1;
    double most = kLeastRate;
    for (std::size_t i = 0; i < open.size() && i < kCompared; ++i) {
      const double rate =
          bits_in_all(reasoner, bench.facts, open[i].check, model.hypotheses, model.mass) /
          minutes(open[i]);
      if (rate <= most) continue;
      most = rate;
      best = open[i].check;
    }
    return best;
  }

 private:
  static constexpr std::size_t kCompared = 10;
};

class PathOrder : public ChecksFirst {
 public:
  std::string name() const override { return "path_order"; }

 protected:
  int pick(const Bench& bench, const DecisionModel&, std::vector<Telling>& open) const override {
    const RuleBase& base = bench.planner.reasoner().base();
    for (const PathEdge& edge : base.edges)
      for (const Telling& here : open)
        if (edge.to == base.vertex_of_check(here.check)) return here.check;
    return open.front().check;
  }
};

class AtRandom : public ChecksFirst {
 public:
  std::string name() const override { return "random"; }

 protected:
  int pick(const Bench& bench, const DecisionModel&, std::vector<Telling>& open) const override {
    return open[bench.random.below(open.size())].check;
  }
};

class ByFlowChart : public Strategy {
 public:
  std::string name() const override { return "flow_chart"; }

  TrialStep next(const Bench& bench) const override {
    const RuleBase& base = bench.planner.reasoner().base();
    const auto repaired = [&](int repair) {
      return std::any_of(
          bench.facts.rounds.begin(), bench.facts.rounds.end(), [&](const RoundFacts& round) {
            return std::find(round.opened_by.begin(), round.opened_by.end(), repair) !=
                   round.opened_by.end();
          });
    };
    // What a check has shown is repaired at once.
    const Answers known = known_ever(bench.facts);
    for (std::size_t c = 0; c < base.checks.size(); ++c)
      for (const auto& [cause, find] : base.checks[c].confirms) {
        const int repair = base.causes[static_cast<std::size_t>(cause)].repair;
        if (was_done(base, bench.facts, static_cast<int>(c)) && !repaired(repair) &&
            truth_somewhere(base, find, known) == Truth::yes)
          return {TrialStep::Kind::repair, -1, {repair}};
      }
    for (const ChartStep& step : base.flow_chart) {
      if (truth_somewhere(base, step.when, known) != Truth::yes) continue;
      if (step.repair >= 0 && !repaired(step.repair))
        return {TrialStep::Kind::repair, -1, {step.repair}};
      for (const int check : step.checks)
        if (!was_done(base, bench.facts, check) &&
            std::binary_search(bench.offers.checks.begin(), bench.offers.checks.end(), check))
          return {TrialStep::Kind::check, check, {}};
    }
    return {};
  }

 private:
  static bool was_done(const RuleBase& base, const CaseFacts& facts, int check) {
    return std::any_of(facts.rounds.begin(), facts.rounds.end(),
                       [&](const RoundFacts& round) { return is_done(base, round, check); });
  }
  // The latest answer of any round.
  static Answers known_ever(const CaseFacts& facts) {
    Answers out = facts.rounds.front().answers;
    for (const RoundFacts& round : facts.rounds)
      for (std::size_t slot = 0; slot < out.size(); ++slot)
        if (round.answers[slot] >= 0) out[slot] = round.answers[slot];
    return out;
  }
};

}  // namespace

std::unique_ptr<Strategy> looking_ahead(const PlannerLimits& model, const LookAheadLimits& search) {
  return std::make_unique<LookingAhead>(model, search);
}
std::unique_ptr<Strategy> entropy_per_minute() { return std::make_unique<EntropyPerMinute>(); }
std::unique_ptr<Strategy> path_order() { return std::make_unique<PathOrder>(); }
std::unique_ptr<Strategy> at_random() { return std::make_unique<AtRandom>(); }
std::unique_ptr<Strategy> by_flow_chart() { return std::make_unique<ByFlowChart>(); }

}  // namespace perrev
