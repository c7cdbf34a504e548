#include "engine/providers/felt.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "engine/knowledge/computed.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

constexpr std::size_t kKept = 8;  // vehicles

// What is known of a variable of FeltTables: its place among them and its answer.
struct KnownAnswer {
  std::size_t at = 0;
  int answer = 0;
};

std::vector<KnownAnswer> known_answers(const RuleBase& base, const FeltTables& tables,
                                       const RoundFacts& round) {
  std::vector<KnownAnswer> out;
  for (std::size_t i = 0; i < tables.variables.size(); ++i) {
    const Variable& variable = base.variables[static_cast<std::size_t>(tables.variables[i])];
    const int answer = round.answers[static_cast<std::size_t>(variable.first_slot)];
    if (answer >= 0) out.push_back({i, answer});
  }
  return out;
}

// Natural logarithm of P(what is known | not listed).
double log_base(const RuleBase& base, const FeltTables& tables,
                const std::vector<KnownAnswer>& known) {
  double out = 0.0;
  for (const KnownAnswer& k : known)
    out += std::log(base.variables[static_cast<std::size_t>(tables.variables[k.at])]
                        .base[static_cast<std::size_t>(k.answer)]);
  return out;
}

// P(way, number, what is known) of the cells from `first`, as many as `cells`.
std::vector<double> joint_of(const FeltTables& tables, const std::vector<KnownAnswer>& known,
                             std::size_t first, std::size_t cells) {
  std::vector<double> out(tables.weight.begin() + static_cast<std::ptrdiff_t>(first),
                          tables.weight.begin() + static_cast<std::ptrdiff_t>(first + cells));
  for (const KnownAnswer& k : known) {
    const double* const row = tables.said[k.at][static_cast<std::size_t>(k.answer)].data() + first;
    for (std::size_t i = 0; i < cells; ++i) out[i] *= row[i];
  }
  return out;
}
std::vector<double> joint_of(const FeltTables& tables, const std::vector<KnownAnswer>& known,
                             const FeltTable& table) {
  return joint_of(tables, known, table.first, table.cells());
}

// Of each way.
std::vector<double> by_way(const double* joint, std::size_t ways) {
  std::vector<double> out(ways, 0.0);
  for (std::size_t w = 0; w < ways; ++w)
    for (std::size_t n = 0; n < kLevels; ++n) out[w] += joint[w * kLevels + n];
  return out;
}

double sum_of(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0);
}

// To fives of both units, as people name speeds.
std::string about_speed(double speed) {
  const auto fives = [&](Units units) {
    return show_number(5.0 * std::round(in_usual_unit(speed, Dimension::speed, units) / 5.0));
  };
  return fives(Units::us) + " mph (" + fives(Units::metric) + " km/h)";
}

std::string because_of(const FeltTable& table, const std::vector<double>& joint, double weight) {
  const std::vector<double> ways = by_way(joint.data(), table.about.size());
  const auto best =
      static_cast<std::size_t>(std::max_element(ways.begin(), ways.end()) - ways.begin());
  const FeltWayAbout& way = table.about[best];
  return "By calculation " + way.part + " would be worst near " + about_speed(way.worst_speed) +
         " and " +
         (way.heard ? std::string("heard rather than felt")
                    : "felt most in the " + spaced(name_of(way.most))) +
         (weight > 0.0 ? "." : ", which fits less well.");
}

}  // namespace

std::vector<int> FeltProvider::facts(const RuleBase& base) const {
  std::vector<int> out;
  if (base.physics.empty()) return out;
  for (const std::string_view id : kPhysicsFacts)
    if (const int fact = base.fact_index(id); fact >= 0) out.push_back(fact);
  std::sort(out.begin(), out.end());
  return out;
}

std::shared_ptr<const FeltTables> FeltProvider::tables_for(const RuleBase& base,
                                                           const CaseFacts& facts,
                                                           std::size_t round) const {
  const FeltVehicle vehicle = felt_vehicle(base, facts, round);
  const std::lock_guard<std::mutex> hold(guard_);
  const auto found = std::find_if(kept_.begin(), kept_.end(), [&](const Kept& kept) {
    return kept.vehicle == vehicle && kept.digest == base.digest;
  });
  if (found != kept_.end()) {
    std::rotate(kept_.begin(), found, found + 1);
  } else {
    kept_.insert(kept_.begin(),
                 {base.digest, vehicle, std::make_shared<FeltTables>(felt_tables(base, vehicle))});
    if (kept_.size() > kKept) kept_.pop_back();
  }
  return kept_.front().tables;
}

