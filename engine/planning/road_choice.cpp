#include "engine/planning/road_choice.h"

#include <algorithm>

namespace perrev {

namespace {

class Set {
 public:
  Set(const std::vector<RoadOption>& options, const std::vector<double>& weights,
      const std::vector<char>& told, const std::vector<double>& setup_minutes)
      : options_(options),
        weights_(weights),
        outside_(told),
        told_(told),
        setup_minutes_(setup_minutes),
        wanted_(weights.size(), kTellsApart),
        paid_(setup_minutes.size(), 0),
        chosen_(options.size(), 0) {
    for (std::size_t p = 0; p < wanted_.size(); ++p)
      for (const RoadOption& option : options)
        wanted_[p] = std::max(wanted_[p], option.apart[p] - kNearBest);
  }

  void take(std::size_t option) {
    chosen_[option] = 1;
    if (options_[option].setup >= 0) paid_[static_cast<std::size_t>(options_[option].setup)] = 1;
    for (std::size_t p = 0; p < told_.size(); ++p)
      if (tells(option, p)) told_[p] = 1;
  }

  // The option that tells most a minute; size() when none tells anything more.
  std::size_t best() const {
    std::size_t out = options_.size();
    double most = 0.0;
    for (std::size_t o = 0; o < options_.size(); ++o) {
      if (chosen_[o]) continue;
      const double here = gain(o) / minutes(o);
      if (here > most ||
          (out < options_.size() && here == most && options_[o].check < options_[out].check)) {
        most = here;
        out = here > 0.0 ? o : out;
      }
    }
    return out;
  }

  // What the rest tells apart as well is not driven for it: the one that tells least first.
  void prune() {
    std::vector<std::size_t> order;
    for (std::size_t o = 0; o < options_.size(); ++o)
      if (chosen_[o] && !options_[o].needed) order.push_back(o);
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      const double x = whole_gain(a) / options_[a].minutes;
      const double y = whole_gain(b) / options_[b].minutes;
      return x != y ? x < y : a < b;
    });
    for (const std::size_t o : order) chosen_[o] = superfluous(o) ? 0 : 1;
  }

  std::vector<std::size_t> chosen() const {
    std::vector<std::size_t> out;
    for (std::size_t o = 0; o < chosen_.size(); ++o)
      if (chosen_[o]) out.push_back(o);
    return out;
  }

 private:
  double minutes(std::size_t option) const {
    const int setup = options_[option].setup;
    const bool pays = setup >= 0 && !paid_[static_cast<std::size_t>(setup)];
    return options_[option].minutes +
           (pays ? setup_minutes_[static_cast<std::size_t>(setup)] : 0.0);
  }

  bool tells(std::size_t option, std::size_t pair) const {
    return !outside_[pair] && options_[option].apart[pair] >= wanted_[pair];
  }

  double gain(std::size_t option) const {
    double out = 0.0;
    for (std::size_t p = 0; p < told_.size(); ++p)
      if (!told_[p] && tells(option, p)) out += weights_[p] * options_[option].apart[p];
    return out;
  }

  double whole_gain(std::size_t option) const {
    double out = 0.0;
    for (std::size_t p = 0; p < weights_.size(); ++p)
      if (tells(option, p)) out += weights_[p] * options_[option].apart[p];
    return out;
  }

  bool superfluous(std::size_t option) const {
    for (std::size_t p = 0; p < weights_.size(); ++p) {
      if (!tells(option, p)) continue;
      bool elsewhere = false;
      for (std::size_t o = 0; o < options_.size(); ++o)
        elsewhere = elsewhere || (o != option && chosen_[o] && tells(o, p));
      if (!elsewhere) return false;
    }
    return true;
  }

  const std::vector<RoadOption>& options_;
  const std::vector<double>& weights_;
  const std::vector<char>& outside_;  // told apart before anything is chosen
  std::vector<char> told_;
  const std::vector<double>& setup_minutes_;
  std::vector<double> wanted_;  // variation, by pair
  std::vector<char> paid_;
  std::vector<char> chosen_;
};

}  // namespace

std::size_t pair_count(std::size_t suspects) {
  return suspects < 2 ? 0 : suspects * (suspects - 1) / 2;
}

std::size_t pair_index(std::size_t first, std::size_t second, std::size_t suspects) {
  return first * suspects - first * (first + 1) / 2 + (second - first - 1);
}

std::vector<std::size_t> choose_manoeuvres(const std::vector<RoadOption>& options,
                                           const std::vector<double>& weights,
                                           const std::vector<char>& told,
                                           const std::vector<double>& setup_minutes) {
  Set set(options, weights, told, setup_minutes);
  for (std::size_t o = 0; o < options.size(); ++o)
    if (options[o].needed) set.take(o);
  for (std::size_t o = set.best(); o < options.size(); o = set.best()) set.take(o);
  set.prune();
  return set.chosen();
}

}  // namespace perrev
