// A small rule base to plan drives over: causes that shake on the tires, the driveshaft and the
// engine, manoeuvres that tell some of them apart, checks in the bay that tell others.
#pragma once

#include <string>
#include <vector>

#include "engine/knowledge/load.h"
#include "engine/planning/road_plan.h"

namespace perrev::testing {

// Files of the base; `more_causes` and `more_rules` are added to theirs.
std::vector<SourceFile> road_files(const std::string& more_causes = {},
                                   const std::string& more_rules = {});
RuleBase road_base(const std::string& more_causes = {}, const std::string& more_rules = {});

struct Told {
  std::string fact, value;
  std::string by_instrument;  // of a speed: "gps", "speedometer", or empty
  std::string place = {};
};
// Entries of the road, one a minute.
CaseFile road_case(const std::vector<Told>& told);

// A case with its plan; stays where it is.
struct Drive {
  Drive(const Reasoner& reasoner, const CaseFile& file, Units units = Units::us);
  CaseFacts facts;
  Ranking ranking;
  Offers offers;
  RoadPlan plan;

  // Null where the plan holds none of that id.
  const RoadManoeuvre* find(const std::string& check) const;
  std::vector<std::string> checks() const;      // ids, in the order of the drive
  int suspect(const std::string& cause) const;  // -1 where it is none
  // The line of that name ("tire order 1"); fails where there is none.
  std::size_t line(const std::string& about) const;
  const LinePair* pair(const std::string& one, const std::string& other) const;

 private:
  const RuleBase& base_;
};

// The whole plan, to the last bit of every number.
std::string told_plan(const RoadPlan& plan);

}  // namespace perrev::testing
