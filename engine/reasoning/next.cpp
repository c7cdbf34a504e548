#include "engine/reasoning/next.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <utility>

namespace perrev {

namespace {

double entropy(const std::vector<double>& shares) {
  double bits = 0.0;
  for (const double p : shares)
    if (p > 0.0) bits -= p * std::log2(p);
  return bits;
}

// Single hypotheses now: the causes, nothing_left, not_listed.
std::vector<double> single_shares(const RuleBase& base, const Ranking& ranking) {
  std::vector<double> shares(base.causes.size() + 2, 0.0);
  double total = ranking.nothing_left + ranking.not_listed;
  for (const Ranked& r : ranking.causes)
    total += shares[static_cast<std::size_t>(r.cause)] = r.alone;
  shares[base.causes.size()] = ranking.nothing_left;
  shares[base.causes.size() + 1] = ranking.not_listed;
  for (double& share : shares) share /= total;
  return shares;
}

// P(answer | hypothesis) of one thing that could be learned, by hypothesis.
using Table = std::vector<std::vector<double>>;

class Predictor {
 public:
  Predictor(const Reasoner& reasoner, const CaseFacts& facts, const Ranking& ranking)
      : reasoner_(reasoner),
        base_(reasoner.base()),
        facts_(facts),
        shares_(single_shares(base_, ranking)),
        entropy_(entropy(shares_)) {}

  const std::vector<double>& shares() const { return shares_; }
  double entropy_now() const { return entropy_; }

  // Expected drop in entropy from learning `fact`, and the tables that it rests on.
  double bits(int fact) const {
    double sum = 0.0;
    for (const Table& table : tables(fact)) sum += drop(table);
    return std::min(sum, entropy_);
  }

  std::vector<Table> tables(int fact) const {
    const Fact& of = base_.facts[static_cast<std::size_t>(fact)];
    std::vector<Table> out;
    if (of.kind == FactKind::text) return out;
    for (const Provider* provider : reasoner_.providers())
      for (const int owned : provider->facts(base_))
        if (owned == fact) {
          const Reading* known = facts_.now().find(fact);
          if (known && !known->unsure) return out;
          const ProviderTable table = provider->expect(base_, facts_, fact);
          if (!table.base.empty()) out.push_back(expand(table));
          return out;
        }
    for (int v = of.first_variable; v < of.first_variable + of.variable_count; ++v) {
      const Variable& variable = base_.variables[static_cast<std::size_t>(v)];
      std::vector<int> open;
      for (int slot = 0; slot < variable.slots; ++slot)
        if (facts_.now().answers[static_cast<std::size_t>(variable.first_slot + slot)] < 0)
          open.push_back(slot);
      if (open.empty()) continue;
      out.push_back(variable.size() == 2 && open.size() > 1 ? any_of(v, open)
                                                            : table_of(v, open.front()));
    }
    return out;
  }

  // P(answer | hypothesis) for the next answer at one place.
  Table table_of(int variable, int slot) const {
    const Variable& v = base_.variables[static_cast<std::size_t>(variable)];
    Table out;
    for (std::size_t h = 0; h < shares_.size(); ++h) {
      const int group = h + 1 < shares_.size() && shares_[h] > 0.0
                            ? reasoner_.answers().group_of(static_cast<int>(h), variable)
                            : -1;
      out.push_back(group < 0 ? v.base : conditional(static_cast<int>(h), group, v, slot));
    }
    return out;
  }

  double drop(const Table& table) const {
    const std::size_t answers = table.front().size();
    double after = 0.0;
    std::vector<double> joint(shares_.size());
    for (std::size_t a = 0; a < answers; ++a) {
      double mass = 0.0;
      for (std::size_t h = 0; h < shares_.size(); ++h) mass += joint[h] = shares_[h] * table[h][a];
      if (mass <= 0.0) continue;
      for (double& p : joint) p /= mass;
      after += mass * entropy(joint);
    }
    return std::max(0.0, entropy_ - after);
  }

 private:
  std::vector<double> conditional(int cause, int group, const Variable& v, int slot) const {
    const GroupTable& table = reasoner_.answers().groups(cause)[static_cast<std::size_t>(group)];
    Answers answers = facts_.now().answers;
    const double before = reasoner_.answers().value(table, answers);
    std::vector<double> out;
    for (int a = 0; a < v.size(); ++a) {
      answers[static_cast<std::size_t>(v.first_slot + slot)] = a;
      out.push_back(before > 0.0 ? v.base[static_cast<std::size_t>(a)] *
                                       reasoner_.answers().value(table, answers) / before
                                 : v.base[static_cast<std::size_t>(a)]);
    }
    return out;
  }

