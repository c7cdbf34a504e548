// A case as a decision problem: what can be wrong, what checks may show, what repairs cure, and
// what each costs in minutes.
//
// A snapshot of one moment: P(outcome | hypothesis) is taken given what is known now, and checks
// are held independent given the hypothesis while a plan looks ahead; after each real answer the
// model is made anew. Costs are minutes of the shop. A repair costs its labour, its parts in
// minutes and the drive that proves it; after the drive it is known whether the vehicle is right.
// Handing the vehicle on always ends the matter, at a price.
//
// The words follow Heckerman, Breese and Rommelse (1995) and Langseth and Jensen (2003).
#pragma once

#include <vector>

#include "engine/planning/set_ups.h"
#include "engine/reasoning/prospect.h"

namespace perrev {

inline constexpr int kFixed = -1;

struct CheckChoice {
  int check = -1;        // index into RuleBase::checks
  double minutes = 0.0;  // without the set-up
  int setup = -1;
  // P(outcome | hypothesis), by outcome and hypothesis; over the outcomes it sums to one.
  std::vector<std::vector<double>> outcomes;
};

// Whether a check costs next to nothing: a question, with nothing to set up.
inline bool is_question(double minutes, double setup_minutes) {
  return minutes <= 1.0 && setup_minutes <= 0.0;
}

struct RepairChoice {
  std::vector<int> repairs;  // indices into RuleBase::repairs, done together; empty: only proved
  double minutes = 0.0;      // with parts and proof
  std::vector<int> leaves;   // by hypothesis: the one that is left, itself if untouched, or kFixed
};

struct DecisionModel {
  std::vector<Hypothesis> hypotheses;
  std::vector<double> mass;  // probability now; sums to one
  std::vector<CheckChoice> checks;
  std::vector<RepairChoice> repairs;
  std::vector<double> handing_on;  // by hypothesis: minutes when the vehicle is handed on
  SetUps set_ups{{}};
  Held held;          // what stands ready now
  Held after_repair;  // and after a repair with its proof
};

}  // namespace perrev
