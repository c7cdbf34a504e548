#include "tests/engine/planning/exact_optimum.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <limits>
#include <numeric>
#include <stdexcept>
#include <string>
#include <unordered_map>
#include <utility>

namespace perrev::testing {

namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

constexpr int kStepsOfBound = 2;

constexpr std::size_t kMost = 16;    // hypotheses
constexpr double kTooLittle = 1e-9;  // minutes: a bound need not count them

using Mass = std::vector<double>;       // by hypothesis
using Row = std::array<double, kMost>;  // the same with room, for the bound

std::size_t at(int i) { return static_cast<std::size_t>(i); }

double sum(const Mass& mass) { return std::accumulate(mass.begin(), mass.end(), 0.0); }

double together(const Mass& mass, const std::vector<double>& minutes) {
  return std::inner_product(mass.begin(), mass.end(), minutes.begin(), 0.0);
}

// The masses to 40 bits, what stands ready, what was done.
std::string key_of(const std::vector<double>& mass, const Held& held, std::uint32_t done) {
  std::string out;
  out.reserve(mass.size() * sizeof(double) + 12);
  const auto append = [&](const auto& value) {
    char bytes[sizeof(value)];
    std::memcpy(bytes, &value, sizeof(value));
    out.append(bytes, sizeof(value));
  };
  for (const double m : mass) {
    std::uint64_t bits = 0;
    std::memcpy(&bits, &m, sizeof(bits));
    append((bits + 0x800U) >> 12);
  }
  append(static_cast<std::int32_t>(held.standing));
  append(held.beside);
  append(done);
  return out;
}

std::uint32_t bits_of(const std::vector<char>& done) {
  std::uint32_t out = 0;
  for (std::size_t i = 0; i < done.size(); ++i)
    if (done[i]) out |= 1U << i;
  return out;
}

}  // namespace

std::vector<double> after_repair(const RepairChoice& repair, const std::vector<double>& mass) {
  std::vector<double> out(mass.size(), 0.0);
  for (std::size_t h = 0; h < mass.size(); ++h)
    if (repair.leaves[h] != kFixed) out[at(repair.leaves[h])] += mass[h];
  return out;
}

class ExactOptimum::Search {
 public:
  Search(const DecisionModel& model, const std::vector<Setup>& setups, Bounds bounds)
      : model_(model), shop_(setups), bounds_(bounds), count_(model.mass.size()) {
    if (count_ > kMost) throw std::length_error("too many hypotheses for the exact optimum");
    find_ends();
  }

  double value(const Outlook& outlook) {
    const State state = state_of(outlook);
    return value(state, known_of(state), kInfinity);
  }

  Choice first(const Outlook& outlook) {
    const State state = state_of(outlook);
    Choice out{Choice::Kind::hand_on, -1, handed_on(state.mass)};
    for (const Way& way : ways(state, 0.0, kInfinity)) {
      const double found = follow(way, out.minutes);
      if (found < out.minutes) out = {way.kind, way.index, found};
    }
    return out;
  }

  Outlook beginning() const {
    return {model_.mass, model_.held, std::vector<char>(model_.checks.size(), 0)};
  }
  std::size_t beliefs() const { return memo_.size(); }

 private:
  struct State {
    Mass mass;
    Held held;
    std::uint32_t done = 0;
  };
  struct Known {
    double minutes = 0.0;  // a bound, until it is exact
    double shown = 0.0;    // a bound for whoever is shown every check for nothing
    bool exact = false;
  };
  struct Then {
    State state;
    Known* known;  // stays where it is when the memo grows
  };
  struct Way {
    Choice::Kind kind = Choice::Kind::check;
    int index = -1;
    double minutes = 0.0;  // of the step, times mass
    double floor = 0.0;    // with the least that must follow
    std::vector<Then> then;
  };

  State state_of(const Outlook& outlook) const {
    return {outlook.mass, outlook.held, bits_of(outlook.done)};
  }

  Known& known_of(const State& state) {
    const auto [found, fresh] =
        memo_.try_emplace(key_of(state.mass, state.held, state.done), Known{});
    if (fresh && bounds_ == Bounds::admissible)
      found->second.minutes = found->second.shown = least_when_all_is_shown(state);
    return found->second;
  }

  // The value when it is below `limit`; else some bound of it that is not below `limit`.
  double value(const State& state, Known& known, double limit) {
    if (known.exact || known.minutes >= limit) return known.minutes;
    double best = std::min(limit, handed_on(state.mass));
    for (const Way& way : ways(state, known.shown, best)) best = std::min(best, follow(way, best));
    known.minutes = best;
    known.exact = best < limit;
    return best;
  }

