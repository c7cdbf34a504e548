#include "engine/planning/strategies.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/reasoning/feature.h"

namespace perrev {

namespace {

constexpr double kSure = 0.9;         // from this probability on no more is measured
constexpr double kWorthDoing = 0.01;  // bits
constexpr double kLeastRate = 0.02;   // bits a minute
constexpr double kCovered = 0.8;      // causes are taken until they cover so much

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
    const auto model_with = [&](const PlannerLimits& limits) {
      return bench.planner.model(bench.facts, ranking, bench.offers, bench.held, limits);
    };
    // As choices_at() does, without what stands behind the first.
    if (search_.price_questions &&
        bench.offers.checks.size() > static_cast<std::size_t>(search_.steps)) {
      PlannerLimits questions = model_;
      questions.checks = 0;
      const DecisionModel model = model_with(questions);
      if (const auto question = worth_asking(model, outlook_of(model)))
        return as_step(model, *question);
    }
    const DecisionModel model = model_with(model_);
    return as_step(model, choices_at(model, outlook_of(model), search_).front());
  }

 private:
  PlannerLimits model_;
  LookAheadLimits search_;
};

// What is wrong, if it is one thing: the most probable causes, and none of the list.
struct OneFault {
  std::vector<Hypothesis> hypotheses;
  std::vector<double> mass;
  double first = 0.0;  // probability of the first cause
};

OneFault one_fault(const Bench& bench) {
  const RuleBase& base = bench.planner.reasoner().base();
  const std::vector<double> odds = log_odds(bench.planner.reasoner(), bench.facts);
  const std::vector<std::vector<char>> present = present_by_round(base, bench.facts);
  const double top = std::max(0.0, *std::max_element(odds.begin(), odds.end()));
  std::vector<std::pair<double, int>> shares;
  double left = 0.0, total = std::exp(-top);
  for (std::size_t c = 0; c < odds.size(); ++c) {
    const double share = std::exp(odds[c] - top);
    total += share;
    if (present.back()[c])
      shares.emplace_back(-share, static_cast<int>(c));
    else
      left += share;
  }
  std::sort(shares.begin(), shares.end());
  OneFault out{{{-1, -1}}, {std::exp(-top)}, shares.empty() ? 0.0 : -shares.front().first / total};
  double covered = out.mass[0] + left;
  if (left > 0.0) {
    out.hypotheses.push_back({base.nothing_left(), -1});
    out.mass.push_back(left);
  }
  for (const auto& [share, cause] : shares) {
    if (covered > kCovered * total) break;
    covered -= share;
    out.hypotheses.push_back({cause, -1});
    out.mass.push_back(-share);
  }
  for (double& mass : out.mass) mass /= covered;
  return out;
}

// Checks first, in an order that a subclass gives, as if one thing was wrong; then repairs.
class ChecksFirst : public Strategy {
 public:
  TrialStep next(const Bench& bench) const override {
    const RuleBase& base = bench.planner.reasoner().base();
    const OneFault fault = one_fault(bench);
    Telling telling(bench.planner.reasoner(), bench.facts, fault.hypotheses, fault.mass);
    if (fault.first < kSure) {
      std::vector<Open> open;
      for (const int c : bench.offers.checks)
        if (!is_stale(base, bench.facts, c)) {
          // Near enough in bits where it is little.
          const double bits =
              telling.spread(base.checks[static_cast<std::size_t>(c)]) / (2.0 * std::log(2.0));
          if (bits >= kWorthDoing) open.push_back({c, bits});
        }
      const int check = open.empty() ? -1 : pick(bench, telling, open);
      if (check >= 0) return {TrialStep::Kind::check, check, {}};
    }
    PlannerLimits none;
    none.questions = none.checks = 0;
    const DecisionModel model = bench.planner.model(
        bench.facts, rank(bench.planner.reasoner(), bench.facts), bench.offers, bench.held, none);
    LookAheadLimits one;
    one.steps = 1;
    return as_step(model, choices_at(model, outlook_of(model), one).front());
  }

 protected:
  struct Open {
    int check;
    double bits;
  };
  // Of checks that tell something, in the order of the rule base; -1: none is worth it.
  virtual int pick(const Bench& bench, Telling& telling, std::vector<Open>& open) const = 0;
};

class EntropyPerMinute : public ChecksFirst {
 public:
  std::string name() const override { return "entropy_per_minute"; }

 protected:
  int pick(const Bench& bench, Telling& telling, std::vector<Open>& open) const override {
    const RuleBase& base = bench.planner.reasoner().base();
    const auto minutes = [&](const Open& of) {
      const Check& check = base.checks[static_cast<std::size_t>(of.check)];
      return check.minutes + bench.planner.set_ups().minutes(bench.held, check.setup);
    };
    std::sort(open.begin(), open.end(), [&](const Open& a, const Open& b) {
      const double x = a.bits / minutes(a), y = b.bits / minutes(b);
      return x != y ? x > y : a.check < b.check;
    });
    int best = -1;
    double most = kLeastRate;
    for (std::size_t i = 0; i < open.size() && i < kCompared; ++i) {
      const double rate =
          telling.bits(base.checks[static_cast<std::size_t>(open[i].check)]) / minutes(open[i]);
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
  int pick(const Bench& bench, Telling&, std::vector<Open>& open) const override {
    const RuleBase& base = bench.planner.reasoner().base();
    for (const PathEdge& edge : base.edges)
      for (const Open& here : open)
        if (edge.to == base.vertex_of_check(here.check)) return here.check;
    return open.front().check;
  }
};

class AtRandom : public ChecksFirst {
 public:
  std::string name() const override { return "random"; }

 protected:
  int pick(const Bench& bench, Telling&, std::vector<Open>& open) const override {
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
