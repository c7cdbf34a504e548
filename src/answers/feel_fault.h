// Which fault is asked about, in the words of the rule base and of the command line.
//
// A cause has its kind, size, source and order from the rule base; a kind has usual ones. What is
// asked for by name wins.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/knowledge/rule_base.h"
#include "engine/vehicle/rotation.h"
#include "src/answers/fault_kinds.h"

namespace perrev {

struct FeelFault {
  FaultKind kind = FaultKind::imbalance;
  double size = 0.0;  // SI of the kind, above 0
  std::string source = "tire";
  double order = 1.0;
  double front = 0.5;  // probability that it sits at the front axle: 1 and 0 are certain
  ShakesWhile when = ShakesWhile::driving;
  double steer = 1.0, vertical = 1.0;  // as in PhysicsFault
  int cause = -1;
  std::string cause_id;
  std::vector<std::string> notes;  // what was taken for granted
};

struct FaultAsked {
  int cause = -1;
  std::optional<FaultKind> kind;  // one of the two is given
  std::optional<std::string> size;
  std::optional<double> front;  // probability
  std::string source;
  std::optional<double> order;
};

// `where` of a problem's place is the word for what is wrong with: cause, size, source, order.
Result<FeelFault> fault_asked(const RuleBase& base, const FaultAsked& asked,
                              const VehicleFacts& vehicle, Units units);

// Parts that a fault can turn with.
const std::vector<std::string>& fault_sources();

}  // namespace perrev
