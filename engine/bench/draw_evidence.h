// Causes and their evidence drawn: facts, the rules that read them, the causes they speak of.
#pragma once

#include "engine/bench/draw.h"
#include "engine/reasoning/ranking.h"

namespace perrev {

struct EvidencePen {
  const Reasoner& reasoner;
  const CaseFacts* facts = nullptr;  // null: no case. Else how all stands in its latest round
  Units units = Units::us;

  const RuleBase& base() const { return reasoner.base(); }
};

// Families, their causes, and how many rules speak of each.
Drawing draw_families(const EvidencePen& pen);
// Facts of the rules on one cause, the rules, the cause.
Drawing draw_cause(const EvidencePen& pen, int cause);
// Causes of a family with the facts that say most of each, by the strongest rule between the two.
Drawing draw_family(const EvidencePen& pen, int family);
// These facts, the rules that read any of them with what else those read, and their causes.
Drawing draw_facts(const EvidencePen& pen, const std::vector<int>& facts, const std::string& title);

}  // namespace perrev