  // Two answers at several open places: is any of them a yes?
  Table any_of(int variable, const std::vector<int>& open) const {
    const Variable& v = base_.variables[static_cast<std::size_t>(variable)];
    const double base_none = std::pow(v.base[0], static_cast<double>(open.size()));
    Table out;
    for (std::size_t h = 0; h < shares_.size(); ++h) {
      double none = base_none;
      const int group = h + 1 < shares_.size() && shares_[h] > 0.0
                            ? reasoner_.answers().group_of(static_cast<int>(h), variable)
                            : -1;
      if (group >= 0) {
        const GroupTable& table =
            reasoner_.answers().groups(static_cast<int>(h))[static_cast<std::size_t>(group)];
        Answers answers = facts_.now().answers;
        const double before = reasoner_.answers().value(table, answers);
        for (const int slot : open) answers[static_cast<std::size_t>(v.first_slot + slot)] = 0;
        if (before > 0.0) none = base_none * reasoner_.answers().value(table, answers) / before;
      }
      out.push_back({none, 1.0 - none});
    }
    return out;
  }

  Table expand(const ProviderTable& table) const {
    Table out;
    for (std::size_t h = 0; h < shares_.size(); ++h)
      out.push_back(h < table.by_cause.size() && !table.by_cause[h].empty() ? table.by_cause[h]
                                                                            : table.base);
    return out;
  }

