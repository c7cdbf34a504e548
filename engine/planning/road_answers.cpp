#include "engine/planning/road_answers.h"

#include <cmath>

#include "engine/reasoning/feature.h"

namespace perrev {

std::vector<AnswerTable> answers_to_learn(const Reasoner& reasoner, const CaseFacts& facts,
                                          int check, const std::vector<int>& hypotheses) {
  const RuleBase& base = reasoner.base();
  std::vector<Hypothesis> alone;
  for (const int cause : hypotheses) alone.push_back({cause, -1});
  std::vector<AnswerTable> out;
  for (const int fact : base.checks[static_cast<std::size_t>(check)].learns) {
    if (base.facts[static_cast<std::size_t>(fact)].id == "measured_frequency") continue;
    for (const Feature& feature : features_of(reasoner, facts, fact, Asker::road)) {
      AnswerTable table{fact, feature.computed.edges.empty() ? feature.variable : -1, {}};
      table.rows.resize(alone.size());
      for (const std::vector<double>& answer : table_of(reasoner, facts, feature, alone))
        for (std::size_t h = 0; h < alone.size(); ++h) table.rows[h].push_back(answer[h]);
      out.push_back(std::move(table));
    }
  }
  return out;
}

double total_variation(const std::vector<double>& one, const std::vector<double>& other) {
  double sum = 0.0;
  for (std::size_t i = 0; i < one.size(); ++i) sum += std::abs(one[i] - other[i]);
  return 0.5 * sum;
}

}  // namespace perrev
