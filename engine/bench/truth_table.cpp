#include "engine/bench/truth_table.h"

#include <algorithm>

namespace perrev {

bool TruthTable::always() const { return std::find(yes.begin(), yes.end(), false) == yes.end(); }
bool TruthTable::never() const { return std::find(yes.begin(), yes.end(), true) == yes.end(); }

std::optional<TruthTable> truth_table(const RuleBase& base, const Condition& condition) {
  TruthTable out;
  out.variables = condition.variables();
  if (out.variables.empty()) return std::nullopt;
  std::size_t sheets = 1;
  for (const int v : out.variables) {
    out.sizes.push_back(base.variables[static_cast<std::size_t>(v)].size());
    sheets *= static_cast<std::size_t>(out.sizes.back());
    if (sheets > static_cast<std::size_t>(kLargestGroup)) return std::nullopt;
  }
  std::vector<int> answers(out.variables.size(), 0);
  const auto answer_of = [&](int variable) {
    const auto found = std::lower_bound(out.variables.begin(), out.variables.end(), variable);
    return answers[static_cast<std::size_t>(found - out.variables.begin())];
  };
  for (std::size_t sheet = 0; sheet < sheets; ++sheet) {
    out.yes.push_back(condition.read(answer_of) == Truth::yes);
    for (std::size_t i = 0; i < answers.size() && ++answers[i] == out.sizes[i]; ++i) answers[i] = 0;
  }
  return out;
}

bool implies(const TruthTable& a, const TruthTable& b) {
  for (std::size_t sheet = 0; sheet < a.yes.size(); ++sheet)
    if (a.yes[sheet] && !b.yes[sheet]) return false;
  return true;
}

}  // namespace perrev
