// A small rule base with a cause for each way to shake, and the facts that the arithmetic of
// rotating parts reads.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"
#include "engine/reasoning/provider.h"
#include "engine/vehicle/rotation.h"

namespace perrev::testing {

RuleBase base_of_shakes();
// The same, made once.
const RuleBase& shaking_rules();

// The value "unsure" is the answer unsure.
struct BayEntry {
  std::string fact;
  std::vector<std::string> values;
  std::string place;
  std::map<std::string, std::string> with;
};
CaseFacts facts_from(const RuleBase& base, const std::vector<BayEntry>& told);

// Of a case of shaking_rules().
CaseFacts facts_from(const std::vector<BayEntry>& told);
// A rear-driven car at a satellite speed, with rpm read.
std::vector<BayEntry> rear_driven_car();
std::vector<OrderLine> lines_of(const CaseFacts& facts);
// Of that source and order; all zero where there is none.
Estimate line_of(const std::vector<OrderLine>& lines, const std::string& source, double order);
double weight_of(const ProviderWeights& said, const std::string& cause);
std::string hz_text(double hz);

}  // namespace perrev::testing
