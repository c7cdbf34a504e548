// A simulated complaint of one rule base, the world, as another one, the judge, gets to see it.
//
// The world is the truth: it draws what is wrong and every answer, and says what a check, a set-up
// or a repair takes and what a repair cures; the judge says what is asked and done, and what it
// makes of it. Things are the same by their ids. Of a fact that only the judge knows, or that is of
// another kind there, nobody can tell: it is unsure. A number of the world is somewhere in its
// band, and falls into the band of the judge where it is; a reading that is good in the world is
// good to the judge, whatever their limits are. What only the judge knows takes and cures what the
// judge says.
#pragma once

#include <vector>

#include "engine/planning/complaint.h"
#include "engine/planning/planner.h"

namespace perrev {

class SeenComplaint {
 public:
  // Both must outlive it. Where they are one object, nothing is translated.
  SeenComplaint(const Planner& world, const Planner& judge, std::uint64_t seed,
                double corrupted = 0.0);

  // What the judge sees; facts, checks and repairs are its own.
  const CaseFacts& facts() const { return same_ ? complaint_.facts() : seen_; }
  void learn(int check);
  void repair(const std::vector<int>& repairs);
  void lift_stops();

  // In the world.
  const Hypothesis& truth() const { return complaint_.truth(); }
  const Hypothesis& now() const { return complaint_.now(); }
  bool is_right() const { return complaint_.is_right(); }
  // The judge's index of a cause of the world; -1 where it does not know it.
  int cause_of(int cause) const;

  // Minutes of a check with the set-up that it needs, which then stands ready.
  double set_up_and_check(int check);
  // With its set-ups from nothing; and alone.
  double minutes_from_nothing(int check) const;
  double minutes_of_check(int check) const;
  double minutes_of_repair(int repair) const;
  // What the judge takes to stand ready.
  const Held& held() const { return held_; }
  void hold_after_repair();

 private:
  const RuleBase& of_world() const { return world_.reasoner().base(); }
  const RuleBase& of_judge() const { return judge_.reasoner().base(); }
  const Check* check_of_world(int check) const;
  int fact_of_world(int fact) const;
  int answer_of_judge(int variable, int fact, const Reading& reading, std::size_t place) const;
  void see(int fact, int place, Asker by);

  const Planner& world_;
  const Planner& judge_;
  bool same_;
  std::uint64_t seed_;
  Complaint complaint_;
  CaseFacts seen_;
  Held held_, held_in_world_;
};

}  // namespace perrev
