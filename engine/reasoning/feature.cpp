#include "engine/reasoning/feature.h"

#include <algorithm>
#include <cmath>

#include "engine/reasoning/offers.h"

namespace perrev {

namespace {

// What one cause makes of a variable that a provider owns: by the provider, else by the rules.
struct Said {
  std::vector<double> answers;
  double known = 1.0;  // P(what the provider's facts say | cause) / P(the same | not listed)
};

Said said_of(const Reasoner& reasoner, const Feature& feature, const std::vector<double>& by_rules,
             int cause, Answers& answers) {
  const ProviderTable& table = feature.computed;
  const std::size_t c = static_cast<std::size_t>(cause);
  if (c < table.by_cause.size() && !table.by_cause[c].empty())
    return {table.by_cause[c], table.known.empty() ? 1.0 : std::exp(table.known[c])};
  const double known = by_rules.empty() ? 1.0 : std::exp(by_rules[c]);
  if (!table.edges.empty()) return {table.base, known};
  const std::size_t slot = static_cast<std::size_t>(
      reasoner.base().variables[static_cast<std::size_t>(feature.variable)].first_slot);
  return {prospect(reasoner, {cause, -1}, feature.variable, slot, answers), known};
}

LikelihoodTable computed_table(const Reasoner& reasoner, const CaseFacts& facts,
                               const Feature& feature, const std::vector<Hypothesis>& hypotheses) {
  const RuleBase& base = reasoner.base();
  const ProviderTable& table = feature.computed;
  Answers answers = facts.now().answers;
  const std::vector<double> by_rules =
      table.known.empty() ? std::vector<double>{}
                          : owned_log_weights(reasoner, *feature.provider, answers);
  std::vector<Said> said(base.causes.size());
  const auto of = [&](int cause) -> const Said& {
    Said& made = said[static_cast<std::size_t>(cause)];
    if (made.answers.empty()) made = said_of(reasoner, feature, by_rules, cause, answers);
    return made;
  };
  const auto modelled = [&](int cause) {
    const std::size_t c = static_cast<std::size_t>(cause);
    return c < table.by_cause.size() && !table.by_cause[c].empty();
  };
  LikelihoodTable out(table.base.size(), std::vector<double>(hypotheses.size()));
  for (std::size_t h = 0; h < hypotheses.size(); ++h) {
    const auto [first, second] = hypotheses[h];
    const auto put = [&](const std::vector<double>& answers_of) {
      for (std::size_t a = 0; a < out.size(); ++a) out[a][h] = answers_of[a];
    };
    if (first < 0) {
      put(table.base);
    } else if (first == base.nothing_left() ||
               (second >= 0 && !modelled(first) && !modelled(second))) {
      const std::size_t slot = static_cast<std::size_t>(
          base.variables[static_cast<std::size_t>(feature.variable)].first_slot);
      put(table.edges.empty() ? prospect(reasoner, hypotheses[h], feature.variable, slot, answers)
                              : table.base);
    } else if (second < 0) {
      put(of(first).answers);
    } else {
      const Said &one = of(first), &other = of(second);
      const double both = one.known + other.known;
      for (std::size_t a = 0; a < out.size(); ++a)
        out[a][h] = both > 0.0
                        ? (one.known * one.answers[a] + other.known * other.answers[a]) / both
                        : table.base[a];
    }
  }
  return out;
}

// One variable with what is known of it: P(answer | hypothesis), read from the rows of the answer
// model where nothing else has a say in it.
class Asked {
 public:
  Asked(const Reasoner& reasoner, const Feature& feature, Answers& answers)
      : reasoner_(reasoner),
        model_(reasoner.answers()),
        variable_(feature.variable),
        of_(reasoner.base().variables[static_cast<std::size_t>(feature.variable)]),
        slots_(feature.slots),
        answers_(answers),
        tied_(model_.tied(feature.variable)) {}

  // What each answer at the slot is worth.
  void each(const std::vector<Hypothesis>& hypotheses, LikelihoodTable& out) const {
    std::vector<double> one(of_.base.size());
    for (std::size_t h = 0; h < hypotheses.size(); ++h) {
      if (!by_row(hypotheses[h])) {
        prospect(reasoner_, hypotheses[h], variable_, slots_[0], answers_, one.data());
        for (std::size_t a = 0; a < one.size(); ++a) out[a][h] = one[a];
        continue;
      }
      const std::size_t cause = static_cast<std::size_t>(hypotheses[h].first);
      if (of_.slots == 1) {
        for (std::size_t a = 0; a < one.size(); ++a) out[a][h] = of_.base[a] * row(a)[cause];
        continue;
      }
      const double before = known(cause);
      for (std::size_t a = 0; a < one.size(); ++a)
        out[a][h] = of_.base[a] * (before > 0.0 ? (before - 1.0 + row(a)[cause]) / before : 1.0);
    }
  }

  // That none of the slots says yes, then that some does.
  void any(const std::vector<Hypothesis>& hypotheses, LikelihoodTable& out) const {
    Answers none = answers_;
    for (const std::size_t slot : slots_) none[slot] = 0;
    const double open = static_cast<double>(slots_.size());
    const double base = std::pow(of_.base[0], open);
    for (std::size_t h = 0; h < hypotheses.size(); ++h) {
      double before, after;
      if (by_row(hypotheses[h])) {
        const std::size_t cause = static_cast<std::size_t>(hypotheses[h].first);
        before = known(cause);
        after = before + open * (row(0)[cause] - 1.0);
      } else {
        before = value_around(reasoner_, hypotheses[h], variable_, answers_);
        after = value_around(reasoner_, hypotheses[h], variable_, none);
      }
      out[0][h] = std::min(1.0, before > 0.0 ? base * after / before : base);
      out[1][h] = 1.0 - out[0][h];
    }
  }

