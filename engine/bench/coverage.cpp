#include "engine/bench/coverage.h"

#include <algorithm>

#include "engine/knowledge/computed.h"
#include "engine/reasoning/offers.h"

namespace perrev {

namespace {

void join(std::vector<char>& all, const std::vector<char>& one) {
  for (std::size_t i = 0; i < all.size(); ++i) all[i] = all[i] || one[i] ? 1 : 0;
}

// What the end of a round shows.
void add_round(const RuleBase& base, const RoundFacts& round, Exercised& out) {
  for (std::size_t r = 0; r < base.rules.size(); ++r)
    if (truth_somewhere(base, base.rules[r].when, round.answers) == Truth::yes) out.rules[r] = 1;
  for (std::size_t c = 0; c < base.checks.size(); ++c) {
    const std::vector<int>& learns = base.checks[c].learns;
    const bool any =
        std::any_of(learns.begin(), learns.end(), [&](int fact) { return round.asked(fact); });
    if (any && is_done(base, round, static_cast<int>(c))) out.learned[c] = 1;
  }
  for (const Reading& reading : round.readings) {
    if (reading.unsure) continue;
    const Fact& fact = base.facts[static_cast<std::size_t>(reading.fact)];
    std::vector<char>& given = out.answers[static_cast<std::size_t>(reading.fact)];
    if (fact.kind == FactKind::text) given[0] = 1;
    for (std::size_t v = 0; v < reading.answers.size(); ++v) {
      const int answer = reading.answers[v];
      if (fact.kind == FactKind::several)
        given[v] = given[v] || answer == 1 ? 1 : 0;
      else if (answer >= 0)
        given[static_cast<std::size_t>(answer)] = 1;
    }
  }
}

// What may be done at one moment.
void add_moment(const RuleBase& base, const CaseFacts& facts, Exercised& out) {
  const Offers offers = offers_of(base, facts);
  for (const int check : offers.checks) out.offered[static_cast<std::size_t>(check)] = 1;
  for (std::size_t e = 0; e < base.edges.size(); ++e)
    if (!out.edges[e] && is_open(base, facts.now(), offers.gates, base.edges[e])) out.edges[e] = 1;
}

// Whether some round answers what physics computes for the cause.
bool answers_computed(const RuleBase& base, const CaseFacts& facts, int cause) {
  const std::vector<int> computed = facts_computed(base, cause);
  return std::any_of(facts.rounds.begin(), facts.rounds.end(), [&](const RoundFacts& round) {
    return std::any_of(round.readings.begin(), round.readings.end(), [&](const Reading& reading) {
      return !reading.unsure &&
             std::find(computed.begin(), computed.end(), reading.fact) != computed.end();
    });
  });
}

// The case as it stood after each of its entries. Entries that do not stand on their own yet (what
// they speak of has the same moment and comes later) are passed over until they do.
void add_moments(const RuleBase& base, const CaseFile& file, Exercised& out) {
  std::vector<Entry> entries = file.entries();
  std::sort(entries.begin(), entries.end(),
            [](const Entry& a, const Entry& b) { return a.key() < b.key(); });
  CaseFile so_far;
  for (Entry& entry : entries) {
    so_far.add(std::move(entry));
    if (const auto facts = facts_of(so_far, base)) add_moment(base, *facts, out);
  }
}

}  // namespace

Exercised::Exercised(const RuleBase& base)
    : rules(base.rules.size()),
      offered(base.checks.size()),
      learned(base.checks.size()),
      edges(base.edges.size()),
      causes(base.causes.size()),
      faults(base.physics.faults.size()) {
  for (std::size_t f = 0; f < base.facts.size(); ++f)
    answers.emplace_back(answers_of(base, static_cast<int>(f)).size());
}

void Exercised::add(const Exercised& other) {
  join(rules, other.rules);
  join(offered, other.offered);
  join(learned, other.learned);
  join(edges, other.edges);
  join(causes, other.causes);
  join(faults, other.faults);
  for (std::size_t f = 0; f < answers.size(); ++f) join(answers[f], other.answers[f]);
}

Exercised exercised_by(const RuleBase& base, const CaseFile& file, const CaseFacts& facts,
                       const Expectation& expected) {
  Exercised out(base);
  for (const RoundFacts& round : facts.rounds) add_round(base, round, out);
  add_moments(base, file, out);
  for (const int cause : expected.truth) {
    out.causes[static_cast<std::size_t>(cause)] = 1;
    if (fault_of(base, cause) && answers_computed(base, facts, cause))
      out.faults[static_cast<std::size_t>(base.physics.fault_of[static_cast<std::size_t>(cause)])] =
          1;
  }
  return out;
}

std::vector<std::string> answers_of(const RuleBase& base, int fact, Units units) {
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  std::vector<std::string> out;
  if (of.kind == FactKind::text) return {"any text"};
  for (const Answer& answer : of.answers) out.push_back(answer.id);
  if (!out.empty()) return out;
  const int size = base.variables[static_cast<std::size_t>(of.first_variable)].size();
  for (int a = 0; a < size; ++a) out.push_back(base.answer_name(of.first_variable, a, units));
  return out;
}

}  // namespace perrev
