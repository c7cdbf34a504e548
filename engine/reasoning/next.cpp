#include "engine/reasoning/next.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <utility>

#include "engine/reasoning/feature.h"

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

// What can be learned, under the causes alone, nothing_left and not_listed.
class Predictor {
 public:
  Predictor(const Reasoner& reasoner, const CaseFacts& facts, const Ranking& ranking)
      : reasoner_(reasoner),
        facts_(facts),
        shares_(single_shares(reasoner.base(), ranking)),
        entropy_(entropy(shares_)) {
    for (int c = 0; c <= reasoner.base().nothing_left(); ++c) hypotheses_.push_back({c, -1});
    hypotheses_.push_back({});
  }

  const std::vector<double>& shares() const { return shares_; }
  double entropy_now() const { return entropy_; }

  double bits(int fact, Asker by) const {
    return std::min(Telling(reasoner_, facts_, hypotheses_, shares_).bits(fact, by), entropy_);
  }

  std::vector<LikelihoodTable> tables(int fact, Asker by) const {
    std::vector<LikelihoodTable> out;
    for (const Feature& feature : features_of(reasoner_, facts_, fact, by))
      out.push_back(table_of(reasoner_, facts_, feature, hypotheses_));
    return out;
  }

 private:
  const Reasoner& reasoner_;
  const CaseFacts& facts_;
  std::vector<double> shares_;
  double entropy_;
  std::vector<Hypothesis> hypotheses_;  // as shares_
};

std::string minutes_text(double minutes) {
  return show_number(minutes) + (minutes == 1.0 ? " minute" : " minutes");
}

// The two causes that the fact sets furthest apart, weighed by how probable they are.
std::string separates(const Predictor& predictor, const RuleBase& base, int fact, Asker by) {
  const std::vector<LikelihoodTable> tables = predictor.tables(fact, by);
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
      for (const LikelihoodTable& table : tables)
        for (const std::vector<double>& answer : table) apart += std::abs(answer[a] - answer[b]);
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
  std::array<std::vector<double>, 3> bits_of;  // by asker
  bits_of.fill(std::vector<double>(base.facts.size(), -1.0));
  const auto bits = [&](int fact, Asker by) {
    double& known = bits_of[static_cast<std::size_t>(by)][static_cast<std::size_t>(fact)];
    if (known < 0.0) known = predictor.bits(fact, by);
    return known;
  };
  for (const int c : offers.checks) {
    const Check& check = base.checks[static_cast<std::size_t>(c)];
    NextCheck next{c, 0.0, check.minutes + base.setup_minutes(check.setup), -1, {}};
    double most = -1.0;
    for (const int fact : check.learns) {
      const double here = bits(fact, check.by);
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
    const double x = std::round(1e9 * a.bits / a.minutes), y = std::round(1e9 * b.bits / b.minutes);
    if (x != y) return x > y;
    return base.checks[static_cast<std::size_t>(a.check)].id <
           base.checks[static_cast<std::size_t>(b.check)].id;
  });
  for (std::size_t i = 0; i < out.checks.size(); ++i) {
    NextCheck& next = out.checks[i];
    char shown[32];
    std::snprintf(shown, sizeof shown, "%.2f", next.bits);
    const std::string apart = next.fact < 0
                                  ? ""
                                  : separates(predictor, base, next.fact,
                                              base.checks[static_cast<std::size_t>(next.check)].by);
    next.why = (apart.empty() ? "" : apart + "; ") + std::string("expected to tell ") + shown +
               " bits in " + minutes_text(next.minutes);
  }
  for (std::size_t f = 0; f < base.facts.size(); ++f) {
    const Fact& fact = base.facts[f];
    if (fact.is_asked_at(Asker::write_up) && !facts.now().asked(static_cast<int>(f)) &&
        bits(static_cast<int>(f), Asker::write_up) > 0.0)
      out.unanswered.push_back(static_cast<int>(f));
  }
  std::sort(out.unanswered.begin(), out.unanswered.end(), [&](int a, int b) {
    const double x = bits(a, Asker::write_up), y = bits(b, Asker::write_up);
    if (x != y) return x > y;
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