 private:
  bool by_row(const Hypothesis& h) const {
    return h.first >= 0 && h.second < 0 && !tied_[static_cast<std::size_t>(h.first)];
  }
  const double* row(std::size_t answer) const {
    return model_.row(variable_, static_cast<int>(answer));
  }
  // The sum over the places; an open one counts 1.
  double known(std::size_t cause) const {
    double out = 0.0;
    for (int slot = of_.first_slot; slot < of_.first_slot + of_.slots; ++slot) {
      const int answer = answers_[static_cast<std::size_t>(slot)];
      out += answer < 0 ? 1.0 : row(static_cast<std::size_t>(answer))[cause];
    }
    return out;
  }

  const Reasoner& reasoner_;
  const AnswerModel& model_;
  int variable_;
  const Variable& of_;
  const std::vector<std::size_t>& slots_;
  Answers& answers_;
  const char* tied_;
};

}  // namespace

std::vector<Feature> features_of(const Reasoner& reasoner, const CaseFacts& facts, int fact,
                                 Asker by) {
  const RuleBase& base = reasoner.base();
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  std::vector<Feature> out;
  if (of.kind == FactKind::text || !is_asked(base, facts.now(), fact)) return out;
  const auto may_tell = [&](int place) {
    const Reading* known = facts.now().find(fact, place);
    return !known || known->by < by;
  };
  if (const Provider* provider = reasoner.owner_of(fact)) {
    for (int v = of.first_variable; v < of.first_variable + of.variable_count; ++v) {
      if (!may_tell(-1)) continue;
      ProviderTable table = provider->expect(base, facts, v);
      const Variable& variable = base.variables[static_cast<std::size_t>(v)];
      const bool known = facts.now().answers[static_cast<std::size_t>(variable.first_slot)] >= 0;
      if (table.base.empty() || (known && table.edges.empty())) continue;
      out.push_back({fact, v, {}, provider, std::move(table)});
    }
    return out;
  }
  for (int v = of.first_variable; v < of.first_variable + of.variable_count; ++v) {
    const Variable& variable = base.variables[static_cast<std::size_t>(v)];
    if (variable.size() < 2) continue;
    Feature made{fact, v, {}, nullptr, {}};
    for (int place = 0; place < variable.slots; ++place) {
      const std::size_t slot = static_cast<std::size_t>(variable.first_slot + place);
      if (facts.now().answers[slot] >= 0) continue;
      if (may_tell(of.per == Per::vehicle_case ? -1 : place)) made.slots.push_back(slot);
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

namespace {

void fill(const Reasoner& reasoner, Answers& answers, const Feature& feature,
          const std::vector<Hypothesis>& hypotheses, LikelihoodTable& out) {
  out.resize(reasoner.base().variables[static_cast<std::size_t>(feature.variable)].base.size());
  for (std::vector<double>& row : out) row.resize(hypotheses.size());
  const Asked asked(reasoner, feature, answers);
  feature.slots.size() > 1 ? asked.any(hypotheses, out) : asked.each(hypotheses, out);
}

}  // namespace

LikelihoodTable table_of(const Reasoner& reasoner, Answers& answers, const Feature& feature,
                         const std::vector<Hypothesis>& hypotheses) {
  LikelihoodTable out;
  fill(reasoner, answers, feature, hypotheses, out);
  return out;
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

Telling::Telling(const Reasoner& reasoner, const CaseFacts& facts,
                 const std::vector<Hypothesis>& hypotheses, const std::vector<double>& mass)
    : reasoner_(reasoner),
      facts_(facts),
      hypotheses_(hypotheses),
      mass_(mass),
      answers_(facts.now().answers) {}

const LikelihoodTable& Telling::table(const Feature& feature) {
  if (feature.provider)
    table_ = computed_table(reasoner_, facts_, feature, hypotheses_);
  else
    fill(reasoner_, answers_, feature, hypotheses_, table_);
  return table_;
}

double Telling::bits(int fact, Asker by) {
  double out = 0.0;
  for (const Feature& feature : features_of(reasoner_, facts_, fact, by))
    out += bits_of(table(feature), mass_);
  return out;
}

double Telling::bits(const Check& check) {
  double out = 0.0;
  for (const int fact : check.learns) out += bits(fact, check.by);
  return out;
}

double Telling::spread(const Check& check) {
  double out = 0.0;
  for (const int fact : check.learns)
    for (const Feature& feature : features_of(reasoner_, facts_, fact, check.by))
      for (const std::vector<double>& row : table(feature)) {
        double p = 0.0, squares = 0.0;
        for (std::size_t h = 0; h < mass_.size(); ++h) p += mass_[h] * row[h];
        if (p <= 0.0) continue;
        for (std::size_t h = 0; h < mass_.size(); ++h)
          squares += mass_[h] * (row[h] - p) * (row[h] - p);
        out += squares / p;
      }
  return out;
}

}  // namespace perrev
