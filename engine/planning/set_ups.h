// What stands ready, and what it takes to get the next thing ready.
//
// Set-ups are trees: one that comes `after` another is built on it. The vehicle stands in one way
// at a time, so what is held is one node of a tree with everything below it; going on to a set-up
// on another branch keeps what the two share and loses the rest. Going back to a set-up that the
// held one is built on costs nothing and loses nothing. Set-ups that are `beside` the others stay
// once they are there.
#pragma once

#include <cstdint>
#include <vector>

#include "engine/knowledge/rule_base.h"

namespace perrev {

struct Held {
  int standing = -1;         // index into RuleBase::setups, -1: nothing
  std::uint32_t beside = 0;  // bit i: the i-th set-up that is beside others

  bool operator==(const Held& o) const { return standing == o.standing && beside == o.beside; }
};

class SetUps {
 public:
  explicit SetUps(const std::vector<Setup>& setups);

  // Minutes until `setup` stands ready; 0 for -1, which needs nothing.
  double minutes(const Held& held, int setup) const;
  Held with(const Held& held, int setup) const;

 private:
  bool is_below(int low, int high) const;  // low is high, or high is built on it

  struct One {
    double minutes;
    int after;
    int bit;  // of Held::beside; -1 for those that stand
  };
  std::vector<One> setups_;
};

}  // namespace perrev