ProviderWeights FeltProvider::weigh(const RuleBase& base, const CaseFacts& facts,
                                    std::size_t round) const {
  ProviderWeights out;
  if (base.physics.empty()) return out;
  const RoundFacts& seen = facts.rounds[round];
  for (const int fact : this->facts(base))
    if (const Reading* reading = seen.find(fact); reading && !reading->unsure)
      out.facts.push_back(fact);
  if (out.facts.empty()) return out;
  const std::shared_ptr<const FeltTables> tables = tables_for(base, facts, round);
  const std::vector<KnownAnswer> known = known_answers(base, *tables, seen);
  const double not_listed = log_base(base, *tables, known);
  out.by_cause.assign(base.causes.size(), 0.0);
  out.models.assign(base.causes.size(), 0);
  const std::vector<double> joint = joint_of(*tables, known, 0, tables->weight.size());
  for (const FeltTable& table : tables->faults) {
    if (table.about.empty()) continue;
    const std::size_t c = static_cast<std::size_t>(table.cause);
    out.models[c] = 1;
    out.by_cause[c] =
        std::log(sum_of(by_way(joint.data() + table.first, table.about.size()))) - not_listed;
  }
  return out;
}

std::string FeltProvider::because(const RuleBase& base, const CaseFacts& facts, std::size_t round,
                                  int cause) const {
  const ProviderWeights said = weigh(base, facts, round);
  if (said.facts.empty() || said.by_cause[static_cast<std::size_t>(cause)] == 0.0) return {};
  const std::shared_ptr<const FeltTables> tables = tables_for(base, facts, round);
  const auto table =
      std::find_if(tables->faults.begin(), tables->faults.end(),
                   [&](const FeltTable& of) { return of.cause == cause && !of.about.empty(); });
  return because_of(*table,
                    joint_of(*tables, known_answers(base, *tables, facts.rounds[round]), *table),
                    said.by_cause[static_cast<std::size_t>(cause)]);
}

ProviderTable FeltProvider::expect(const RuleBase& base, const CaseFacts& facts,
                                   int variable) const {
  ProviderTable out;
  const std::size_t round = facts.rounds.size() - 1;
  if (base.physics.empty()) return out;
  const std::shared_ptr<const FeltTables> tables = tables_for(base, facts, round);
  const auto at = std::lower_bound(tables->variables.begin(), tables->variables.end(), variable);
  if (at == tables->variables.end() || *at != variable) return out;
  const std::size_t place = static_cast<std::size_t>(at - tables->variables.begin());
  out.base = base.variables[static_cast<std::size_t>(variable)].base;
  out.by_cause.resize(base.causes.size());
  std::vector<KnownAnswer> known = known_answers(base, *tables, facts.now());
  std::erase_if(known, [&](const KnownAnswer& k) { return k.at == place; });
  const double not_listed = log_base(base, *tables, known);
  if (!known.empty()) out.known.assign(base.causes.size(), 0.0);
  for (const FeltTable& table : tables->faults) {
    if (table.about.empty()) continue;
    const std::vector<double> joint = joint_of(*tables, known, table);
    std::vector<double>& row = out.by_cause[static_cast<std::size_t>(table.cause)];
    row.assign(out.base.size(), 0.0);
    double total = 0.0;
    for (std::size_t a = 0; a < row.size(); ++a) {
      const double* const said = tables->said[place][a].data() + table.first;
      for (std::size_t i = 0; i < joint.size(); ++i) row[a] += joint[i] * said[i];
      total += row[a];
    }
    for (double& p : row) p /= total;
    if (!known.empty())
      out.known[static_cast<std::size_t>(table.cause)] = std::log(total) - not_listed;
  }
  return out;
}

std::vector<std::vector<FeltLineShare>> FeltProvider::lines(const RuleBase& base,
                                                            const CaseFacts& facts) const {
  std::vector<std::vector<FeltLineShare>> out(base.causes.size());
  if (base.physics.empty()) return out;
  const std::size_t round = facts.rounds.size() - 1;
  const FeltVehicle vehicle = felt_vehicle(base, facts, round);
  const std::shared_ptr<const FeltTables> tables = tables_for(base, facts, round);
  const std::vector<KnownAnswer> known = known_answers(base, *tables, facts.now());
  for (std::size_t f = 0; f < tables->faults.size(); ++f) {
    const FeltTable& table = tables->faults[f];
    if (table.about.empty()) continue;
    const std::vector<double> joint = joint_of(*tables, known, table);
    const std::vector<double> ways = by_way(joint.data(), table.about.size());
    const double total = sum_of(ways);
    std::vector<FeltLine> lines = felt_lines(base, base.physics.faults[f], vehicle);
    for (std::size_t w = 0; w < ways.size(); ++w)
      out[static_cast<std::size_t>(table.cause)].push_back({std::move(lines[w]), ways[w] / total});
  }
  return out;
}

}  // namespace perrev
