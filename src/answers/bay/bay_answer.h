// What a tool of the bay says, with its limits and the entries that keep it in a case.
//
// JSON, metric whatever the units of the words: tool; sentences; numbers: id with its unit
// (eccentricity_mm), label, text, and value with low and high of its 95 % interval or null; limits:
// fact, ask, text, finding (good, bad, between, or null while the class is open), rows (class,
// good, bad, origin); entries: as in a case without id and at, with what was given under `with`;
// cautions, notes; svg, or null.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "src/answers/bay/bay_tool.h"

namespace perrev {

struct BayFinding {
  int fact = -1;
  std::string text;     // the value for people
  std::string finding;  // good, bad, between; empty: without a limit, or its class is open
  std::vector<BayLimit> rows;
};

struct BayEntry {
  std::string fact, place, value;  // value as in an entry
};

struct BayAnswer {
  BayResult result;
  std::vector<BayFinding> findings;       // of what is fed, in its order
  std::vector<BayEntry> entries;          // those whose place is told, or that need none
  std::vector<std::string> place_needed;  // facts that are not kept as no place is told
  std::map<std::string, std::string>
      with;  // what was given, by field, and `reckoned` by which tool
};

Result<BayAnswer, Problems> bay_answer(const BayTool& tool, const nlohmann::ordered_json& given,
                                       const BayContext& context);

nlohmann::ordered_json to_json(const BayTool& tool, const BayAnswer& answer,
                               const BayContext& context);

}  // namespace perrev