  // The value of a way when it is below `limit`; else something that is not.
  double follow(const Way& way, double limit) {
    // What is known of one outcome may grow while another is looked at.
    std::vector<double> before;
    double floor = way.minutes;
    for (const Then& then : way.then) {
      before.push_back(then.known->minutes);
      floor += before.back();
    }
    if (bounds_ == Bounds::none) limit = kInfinity;
    for (std::size_t i = 0; i < way.then.size(); ++i) {
      if (floor >= limit) return kInfinity;
      Known& known = *way.then[i].known;
      floor += value(way.then[i].state, known, limit - (floor - before[i])) - before[i];
      if (!known.exact) return kInfinity;  // said outright: a sum may be rounded below the limit
    }
    return floor;
  }

  // The cheapest end of each hypothesis for somebody who knows it: a chain of repairs, or handing
  // on at any point of it. Nobody who has to find out pays less. And what a first step that
  // concerns it, or that fails, costs more than that: its regret.
  void find_ends() {
    ends_ = model_.handing_on;
    for (bool better = true; better;) {
      better = false;
      for (const RepairChoice& repair : model_.repairs)
        for (std::size_t h = 0; h < count_; ++h) {
          const int left = repair.leaves[h];
          if (left == static_cast<int>(h)) continue;
          const double way = repair.minutes + (left == kFixed ? 0.0 : ends_[at(left)]);
          if (way >= ends_[h]) continue;
          ends_[h] = way;
          better = true;
        }
    }
    for (const RepairChoice& repair : model_.repairs) {
      Row regret{}, stays{};
      for (std::size_t h = 0; h < count_; ++h) {
        const int left = repair.leaves[h];
        regret[h] =
            std::max(0.0, repair.minutes + (left == kFixed ? 0.0 : ends_[at(left)]) - ends_[h]);
        stays[h] = left == static_cast<int>(h) ? 1.0 : 0.0;
      }
      regrets_.push_back(regret);
      stays_.push_back(stays);
    }
    for (std::size_t h = 0; h < count_; ++h)
      regret_of_handing_on_[h] = model_.handing_on[h] - ends_[h];
    for (const CheckChoice& check : model_.checks) {
      rows_.emplace_back();
      for (const std::vector<double>& outcome : check.outcomes)
        rows_.back().push_back(row_of(outcome));
    }
  }

  double if_known(const Mass& mass) const { return together(mass, ends_); }
  double handed_on(const Mass& mass) const { return together(mass, model_.handing_on); }

  // A bound: every check not done is shown for nothing. What they will show is drawn beforehand.
  // Where two hypotheses show the same sheet everything happens alike in both, until a step ends or
  // changes one of them; every step before that costs both. So each sheet by itself pays the
  // regrets of the best order of steps for what is left of it.
  double least_when_all_is_shown(const State& state) {
    std::vector<std::size_t> open;
    for (std::size_t c = 0; c < model_.checks.size(); ++c)
      if (!((state.done >> c) & 1U)) open.push_back(c);
    return if_known(state.mass) + over_sheets(open, 0, row_of(state.mass));
  }

  double over_sheets(const std::vector<std::size_t>& open, std::size_t from,
                     const Row& mass) const {
    if (from == open.size()) return regret(mass, kStepsOfBound);
    if (dot(mass, regret_of_handing_on_) <= kTooLittle) return 0.0;
    double out = 0.0;
    for (const Row& outcome : rows_[open[from]]) {
      Row then;
      for (std::size_t h = 0; h < kMost; ++h) then[h] = mass[h] * outcome[h];
      out += over_sheets(open, from + 1, then);
    }
    return out;
  }

  // The least regret of `mass` when nothing more is shown, `steps` deep: never too much.
  double regret(const Row& mass, int steps) const {
    double out = dot(mass, regret_of_handing_on_);
    if (out <= kTooLittle) return 0.0;
    for (std::size_t r = 0; r < regrets_.size(); ++r) {
      double here = dot(mass, regrets_[r]);
      if (here >= out) continue;
      if (steps > 1) {
        Row left;
        double any = 0.0;
        for (std::size_t h = 0; h < kMost; ++h) {
          left[h] = mass[h] * stays_[r][h];
          any += mass[h] - left[h];
        }
        if (any <= 0.0) continue;
        here += regret(left, steps - 1);
      }
      out = std::min(out, here);
    }
    return out;
  }

  double dot(const Row& a, const Row& b) const {
    double out = 0.0;
    for (std::size_t h = 0; h < count_; ++h) out += a[h] * b[h];
    return out;
  }

  Row row_of(const std::vector<double>& from) const {
    Row out{};
    std::copy(from.begin(), from.end(), out.begin());
    return out;
  }

  Mass shown(const Mass& mass, const std::vector<double>& outcome) const {
    Mass out = mass;
    for (std::size_t h = 0; h < count_; ++h) out[h] *= outcome[h];
    return out;
  }

