#include "tests/engine/planning/exact_optimum.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <limits>
#include <string>
#include <unordered_map>
#include <utility>

namespace perrev::testing {

namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

std::size_t at(int i) { return static_cast<std::size_t>(i); }

double sum(const std::vector<double>& mass) {
  double out = 0.0;
  for (const double m : mass) out += m;
  return out;
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

std::vector<int> Shop::chain(int setup) const {
  std::vector<int> out;
  for (; setup >= 0; setup = setups_[at(setup)].after) out.push_back(setup);
  return out;
}

std::vector<char> Shop::in_place(const Held& held) const {
  std::vector<char> out(setups_.size(), 0);
  for (const int s : chain(held.standing)) out[at(s)] = 1;
  int beside = 0;
  for (std::size_t s = 0; s < setups_.size(); ++s)
    if (setups_[s].beside) out[s] = static_cast<char>((held.beside >> beside++) & 1U);
  return out;
}

double Shop::minutes(const Held& held, int setup) const {
  const std::vector<char> ready = in_place(held);
  double out = 0.0;
  for (const int s : chain(setup))
    if (!ready[at(s)]) out += setups_[at(s)].minutes;
  return out;
}

Held Shop::with(const Held& held, int setup) const {
  if (setup < 0 || in_place(held)[at(setup)]) return held;
  Held out = held;
  if (!setups_[at(setup)].beside) {
    out.standing = setup;
    return out;
  }
  const auto bit = std::count_if(setups_.begin(), setups_.begin() + setup,
                                 [](const Setup& s) { return s.beside; });
  out.beside |= 1U << bit;
  return out;
}

std::vector<double> after_repair(const RepairChoice& repair, const std::vector<double>& mass) {
  std::vector<double> out(mass.size(), 0.0);
  for (std::size_t h = 0; h < mass.size(); ++h)
    if (repair.leaves[h] != kFixed) out[at(repair.leaves[h])] += mass[h];
  return out;
}

class ExactOptimum::Search {
 public:
  struct State {
    std::vector<double> mass;
    Held held;
    std::uint32_t done = 0;
  };

  Search(const DecisionModel& model, const std::vector<Setup>& setups, Bounds bounds)
      : model_(model), shop_(setups), bounds_(bounds) {
    find_ends();
    find_overlaps();
  }

  // The value when it is below `limit`; else some bound of it that is not below `limit`.
  double value(const State& state, double limit) {
    const double floor = least(state);
    if (floor >= limit) return floor;
    const std::string key = key_of(state.mass, state.held, state.done);
    const auto known = memo_.find(key);
    if (known != memo_.end() && (known->second.exact || known->second.minutes >= limit))
      return known->second.minutes;
    double best = handed_on(state.mass);
    double out = best;  // of bounds, too
    for (const Way& way : ways(state)) {
      const double found = follow(state, way, std::min(limit, best));
      if (found < std::min(limit, best)) best = found;
      out = std::min(out, found);
    }
    memo_[key] = {out, out < limit || best <= out};
    return out;
  }

  Choice first(const State& state) {
    Choice out{Choice::Kind::hand_on, -1, handed_on(state.mass)};
    for (const Way& way : ways(state)) {
      const double found = follow(state, way, out.minutes);
      if (found < out.minutes) out = {way.kind, way.index, found};
    }
    return out;
  }

  State beginning() const { return {model_.mass, model_.held, 0}; }
  std::size_t beliefs() const { return memo_.size(); }

 private:
  struct Way {
    Choice::Kind kind = Choice::Kind::check;
    int index = -1;
    double minutes = 0.0;  // of the step, times mass
    double floor = 0.0;    // with the least that must follow
    double guess = 0.0;    // to try the best first
    std::vector<State> then;
  };
  struct Known {
    double minutes = 0.0;
    bool exact = false;
  };

  // The cheapest end of each hypothesis for somebody who knows it: a chain of repairs, or handing
  // on at any point of it. Nobody who has to find out pays less.
  void find_ends() {
    ends_ = model_.handing_on;
    for (bool better = true; better;) {
      better = false;
      for (const RepairChoice& repair : model_.repairs)
        for (std::size_t h = 0; h < ends_.size(); ++h) {
          const int left = repair.leaves[h];
          if (left == static_cast<int>(h)) continue;
          const double way = repair.minutes + (left == kFixed ? 0.0 : ends_[at(left)]);
          if (way >= ends_[h]) continue;
          ends_[h] = way;
          better = true;
        }
    }
  }

  // What not knowing which of two it is costs at least. Draw beforehand what every check not done
  // would show. Where both hypotheses show the same sheet, everything happens alike in both until
  // the first step that ends or changes one of them: that step costs each of them `regret` more
  // than its own best end, so the smaller mass of the sheet pays both regrets at least. Summed over
  // sheets the smaller masses are at least min(masses) * product over checks of
  // sum min(P(outcome | h), P(outcome | k)).
  void find_overlaps() {
    const std::size_t n = ends_.size();
    overlap_.assign(model_.checks.size(), std::vector<double>(n * n, 0.0));
    for (std::size_t c = 0; c < model_.checks.size(); ++c)
      for (const std::vector<double>& row : model_.checks[c].outcomes)
        for (std::size_t h = 0; h < n; ++h)
          for (std::size_t k = 0; k < n; ++k) overlap_[c][h * n + k] += std::min(row[h], row[k]);
    wrong_.assign(n * n, 0.0);
    for (std::size_t h = 0; h < n; ++h)
      for (std::size_t k = h + 1; k < n; ++k)
        wrong_[h * n + k] = wrong_[k * n + h] = least_regret(h, k);
  }

  double least_regret(std::size_t h, std::size_t k) const {
    const auto regret = [&](std::size_t of, const RepairChoice* repair) {
      if (!repair) return model_.handing_on[of] - ends_[of];
      const int left = repair->leaves[of];
      return repair->minutes + (left == kFixed ? 0.0 : ends_[at(left)]) - ends_[of];
    };
    double out = regret(h, nullptr) + regret(k, nullptr);
    for (const RepairChoice& repair : model_.repairs) {
      // One that touches neither leaves the question open.
      if (repair.leaves[h] == static_cast<int>(h) && repair.leaves[k] == static_cast<int>(k))
        continue;
      out = std::min(out, regret(h, &repair) + regret(k, &repair));
    }
    return std::max(0.0, out);
  }

  double least(const State& state) const {
    if (bounds_ == Bounds::none) return 0.0;
    const std::size_t n = ends_.size();
    double out = 0.0;
    for (std::size_t h = 0; h < n; ++h) out += state.mass[h] * ends_[h];
    // Each hypothesis in one couple at most, so that nothing is counted twice.
    std::vector<char> taken(n, 0);
    for (std::size_t h = 0; h < n; ++h) {
      if (taken[h] || state.mass[h] <= 0.0) continue;
      double most = 0.0;
      std::size_t with = n;
      for (std::size_t k = h + 1; k < n; ++k) {
        if (taken[k] || state.mass[k] <= 0.0 || wrong_[h * n + k] <= 0.0) continue;
        double both = std::min(state.mass[h], state.mass[k]) * wrong_[h * n + k];
        for (std::size_t c = 0; c < overlap_.size() && both > most; ++c)
          if (!((state.done >> c) & 1U)) both *= overlap_[c][h * n + k];
        if (both <= most) continue;
        most = both;
        with = k;
      }
      if (with == n) continue;
      taken[with] = 1;
      out += most;
    }
    return out;
  }

  double handed_on(const std::vector<double>& mass) const {
    double out = 0.0;
    for (std::size_t h = 0; h < mass.size(); ++h) out += mass[h] * model_.handing_on[h];
    return out;
  }

  std::vector<Way> ways(const State& state) const {
    std::vector<Way> out;
    const double mass = sum(state.mass);
    for (std::size_t c = 0; c < model_.checks.size(); ++c) {
      if ((state.done >> c) & 1U) continue;
      const CheckChoice& check = model_.checks[c];
      Way way{Choice::Kind::check, static_cast<int>(c), 0.0, 0.0, 0.0, {}};
      way.minutes = mass * (check.minutes + shop_.minutes(state.held, check.setup));
      for (const std::vector<double>& outcome : check.outcomes) {
        State then{state.mass, shop_.with(state.held, check.setup), state.done | (1U << c)};
        for (std::size_t h = 0; h < then.mass.size(); ++h) then.mass[h] *= outcome[h];
        if (sum(then.mass) > 0.0) way.then.push_back(std::move(then));
      }
      out.push_back(std::move(way));
    }
    for (std::size_t r = 0; r < model_.repairs.size(); ++r) {
      const RepairChoice& repair = model_.repairs[r];
      State then{after_repair(repair, state.mass), model_.after_repair, state.done};
      if (then.mass == state.mass) continue;
      Way way{Choice::Kind::repair, static_cast<int>(r), mass * repair.minutes, 0.0, 0.0, {}};
      if (sum(then.mass) > 0.0) way.then.push_back(std::move(then));
      out.push_back(std::move(way));
    }
    for (Way& way : out) {
      way.floor = way.guess = way.minutes;
      for (const State& then : way.then) {
        way.floor += least(then);
        way.guess += guess(then.mass);
      }
    }
    std::sort(out.begin(), out.end(), [](const Way& a, const Way& b) {
      if (a.guess != b.guess) return a.guess < b.guess;
      return a.kind != b.kind ? a.kind < b.kind : a.index < b.index;
    });
    return out;
  }

  // Only to try the best first: the best repair again and again, or handing on.
  double guess(std::vector<double> mass) const {
    double spent = 0.0, out = handed_on(mass);
    for (std::size_t turn = 0; turn < model_.repairs.size(); ++turn) {
      double rate = 0.0;
      std::size_t best = 0;
      for (std::size_t r = 0; r < model_.repairs.size(); ++r) {
        double cured = 0.0;
        for (std::size_t h = 0; h < mass.size(); ++h)
          if (model_.repairs[r].leaves[h] == kFixed) cured += mass[h];
        if (cured <= rate * model_.repairs[r].minutes) continue;
        rate = cured / model_.repairs[r].minutes;
        best = r;
      }
      if (rate <= 0.0) break;
      spent += sum(mass) * model_.repairs[best].minutes;
      mass = after_repair(model_.repairs[best], mass);
      out = std::min(out, spent + handed_on(mass));
    }
    return out;
  }

  double follow(const State&, const Way& way, double limit) {
    double out = bounds_ == Bounds::none ? way.minutes : way.floor;
    for (const State& then : way.then) {
      if (bounds_ == Bounds::none) {
        out += value(then, kInfinity);
        continue;
      }
      if (out >= limit) break;
      const double floor = least(then);
      out += value(then, limit - (out - floor)) - floor;
    }
    return out;
  }

  const DecisionModel& model_;
  Shop shop_;
  Bounds bounds_;
  std::vector<double> ends_;                  // by hypothesis
  std::vector<std::vector<double>> overlap_;  // by check, then by two hypotheses
  std::vector<double> wrong_;                 // by two hypotheses
  std::unordered_map<std::string, Known> memo_;
};

ExactOptimum::ExactOptimum(const DecisionModel& model, const std::vector<Setup>& setups,
                           Bounds bounds)
    : search_(std::make_unique<Search>(model, setups, bounds)) {}

ExactOptimum::~ExactOptimum() = default;

double ExactOptimum::minutes() { return search_->value(search_->beginning(), kInfinity); }

double ExactOptimum::minutes(const Outlook& outlook) {
  return search_->value({outlook.mass, outlook.held, bits_of(outlook.done)}, kInfinity);
}

Choice ExactOptimum::first(const Outlook& outlook) {
  return search_->first({outlook.mass, outlook.held, bits_of(outlook.done)});
}

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
      for (std::size_t h = 0; h < outlook.mass.size(); ++h)
        out += outlook.mass[h] * model_.handing_on[h];
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
