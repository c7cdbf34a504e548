#include "engine/planning/road_watch.h"

#include <algorithm>

#include "engine/planning/road_choice.h"

namespace perrev {

namespace {

constexpr double kAlmost = 0.5;

// Answers that a suspect stands at; none where nothing tells it apart.
std::vector<std::size_t> answers_of(const std::vector<std::vector<double>>& rows,
                                    std::size_t suspect) {
  std::vector<double> more(rows[suspect].size(), 0.0);
  for (const std::vector<double>& other : rows) {
    if (total_variation(rows[suspect], other) < kTellsApart) continue;
    for (std::size_t a = 0; a < more.size(); ++a) more[a] += rows[suspect][a] - other[a];
  }
  const double most = *std::max_element(more.begin(), more.end());
  std::vector<std::size_t> out;
  for (std::size_t a = 0; a < more.size(); ++a)
    if (most > 0.0 && more[a] >= kAlmost * most) out.push_back(a);
  return out;
}

void add(const RuleBase& base, const AnswerTable& table, RoadWatch& watch) {
  if (table.variable < 0) return;
  const Variable& variable = base.variables[static_cast<std::size_t>(table.variable)];
  const bool ticked = variable.answer >= 0;
  const std::size_t first = watch.answers.size();
  for (int a = ticked ? 1 : 0; a < variable.size(); ++a)
    watch.answers.push_back({table.variable, a, {}});
  for (std::size_t s = 0; s < table.rows.size(); ++s)
    for (const std::size_t answer : answers_of(table.rows, s)) {
      watch.tells = true;
      if (!ticked || answer == 1)
        watch.answers[first + (ticked ? 0 : answer)].suspects.push_back(s);
    }
}

}  // namespace

std::vector<RoadWatch> road_watches(const RuleBase& base, const std::vector<AnswerTable>& tables) {
  std::vector<RoadWatch> out;
  for (const AnswerTable& table : tables) {
    if (out.empty() || out.back().fact != table.fact) out.push_back({table.fact, false, 0.0, {}});
    for (const std::vector<double>& one : table.rows)
      for (const std::vector<double>& other : table.rows)
        out.back().apart = std::max(out.back().apart, total_variation(one, other));
    add(base, table, out.back());
  }
  return out;
}

}  // namespace perrev
