#include "engine/planning/road_answers.h"

#include <cmath>

#include "engine/reasoning/offers.h"

namespace perrev {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

class Forecast {
 public:
  Forecast(const Reasoner& reasoner, const CaseFacts& facts, const std::vector<int>& hypotheses)
      : reasoner_(reasoner), base_(reasoner.base()), facts_(facts), hypotheses_(hypotheses) {}

  void add(int fact, std::vector<AnswerTable>& out) const {
    const Fact& of = base_.facts[at(fact)];
    if (of.kind == FactKind::text || of.id == "measured_frequency" ||
        !is_asked(base_, facts_.now(), fact))
      return;
    if (const Provider* owner = owner_of(fact)) return add_provided(*owner, fact, out);
    for (int v = of.first_variable; v < of.first_variable + of.variable_count; ++v) {
      const std::vector<int> open = open_slots(v);
      if (open.empty()) continue;
      AnswerTable table{fact, v, {}};
      const bool any = base_.variables[at(v)].size() == 2 && open.size() > 1;
      for (const int h : hypotheses_)
        table.rows.push_back(any ? any_of(h, v, open) : answer_at(h, v, open.front()));
      out.push_back(std::move(table));
    }
  }

 private:
  const Provider* owner_of(int fact) const {
    for (const Provider* provider : reasoner_.providers())
      for (const int owned : provider->facts(base_))
        if (owned == fact) return provider;
    return nullptr;
  }

  void add_provided(const Provider& owner, int fact, std::vector<AnswerTable>& out) const {
    const Reading* known = facts_.now().find(fact);
    if (known && !known->unsure) return;
    const ProviderTable made = owner.expect(base_, facts_, fact);
    if (made.base.empty()) return;
    AnswerTable table{fact, -1, {}};
    for (const int h : hypotheses_) {
      const bool modelled = at(h) < made.by_cause.size() && !made.by_cause[at(h)].empty();
      table.rows.push_back(modelled ? made.by_cause[at(h)] : made.base);
    }
    out.push_back(std::move(table));
  }

  std::vector<int> open_slots(int variable) const {
    const Variable& v = base_.variables[at(variable)];
    std::vector<int> out;
    for (int slot = v.first_slot; slot < v.first_slot + v.slots; ++slot)
      if (facts_.now().answers[at(slot)] < 0) out.push_back(slot);
    return out;
  }

  const GroupTable* group_of(int hypothesis, int variable) const {
    const int group = reasoner_.answers().group_of(hypothesis, variable);
    return group < 0 ? nullptr : &reasoner_.answers().groups(hypothesis)[at(group)];
  }

  // P(answer | what is known of the group), from the group's value with and without the answer.
  std::vector<double> answer_at(int hypothesis, int variable, int slot) const {
    const Variable& v = base_.variables[at(variable)];
    const GroupTable* group = group_of(hypothesis, variable);
    if (!group) return v.base;
    Answers answers = facts_.now().answers;
    const double before = reasoner_.answers().value(*group, answers);
    if (before <= 0.0) return v.base;
    std::vector<double> out;
    for (int a = 0; a < v.size(); ++a) {
      answers[at(slot)] = a;
      out.push_back(v.base[at(a)] * reasoner_.answers().value(*group, answers) / before);
    }
    return out;
  }

  std::vector<double> any_of(int hypothesis, int variable, const std::vector<int>& open) const {
    const Variable& v = base_.variables[at(variable)];
    double none = std::pow(v.base[0], static_cast<double>(open.size()));
    if (const GroupTable* group = group_of(hypothesis, variable)) {
      Answers answers = facts_.now().answers;
      const double before = reasoner_.answers().value(*group, answers);
      for (const int slot : open) answers[at(slot)] = 0;
      if (before > 0.0) none *= reasoner_.answers().value(*group, answers) / before;
    }
    return {none, 1.0 - none};
  }

  const Reasoner& reasoner_;
  const RuleBase& base_;
  const CaseFacts& facts_;
  const std::vector<int>& hypotheses_;
};

}  // namespace

std::vector<AnswerTable> answers_to_learn(const Reasoner& reasoner, const CaseFacts& facts,
                                          int check, const std::vector<int>& hypotheses) {
  const Forecast forecast(reasoner, facts, hypotheses);
  std::vector<AnswerTable> out;
  for (const int fact : reasoner.base().checks[at(check)].learns) forecast.add(fact, out);
  return out;
}

double total_variation(const std::vector<double>& one, const std::vector<double>& other) {
  double sum = 0.0;
  for (std::size_t i = 0; i < one.size(); ++i) sum += std::abs(one[i] - other[i]);
  return 0.5 * sum;
}

}  // namespace perrev
