// The probability model by enumeration, written from its definition alone and sharing no code with
// the engine's reasoning: whole tables over every slot, absolute probabilities, sums over all that
// is unknown.
//
//   single cause  its groups: variables that some rule of the cause names together. A sheet of a
//   group has
//                 P ~ product of base rates * product of the strengths of the rules true on it; 0
//                 where a need fails. Read per place: the fault sits at one place, each as likely,
//                 and the others answer with the base rates.
//   pair          groups of both members that share variables are joined. One yes/no that says
//                 `together: any`: P(yes) = 1 - (1-p)(1-q)/(1 - min(b,p,q)), read per place where
//                 both faults sit, one member's rate where one sits; everything else: the mean of
//                 the members' tables. Impossible for one: impossible for both; normalised again. A
//                 pair that has no possible sheet is no hypothesis.
//   not_listed    base rates.
//   rounds        what is present shrinks with each repair; facts of the vehicle count once, and
//   symptoms
//                 of later rounds are taken given them.
#pragma once

#include <map>
#include <utility>
#include <vector>

#include "engine/casefile/casefile.h"
#include "engine/knowledge/rule_base.h"
#include "tests/engine/reasoning/lcg.h"

namespace perrev::testing {

// Answers by slot, -1 unknown: Variable::first_slot + place.
using Sheet = std::vector<int>;

// What the entries come to, read a second time: values, rounds and repairs.
struct KnownRound {
  Sheet answers;               // of this round, and of the vehicle
  std::vector<int> opened_by;  // repairs
};
struct Known {
  std::vector<KnownRound> rounds;
  Sheet vehicle;
  bool stopped = false;
};
Known known_of(const RuleBase& base, const CaseFile& file);

// P(sheet of some slots).
struct JointTable {
  std::vector<int> slots, sizes;
  std::vector<double> p;
  double at(const Sheet& full) const;
  // Sum over all sheets that agree with what is known.
  double marginal(const Sheet& known) const;
};

// Causes that are there at first: one, two; none stands for not_listed.
using Present = std::vector<int>;

struct Belief {
  std::vector<double> alone, present, log_odds;
  std::map<std::pair<int, int>, double> pairs;  // both still there
  double not_listed = 0.0, nothing_left = 0.0;
};

class BruteForce {
 public:
  explicit BruteForce(const RuleBase& base);

  // Singles, possible pairs, not_listed (empty), with their priors.
  const std::vector<Present>& hypotheses() const { return hypotheses_; }
  const std::vector<double>& priors() const { return priors_; }

  // P(answers | exactly these causes); empty: nothing is left.
  double with_causes(const Present& present, const Sheet& answers) const;
  // P(answers | not_listed).
  double with_base(const Sheet& answers) const;
  // P(all rounds | hypothesis) for hypothesis h.
  double evidence(std::size_t h, const Known& known) const;
  // Prior times evidence, normalised.
  std::vector<double> posterior(const Known& known) const;
  Belief belief(const Known& known) const;

  // What is left of hypothesis h in round r.
  Present left(std::size_t h, const Known& known, std::size_t round) const;
  // All answers of a vehicle with exactly these causes (or not_listed), given what `known` says of
  // it.
  Sheet draw(const Present& present, bool not_listed, const Sheet& known, Lcg& random) const;

 private:
  std::vector<JointTable> single(int cause) const;
  JointTable group(int cause, const std::vector<int>& variables) const;
  JointTable component(int a, int b, const std::vector<int>& variables) const;
  double yes_at_fault(int cause, int variable) const;
  bool add_pair(int a, int b);
  double member(int cause, const std::vector<int>& slots, const Sheet& sheet) const;

  const RuleBase& base_;
  std::vector<int> variable_of_;                       // by slot
  std::map<Present, std::vector<JointTable>> tables_;  // {} is nothing_left
  std::vector<std::vector<std::vector<int>>> groups_;  // variables, by cause and nothing_left
  std::vector<Present> hypotheses_;
  std::vector<double> priors_;
};

}  // namespace perrev::testing
