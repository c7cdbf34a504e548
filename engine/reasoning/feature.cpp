#include "engine/reasoning/feature.h"

#include <algorithm>
#include <cmath>

#include "engine/reasoning/offers.h"

namespace perrev {

namespace {

const Provider* owner_of(const Reasoner& reasoner, int fact) {
  for (const Provider* provider : reasoner.providers())
    for (const int owned : provider->facts(reasoner.base()))
      if (owned == fact) return provider;
  return nullptr;
}

LikelihoodTable computed_table(const Reasoner& reasoner, const CaseFacts& facts,
                               const Feature& feature, const std::vector<Hypothesis>& hypotheses) {
  const ProviderTable said = feature.provider->expect(reasoner.base(), facts, feature.fact);
  LikelihoodTable out(said.base.size(), std::vector<double>(hypotheses.size()));
  const auto row = [&](int cause) -> const std::vector<double>& {
    const std::size_t c = static_cast<std::size_t>(cause);
    return cause < 0 || c >= said.by_cause.size() || said.by_cause[c].empty() ? said.base
                                                                              : said.by_cause[c];
  };
  for (std::size_t h = 0; h < hypotheses.size(); ++h) {
    const std::vector<double>& first = row(hypotheses[h].first);
    const std::vector<double>& second =
        hypotheses[h].second < 0 ? first : row(hypotheses[h].second);
    for (std::size_t a = 0; a < out.size(); ++a) out[a][h] = 0.5 * (first[a] + second[a]);
  }
  return out;
}

// Whether any of several places says yes: answers 0 no, 1 yes.
LikelihoodTable any_table(const Reasoner& reasoner, const Feature& feature, const Answers& now,
                          const std::vector<Hypothesis>& hypotheses) {
  const Variable& v = reasoner.base().variables[static_cast<std::size_t>(feature.variable)];
  Answers none = now;
  for (const std::size_t slot : feature.slots) none[slot] = 0;
  const double base = std::pow(v.base[0], static_cast<double>(feature.slots.size()));
  LikelihoodTable out(2, std::vector<double>(hypotheses.size()));
  for (std::size_t h = 0; h < hypotheses.size(); ++h) {
    const double before = value_around(reasoner, hypotheses[h], feature.variable, now);
    double no = base;
    if (before > 0.0) no *= value_around(reasoner, hypotheses[h], feature.variable, none) / before;
    out[0][h] = std::min(1.0, no);
    out[1][h] = 1.0 - out[0][h];
  }
  return out;
}

LikelihoodTable slot_table(const Reasoner& reasoner, const Feature& feature, Answers& answers,
                           const std::vector<Hypothesis>& hypotheses) {
  const Variable& v = reasoner.base().variables[static_cast<std::size_t>(feature.variable)];
  LikelihoodTable out(v.base.size(), std::vector<double>(hypotheses.size()));
  std::vector<double> one(v.base.size());
  for (std::size_t h = 0; h < hypotheses.size(); ++h) {
    prospect(reasoner, hypotheses[h], feature.variable, feature.slots[0], answers, one.data());
    for (std::size_t a = 0; a < out.size(); ++a) out[a][h] = one[a];
  }
  return out;
}

}  // namespace

std::vector<Feature> features_of(const Reasoner& reasoner, const CaseFacts& facts, int fact) {
  const RuleBase& base = reasoner.base();
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  std::vector<Feature> out;
  if (of.kind == FactKind::text || !is_asked(base, facts.now(), fact)) return out;
  if (const Provider* provider = owner_of(reasoner, fact)) {
    const Reading* known = facts.now().find(fact);
    if ((!known || known->unsure) && !provider->expect(base, facts, fact).base.empty())
      out.push_back({fact, -1, {}, provider});
    return out;
  }
  for (int v = of.first_variable; v < of.first_variable + of.variable_count; ++v) {
    const Variable& variable = base.variables[static_cast<std::size_t>(v)];
    Feature made{fact, v, {}, nullptr};
    for (int place = 0; place < variable.slots; ++place) {
      const std::size_t slot = static_cast<std::size_t>(variable.first_slot + place);
      if (facts.now().answers[slot] < 0) made.slots.push_back(slot);
    }
    if (variable.size() > 2 && made.slots.size() > 1)
      made.slots.erase(made.slots.begin() + 1, made.slots.end());
    if (!made.slots.empty()) out.push_back(std::move(made));
  }
  return out;
}

LikelihoodTable table_of(const Reasoner& reasoner, const CaseFacts& facts, const Feature& feature,
                         const std::vector<Hypothesis>& hypotheses) {
  if (feature.provider) return computed_table(reasoner, facts, feature, hypotheses);
  Answers room = facts.now().answers;
  return table_of(reasoner, room, feature, hypotheses);
}

LikelihoodTable table_of(const Reasoner& reasoner, Answers& answers, const Feature& feature,
                         const std::vector<Hypothesis>& hypotheses) {
  return feature.slots.size() > 1 ? any_table(reasoner, feature, answers, hypotheses)
                                  : slot_table(reasoner, feature, answers, hypotheses);
}

double bits_of(const LikelihoodTable& table, const std::vector<double>& mass) {
  double out = 0.0;
  for (const std::vector<double>& row : table) {
    double p = 0.0;
    for (std::size_t h = 0; h < mass.size(); ++h) p += mass[h] * row[h];
    if (p <= 0.0) continue;
    for (std::size_t h = 0; h < mass.size(); ++h)
      if (mass[h] > 0.0 && row[h] > 0.0) out += mass[h] * row[h] * std::log2(row[h] / p);
  }
  return std::max(0.0, out);
}

double bits_of_fact(const Reasoner& reasoner, const CaseFacts& facts, int fact,
                    const std::vector<Hypothesis>& hypotheses, const std::vector<double>& mass) {
  double out = 0.0;
  for (const Feature& feature : features_of(reasoner, facts, fact))
    out += bits_of(table_of(reasoner, facts, feature, hypotheses), mass);
  return out;
}

}  // namespace perrev
