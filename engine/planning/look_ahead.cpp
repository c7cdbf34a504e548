#include "engine/planning/look_ahead.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "engine/planning/check_outcomes.h"
#include "engine/planning/expected_cost.h"

namespace perrev {

namespace {

constexpr double kNothing = 1e-12;  // of the mass

double sum(const std::vector<double>& mass) {
  return std::accumulate(mass.begin(), mass.end(), 0.0);
}

// Minutes that machines may round differently are the same.
bool comes_before(const Choice& a, const Choice& b) {
  const double x = std::round(a.minutes * 1e9), y = std::round(b.minutes * 1e9);
  if (x != y) return x < y;
  return a.kind != b.kind ? a.kind < b.kind : a.index < b.index;
}

class Search {
 public:
  Search(const DecisionModel& model, std::size_t beam)
      : model_(model), beam_(beam), beyond_(model) {}

  std::vector<Choice> ranked(const Outlook& outlook, int steps) {
    std::vector<Choice> out = one_step(outlook);
    if (steps == 1) return out;
    const std::size_t followed = std::min(out.size(), beam_);
    for (std::size_t i = 0; i < followed; ++i)
      if (out[i].kind != Choice::Kind::hand_on) out[i].minutes = follow(outlook, out[i], steps - 1);
    std::sort(out.begin(), out.begin() + static_cast<std::ptrdiff_t>(followed), comes_before);
    return out;
  }

  std::size_t leaves() const { return leaves_; }

 private:
  // Expected minutes times mass, when `steps` more are looked ahead.
  double value(const Outlook& outlook, int steps) {
    ++leaves_;
    const double at_once = beyond_.minutes(outlook.mass);
    return steps == 0 ? at_once : std::min(at_once, ranked(outlook, steps).front().minutes);
  }

  double follow(const Outlook& outlook, const Choice& choice, int steps) {
    const double mass = sum(outlook.mass);
    Outlook then = outlook;
    if (choice.kind == Choice::Kind::repair) {
      const RepairChoice& repair = model_.repairs[static_cast<std::size_t>(choice.index)];
      for (std::size_t h = 0; h < then.mass.size(); ++h) {
        const int leaves = repair.leaves[h];
        if (leaves == static_cast<int>(h)) continue;
        if (leaves != kFixed) then.mass[static_cast<std::size_t>(leaves)] += outlook.mass[h];
        then.mass[h] -= outlook.mass[h];
      }
      then.held = model_.after_repair;
      double cost = repair.minutes * mass;
      if (sum(then.mass) > kNothing * mass) cost += value(then, steps);
      return cost;
    }
    const CheckChoice& check = model_.checks[static_cast<std::size_t>(choice.index)];
    then.held = model_.set_ups.with(outlook.held, check.setup);
    then.done[static_cast<std::size_t>(choice.index)] = 1;
    double cost = (check.minutes + model_.set_ups.minutes(outlook.held, check.setup)) * mass;
    for (const std::vector<double>& outcome : check.outcomes) {
      for (std::size_t h = 0; h < then.mass.size(); ++h)
        then.mass[h] = outlook.mass[h] * outcome[h];
      if (sum(then.mass) > kNothing * mass) cost += value(then, steps);
    }
    return cost;
  }

  // Every choice, with what lies behind its outcomes taken from ExpectedCost.
  std::vector<Choice> one_step(const Outlook& outlook) {
    std::vector<Choice> out;
    const double mass = sum(outlook.mass);
    for (std::size_t c = 0; c < model_.checks.size(); ++c)
      if (!outlook.done[c]) out.push_back({Choice::Kind::check, static_cast<int>(c), 0.0});
    for (std::size_t r = 0; r < model_.repairs.size(); ++r) {
      bool any = false;
      for (std::size_t h = 0; h < outlook.mass.size(); ++h)
        any = any || (outlook.mass[h] > kNothing * mass &&
                      model_.repairs[r].leaves[h] != static_cast<int>(h));
      if (any) out.push_back({Choice::Kind::repair, static_cast<int>(r), 0.0});
    }
    for (Choice& choice : out) choice.minutes = follow(outlook, choice, 0);
    double handed_on = 0.0;
    for (std::size_t h = 0; h < outlook.mass.size(); ++h)
      handed_on += outlook.mass[h] * model_.handing_on[h];
    out.push_back({Choice::Kind::hand_on, -1, handed_on});
    std::sort(out.begin(), out.end(), comes_before);
    return out;
  }

  const DecisionModel& model_;
  std::size_t beam_;
  ExpectedCost beyond_;
  std::size_t leaves_ = 0;
};

}  // namespace

Outlook outlook_of(const DecisionModel& model) {
  return {model.mass, model.held, std::vector<char>(model.checks.size(), 0)};
}

std::optional<Choice> worth_asking(const DecisionModel& model, const Outlook& outlook) {
  ExpectedCost cost(model);
  double entropy = 0.0;
  for (const double p : outlook.mass)
    if (p > 0.0) entropy -= p * std::log2(p);
  if (entropy <= 0.0) return {};
  const double now = cost.minutes(outlook.mass);
  const double bit = (now - cost.minutes_if_known(outlook.mass)) / entropy;
  std::optional<Choice> out;
  double most = 0.0;
  for (std::size_t c = 0; c < model.checks.size(); ++c) {
    const CheckChoice& check = model.checks[c];
    if (outlook.done[c] ||
        !is_question(check.minutes, model.set_ups.minutes(outlook.held, check.setup)))
      continue;
    const double bits = bits_of(check.outcomes, outlook.mass);
    if (bits * bit <= check.minutes || bits <= most * check.minutes) continue;
    most = bits / check.minutes;
    out = Choice{Choice::Kind::check, static_cast<int>(c), now + check.minutes - bits * bit};
  }
  return out;
}

std::vector<Choice> choices_at(const DecisionModel& model, const Outlook& outlook,
                               const LookAheadLimits& limits) {
  const std::size_t open =
      static_cast<std::size_t>(std::count(outlook.done.begin(), outlook.done.end(), 0));
  Search first(model, limits.beam);
  std::vector<Choice> out = first.ranked(outlook, 1);
  // Where the search can reach the end it knows better.
  if (limits.price_questions && static_cast<std::size_t>(limits.steps) < open) {
    if (const auto question = worth_asking(model, outlook)) {
      const auto at = std::find_if(out.begin(), out.end(), [&](const Choice& c) {
        return c.kind == question->kind && c.index == question->index;
      });
      std::rotate(out.begin(), at, at + 1);
      out.front().minutes = std::min(out.front().minutes, question->minutes);
      return out;
    }
  }
  std::size_t before = first.leaves(), leaves = before;
  for (int steps = 2; steps <= limits.steps; ++steps) {
    // One more step is taken to multiply the leaves as much as the one before did.
    if (steps > 2 && leaves * (leaves / std::max<std::size_t>(1, before)) > limits.leaves) break;
    Search deeper(model, limits.beam);
    out = deeper.ranked(outlook, steps);
    before = leaves;
    leaves = deeper.leaves();
  }
  return out;
}

}  // namespace perrev
