// Everything that touches a rule, a cause, a fact or a check: in words, and as JSON with stable
// keys.
//
// With a case also why it spoke or did not, what its evidence is, which of its entries counts, or
// whether it may be done now.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "engine/bench/explain_names.h"
#include "engine/reasoning/ranking.h"
#include "src/answers/open_case.h"

namespace perrev {

struct Explainer {
  const Reasoner& reasoner;
  const OpenCase* open = nullptr;  // null: no case
  Units units = Units::us;

  const RuleBase& base() const { return reasoner.base(); }
};

// 80 columns.
std::string explain_text(const Explainer& with, const NamedThing& thing);
nlohmann::ordered_json explain_json(const Explainer& with, const NamedThing& thing);

}  // namespace perrev