  const Reasoner& reasoner_;
  const RuleBase& base_;
  const CaseFacts& facts_;
  std::vector<double> shares_;
  double entropy_;
};

std::string minutes_text(double minutes) {
  return show_number(minutes) + (minutes == 1.0 ? " minute" : " minutes");
}

// The two causes that the fact sets furthest apart, weighed by how probable they are.
std::string separates(const Predictor& predictor, const RuleBase& base, int fact) {
  const std::vector<Table> tables = predictor.tables(fact);
  double best = 0.0;
  std::pair<int, int> found = {-1, -1};
  const std::vector<double>& shares = predictor.shares();
  std::vector<int> top;
  for (std::size_t c = 0; c < base.causes.size(); ++c) top.push_back(static_cast<int>(c));
  std::sort(top.begin(), top.end(), [&](int a, int b) {
    const double x = shares[static_cast<std::size_t>(a)], y = shares[static_cast<std::size_t>(b)];
    return x != y ? x > y : a < b;
  });
  if (top.size() > 12) top.resize(12);
  for (std::size_t i = 0; i < top.size(); ++i)
    for (std::size_t j = i + 1; j < top.size(); ++j) {
      const std::size_t a = static_cast<std::size_t>(top[i]), b = static_cast<std::size_t>(top[j]);
      double apart = 0.0;
      for (const Table& table : tables)
        for (std::size_t k = 0; k < table[a].size(); ++k)
          apart += std::abs(table[a][k] - table[b][k]);
      apart *= std::sqrt(shares[a] * shares[b]);
      if (apart > best + 1e-12) {
        best = apart;
        found = {top[i], top[j]};
      }
    }
  if (found.first < 0) return {};
  return "tells \"" + base.causes[static_cast<std::size_t>(found.first)].name + "\" from \"" +
         base.causes[static_cast<std::size_t>(found.second)].name + "\"";
}

}  // namespace

NextSteps next_steps(const Reasoner& reasoner, const CaseFacts& facts, const Ranking& ranking,
                     const Offers& offers) {
  const RuleBase& base = reasoner.base();
  const Predictor predictor(reasoner, facts, ranking);
  NextSteps out;
  std::vector<double> bits_of(base.facts.size(), -1.0);
  const auto bits = [&](int fact) {
    double& known = bits_of[static_cast<std::size_t>(fact)];
    if (known < 0.0) known = is_asked(base, facts.now(), fact) ? predictor.bits(fact) : 0.0;
    return known;
  };
  for (const int c : offers.checks) {
    const Check& check = base.checks[static_cast<std::size_t>(c)];
    NextCheck next{c, 0.0, check.minutes, -1, {}};
    if (check.setup >= 0)
      next.minutes += base.setups[static_cast<std::size_t>(check.setup)].minutes;
    double most = -1.0;
    for (const int fact : check.learns) {
      const double here = bits(fact);
      next.bits += here;
      if (here > most) {
        most = here;
        next.fact = fact;
      }
    }
    next.bits = std::min(next.bits, predictor.entropy_now());
    out.checks.push_back(std::move(next));
  }
  std::sort(out.checks.begin(), out.checks.end(), [&](const NextCheck& a, const NextCheck& b) {
    const double x = a.bits / a.minutes, y = b.bits / b.minutes;
    if (x != y) return x > y;
    return base.checks[static_cast<std::size_t>(a.check)].id <
           base.checks[static_cast<std::size_t>(b.check)].id;
  });
  for (std::size_t i = 0; i < out.checks.size(); ++i) {
    NextCheck& next = out.checks[i];
    char shown[32];
    std::snprintf(shown, sizeof shown, "%.2f", next.bits);
    const std::string apart = next.fact < 0 ? "" : separates(predictor, base, next.fact);
    next.why = (apart.empty() ? "" : apart + "; ") + std::string("expected to tell ") + shown +
               " bits in " + minutes_text(next.minutes);
  }
  for (std::size_t f = 0; f < base.facts.size(); ++f) {
    const Fact& fact = base.facts[f];
    if (fact.is_asked_at(Asker::write_up) && !facts.now().asked(static_cast<int>(f)) &&
        bits(static_cast<int>(f)) > 0.0)
      out.unanswered.push_back(static_cast<int>(f));
  }
  std::sort(out.unanswered.begin(), out.unanswered.end(), [&](int a, int b) {
    if (bits(a) != bits(b)) return bits(a) > bits(b);
    return base.facts[static_cast<std::size_t>(a)].id < base.facts[static_cast<std::size_t>(b)].id;
  });
  return out;
}

namespace {

// Answers one slot of the latest round (of all rounds, where it lasts with the vehicle); -1 takes
// it back.
void set_answer(const Variable& variable, std::size_t slot, int answer, CaseFacts& facts) {
  facts.rounds.back().answers[slot] = answer;
  if (!variable.lasts_with_vehicle) return;
  facts.vehicle[slot] = answer;
  for (RoundFacts& round : facts.rounds) round.answers[slot] = answer;
}

// The slot of the first place not known yet, else of the first place.
std::size_t open_slot(const Variable& variable, const Answers& answers) {
  const std::size_t first = static_cast<std::size_t>(variable.first_slot);
  for (std::size_t slot = first; slot < first + static_cast<std::size_t>(variable.slots); ++slot)
    if (answers[slot] < 0) return slot;
  return first;
}

double mass_of_singles(const Ranking& ranking) {
  double mass = ranking.nothing_left + ranking.not_listed;
  for (const Ranked& ranked : ranking.causes) mass += ranked.alone;
  return mass;
}

}  // namespace

std::vector<Outcome> outcomes(const Reasoner& reasoner, const CaseFacts& facts,
                              const Ranking& ranking, int fact, const std::vector<int>& causes,
                              Units units) {
  const RuleBase& base = reasoner.base();
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  std::vector<Outcome> out;
  if (of.kind == FactKind::text) return out;
  for (int v = of.first_variable; v < of.first_variable + of.variable_count; ++v) {
    const Variable& variable = base.variables[static_cast<std::size_t>(v)];
    const std::size_t slot = open_slot(variable, facts.now().answers);
    CaseFacts then = facts;
    set_answer(variable, slot, -1, then);
    const Ranking before = facts.now().answers[slot] < 0 ? ranking : rank(reasoner, then);
    for (int a = variable.answer >= 0 ? 1 : 0; a < variable.size(); ++a) {
      const std::size_t index =
          static_cast<std::size_t>(variable.answer >= 0 ? variable.answer : a);
      Outcome outcome;
      outcome.answer = of.answers.empty() ? base.answer_name(v, a, units) : of.answers[index].id;
      outcome.label = of.answers.empty() ? outcome.answer : of.answers[index].label;
      set_answer(variable, slot, a, then);
      const Ranking after = rank(reasoner, then);
      const double singles = mass_of_singles(after);
      // not_listed answers with the base rate, so how its share moves tells how often the answer
      // comes.
      outcome.probability = variable.base[static_cast<std::size_t>(a)] * before.not_listed /
                            after.not_listed * singles / mass_of_singles(before);
      for (const int cause : causes)
        outcome.causes_after.push_back(after.of(cause).alone / singles);
      out.push_back(std::move(outcome));
    }
  }
  return out;
}

}  // namespace perrev