  // What may be done and can cost less than `limit`, best bound first. `least` is Known::shown.
  std::vector<Way> ways(const State& state, double least, double limit) {
    std::vector<Way> out;
    const double mass = sum(state.mass);
    const auto add = [&](Way way, std::vector<State> states) {
      way.floor = way.minutes;
      for (State& then : states) {
        if (sum(then.mass) <= 0.0) continue;
        Known& known = known_of(then);
        way.floor += known.minutes;
        way.then.push_back({std::move(then), &known});
      }
      if (way.floor < limit || bounds_ == Bounds::none) out.push_back(std::move(way));
    };
    for (std::size_t c = 0; c < model_.checks.size(); ++c) {
      if ((state.done >> c) & 1U) continue;
      const CheckChoice& check = model_.checks[c];
      const double minutes = mass * (check.minutes + shop_.minutes(state.held, check.setup));
      // To be shown one check for nothing is no better than to be shown all.
      if (bounds_ == Bounds::admissible && minutes + least >= limit) continue;
      const Held held = shop_.with(state.held, check.setup);
      std::vector<State> states;
      for (const std::vector<double>& outcome : check.outcomes)
        states.push_back({shown(state.mass, outcome), held, state.done | (1U << c)});
      add({Choice::Kind::check, static_cast<int>(c), minutes, 0.0, {}}, std::move(states));
    }
    for (std::size_t r = 0; r < model_.repairs.size(); ++r) {
      const RepairChoice& repair = model_.repairs[r];
      State then{after_repair(repair, state.mass), model_.after_repair, state.done};
      const double minutes = mass * repair.minutes;
      if (then.mass == state.mass) continue;
      if (bounds_ == Bounds::admissible && minutes + if_known(then.mass) >= limit) continue;
      add({Choice::Kind::repair, static_cast<int>(r), minutes, 0.0, {}}, {std::move(then)});
    }
    std::sort(out.begin(), out.end(), [](const Way& a, const Way& b) {
      if (a.floor != b.floor) return a.floor < b.floor;
      return a.kind != b.kind ? a.kind < b.kind : a.index < b.index;
    });
    return out;
  }

  const DecisionModel& model_;
  Shop shop_;
  Bounds bounds_;
  std::size_t count_;                 // of hypotheses
  std::vector<double> ends_;          // by hypothesis
  std::vector<Row> regrets_, stays_;  // by repair
  Row regret_of_handing_on_{};
  std::vector<std::vector<Row>> rows_;  // by check and outcome: P(outcome | hypothesis)
  std::unordered_map<std::string, Known> memo_;
};

ExactOptimum::ExactOptimum(const DecisionModel& model, const std::vector<Setup>& setups,
                           Bounds bounds)
    : search_(std::make_unique<Search>(model, setups, bounds)) {}

ExactOptimum::~ExactOptimum() = default;

double ExactOptimum::minutes() { return minutes(search_->beginning()); }

double ExactOptimum::minutes(const Outlook& outlook) { return search_->value(outlook); }

Choice ExactOptimum::first(const Outlook& outlook) { return search_->first(outlook); }

std::size_t ExactOptimum::beliefs() const { return search_->beliefs(); }

namespace {

class Policy {
 public:
  Policy(const DecisionModel& model, const std::vector<Setup>& setups,
         const LookAheadLimits& limits)
      : model_(model), shop_(setups), limits_(limits) {}

  double minutes(const Outlook& outlook) {
    const std::string key = key_of(outlook.mass, outlook.held, bits_of(outlook.done));
    const auto known = memo_.find(key);
    if (known != memo_.end()) return known->second;
    const Choice choice = choices_at(model_, outlook, limits_).front();
    double out = 0.0;
    if (choice.kind == Choice::Kind::hand_on) {
      out = together(outlook.mass, model_.handing_on);
    } else if (choice.kind == Choice::Kind::repair) {
      const RepairChoice& repair = model_.repairs[at(choice.index)];
      out = repair.minutes +
            then({after_repair(repair, outlook.mass), model_.after_repair, outlook.done});
    } else {
      const CheckChoice& check = model_.checks[at(choice.index)];
      out = check.minutes + shop_.minutes(outlook.held, check.setup);
      for (const std::vector<double>& outcome : check.outcomes) {
        Outlook next{outlook.mass, shop_.with(outlook.held, check.setup), outlook.done};
        for (std::size_t h = 0; h < next.mass.size(); ++h) next.mass[h] *= outcome[h];
        next.done[at(choice.index)] = 1;
        out += then(std::move(next));
      }
    }
    memo_.emplace(key, out);
    return out;
  }

  std::size_t steps() const { return memo_.size(); }

 private:
  double then(Outlook outlook) {
    const double left = sum(outlook.mass);
    if (left <= 0.0) return 0.0;
    for (double& m : outlook.mass) m /= left;
    return left * minutes(outlook);
  }

  const DecisionModel& model_;
  Shop shop_;
  LookAheadLimits limits_;
  std::unordered_map<std::string, double> memo_;
};

}  // namespace

PolicyCost policy_minutes(const DecisionModel& model, const std::vector<Setup>& setups,
                          const LookAheadLimits& limits) {
  Policy policy(model, setups, limits);
  PolicyCost out;
  out.minutes = policy.minutes({model.mass, model.held, std::vector<char>(model.checks.size(), 0)});
  out.steps = policy.steps();
  return out;
}

}  // namespace perrev::testing
