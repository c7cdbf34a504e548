#include "engine/providers/felt.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <tuple>

#include "engine/knowledge/computed.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

// What is known of a variable of the tables: its place among them and its answer.
struct KnownAnswer {
  std::size_t at = 0;
  int answer = 0;
};

std::vector<KnownAnswer> known_answers(const RuleBase& base, const FeltTables& tables,
                                       const RoundFacts& round) {
  const std::vector<int>& variables = tables.variables();
  std::vector<KnownAnswer> out;
  for (std::size_t i = 0; i < variables.size(); ++i) {
    const Variable& variable = base.variables[static_cast<std::size_t>(variables[i])];
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
    out += std::log(base.variables[static_cast<std::size_t>(tables.variables()[k.at])]
                        .base[static_cast<std::size_t>(k.answer)]);
  return out;
}

// P(way, number, what is known) of the cells from `first`, as many as `cells`.
std::vector<double> joint_of(const FeltPartTables& tables, const std::vector<KnownAnswer>& known,
                             std::size_t first, std::size_t cells) {
  std::vector<double> out(tables.weight.begin() + static_cast<std::ptrdiff_t>(first),
                          tables.weight.begin() + static_cast<std::ptrdiff_t>(first + cells));
  for (const KnownAnswer& k : known) {
    const double* const row = tables.said[k.at][static_cast<std::size_t>(k.answer)].data() + first;
    for (std::size_t i = 0; i < cells; ++i) out[i] *= row[i];
  }
  return out;
}

// P(what is known) over all cells of a table: of `weight` times each of the rows, those of all
// faults at a part. Summed in columns, which a processor adds side by side.
double share_of(const FeltTable& table, const std::vector<double>& weight,
                const std::vector<const double*>& rows) {
  constexpr std::size_t kColumns = 5;
  static_assert(kLevels % kColumns == 0);
  std::array<double, kColumns> sum{};
  for (std::size_t i = table.first; i < table.first + table.cells(); i += kColumns) {
    std::array<double, kColumns> joint;
    std::copy_n(weight.data() + i, kColumns, joint.begin());
    for (const double* const row : rows)
      for (std::size_t k = 0; k < kColumns; ++k) joint[k] *= row[i + k];
    for (std::size_t k = 0; k < kColumns; ++k) sum[k] += joint[k];
  }
  return std::accumulate(sum.begin(), sum.end(), 0.0);
}

// Of each way.
std::vector<double> by_way(const std::vector<double>& joint) {
  std::vector<double> out(joint.size() / kLevels, 0.0);
  for (std::size_t i = 0; i < joint.size(); ++i) out[i / kLevels] += joint[i];
  return out;
}

// Calls `with` the number of the part, its share and the table, for each part where a fault can be.
template <class With>
void each_table(const RuleBase& base, const FeltTables& tables, const With& with) {
  for (std::size_t p = 0; p < kFeltParts; ++p)
    for (const FeltTable& table : tables.parts[p]->faults) {
      const double share =
          share_at(base.physics.faults[table.fault], static_cast<FeltPart>(p), tables.vehicle);
      if (share > 0.0) with(p, share, table);
    }
}

// A fault over all parts of a vehicle: P(what is known) and the scale of it.
struct FeltSum {
  double known = 0.0, complaints = 0.0;

  void add(double share, double of_table, const FeltTable& table) {
    known += share * of_table;
    complaints += share * table.complaints;
  }
  double log_weight(double not_listed) const { return std::log(known / complaints) - not_listed; }
};

// To fives of both units, as people name speeds.
std::string about_speed(double speed) {
  const auto fives = [&](Units units) {
    return show_number(5.0 * std::round(in_usual_unit(speed, Dimension::speed, units) / 5.0));
  };
  return fives(Units::us) + " mph (" + fives(Units::metric) + " km/h)";
}

std::string because_of(const FeltWayAbout& way, bool fits) {
  return "By calculation " + way.part + " would be worst near " + about_speed(way.worst_speed) +
         " and " +
         (way.heard ? std::string("heard rather than felt")
                    : "felt most in the " + spaced(name_of(way.most))) +
         (fits ? "." : ", which fits less well.");
}

}  // namespace

std::vector<int> FeltProvider::facts(const RuleBase& base) const { return book_.of(base)->facts; }

bool FeltProvider::Key::operator<(const Key& o) const {
  return std::tie(body, part, turns.mean, turns.sd) <
         std::tie(o.body, o.part, o.turns.mean, o.turns.sd);
}

void FeltProvider::keep(const Key& key, std::shared_ptr<const FeltPartTables> tables) const {
  while (!kept_.empty() && kept_.size() >= most_kept_)
    kept_.erase(std::min_element(kept_.begin(), kept_.end(), [](const auto& a, const auto& b) {
      return a.second.used < b.second.used;
    }));
  kept_[key] = {std::move(tables), ++uses_};
}

FeltTables FeltProvider::tables_for(const RuleBase& base, const CaseFacts& facts,
                                    std::size_t round) const {
  FeltTables out{felt_vehicle(base, *book_.of(base), facts.rounds[round]), {}};
  std::vector<Key> keys;
  for (std::size_t p = 0; p < kFeltParts; ++p)
    keys.push_back({out.vehicle.body, static_cast<FeltPart>(p), on_grid(out.vehicle.turns[p])});
  {
    const std::lock_guard<std::mutex> hold(guard_);
    if (digest_ != base.digest) kept_.clear();
    digest_ = base.digest;
    for (std::size_t p = 0; p < kFeltParts; ++p)
      if (const auto found = kept_.find(keys[p]); found != kept_.end()) {
        found->second.used = ++uses_;
        out.parts[p] = found->second.tables;
      }
  }
  for (std::size_t p = 0; p < kFeltParts; ++p) {
    if (out.parts[p]) continue;
    out.parts[p] = std::make_shared<FeltPartTables>(
        felt_tables(base, keys[p].body, keys[p].part, keys[p].turns));
    const std::lock_guard<std::mutex> hold(guard_);
    if (digest_ == base.digest) keep(keys[p], out.parts[p]);
  }
  return out;
}

ProviderWeights FeltProvider::weigh(const RuleBase& base, const CaseFacts& facts,
                                    std::size_t round) const {
  ProviderWeights out;
  if (base.physics.empty()) return out;
  const RoundFacts& seen = facts.rounds[round];
  const std::shared_ptr<const FeltBook> book = book_.of(base);
  for (const int fact : book->facts)
    if (const Reading* reading = seen.find(fact); reading && !reading->unsure)
      out.facts.push_back(fact);
  if (out.facts.empty()) return out;
  const FeltTables tables = tables_for(base, facts, round);
  const std::vector<KnownAnswer> known = known_answers(base, tables, seen);
  std::vector<FeltSum> sums(base.physics.faults.size());
  std::array<std::vector<const double*>, kFeltParts> rows;
  for (std::size_t p = 0; p < kFeltParts; ++p)
    for (const KnownAnswer& k : known)
      rows[p].push_back(tables.parts[p]->said[k.at][static_cast<std::size_t>(k.answer)].data());
  each_table(base, tables, [&](std::size_t p, double share, const FeltTable& table) {
    sums[table.fault].add(share, share_of(table, tables.parts[p]->weight, rows[p]), table);
  });
  const double not_listed = log_base(base, tables, known);
  out.by_cause.assign(base.causes.size(), 0.0);
  out.models.assign(base.causes.size(), 0);
  for (std::size_t f = 0; f < sums.size(); ++f) {
    if (sums[f].complaints <= 0.0) continue;
    const std::size_t c = static_cast<std::size_t>(base.physics.faults[f].cause);
    out.models[c] = 1;
    out.by_cause[c] = sums[f].log_weight(not_listed);
  }
  return out;
}

std::string FeltProvider::because(const RuleBase& base, const CaseFacts& facts, std::size_t round,
                                  int cause) const {
  if (base.physics.empty()) return {};
  const int fault = base.physics.fault_of[static_cast<std::size_t>(cause)];
  if (fault < 0) return {};
  const FeltTables tables = tables_for(base, facts, round);
  const std::vector<KnownAnswer> known = known_answers(base, tables, facts.rounds[round]);
  if (known.empty()) return {};
  FeltSum sum;
  const FeltWayAbout* best = nullptr;
  double most = 0.0;
  each_table(base, tables, [&](std::size_t p, double share, const FeltTable& table) {
    if (table.fault != static_cast<std::size_t>(fault)) return;
    const std::vector<double> joint = joint_of(*tables.parts[p], known, table.first, table.cells());
    sum.add(share, std::accumulate(joint.begin(), joint.end(), 0.0), table);
    const std::vector<double> ways = by_way(joint);
    for (std::size_t w = 0; w < ways.size(); ++w)
      if (share * ways[w] > most) {
        most = share * ways[w];
        best = &table.about[w];
      }
  });
  const double weight = best ? sum.log_weight(log_base(base, tables, known)) : 0.0;
  return weight == 0.0 ? std::string() : because_of(*best, weight > 0.0);
}

ProviderTable FeltProvider::expect(const RuleBase& base, const CaseFacts& facts,
                                   int variable) const {
  ProviderTable out;
  if (base.physics.empty()) return out;
  const FeltTables tables = tables_for(base, facts, facts.rounds.size() - 1);
  const std::vector<int>& variables = tables.variables();
  const auto at = std::lower_bound(variables.begin(), variables.end(), variable);
  if (at == variables.end() || *at != variable) return out;
  const std::size_t place = static_cast<std::size_t>(at - variables.begin());
  out.base = base.variables[static_cast<std::size_t>(variable)].base;
  out.by_cause.resize(base.causes.size());
  std::vector<KnownAnswer> known = known_answers(base, tables, facts.now());
  std::erase_if(known, [&](const KnownAnswer& k) { return k.at == place; });
  std::vector<double> complaints(base.physics.faults.size(), 0.0);
  each_table(base, tables, [&](std::size_t p, double share, const FeltTable& table) {
    const std::size_t cause = static_cast<std::size_t>(base.physics.faults[table.fault].cause);
    const std::vector<double> joint = joint_of(*tables.parts[p], known, table.first, table.cells());
    std::vector<double>& row = out.by_cause[cause];
    row.resize(out.base.size(), 0.0);
    for (std::size_t a = 0; a < row.size(); ++a) {
      const double* const said = tables.parts[p]->said[place][a].data() + table.first;
      for (std::size_t i = 0; i < joint.size(); ++i) row[a] += share * joint[i] * said[i];
    }
    complaints[table.fault] += share * table.complaints;
  });
  const double not_listed = log_base(base, tables, known);
  if (!known.empty()) out.known.assign(base.causes.size(), 0.0);
  for (std::size_t f = 0; f < complaints.size(); ++f) {
    const std::size_t c = static_cast<std::size_t>(base.physics.faults[f].cause);
    std::vector<double>& row = out.by_cause[c];
    if (row.empty()) continue;
    const double total = std::accumulate(row.begin(), row.end(), 0.0);
    for (double& p : row) p /= total;
    if (!known.empty()) out.known[c] = FeltSum{total, complaints[f]}.log_weight(not_listed);
  }
  return out;
}

std::vector<std::vector<FeltLineShare>> FeltProvider::lines(const RuleBase& base,
                                                            const CaseFacts& facts) const {
  std::vector<std::vector<FeltLineShare>> out(base.causes.size());
  if (base.physics.empty()) return out;
  const FeltTables tables = tables_for(base, facts, facts.rounds.size() - 1);
  const std::vector<KnownAnswer> known = known_answers(base, tables, facts.now());
  each_table(base, tables, [&](std::size_t p, double share, const FeltTable& table) {
    const std::vector<double> ways =
        by_way(joint_of(*tables.parts[p], known, table.first, table.cells()));
    const PhysicsFault& fault = base.physics.faults[table.fault];
    for (std::size_t w = 0; w < ways.size(); ++w)
      out[static_cast<std::size_t>(fault.cause)].push_back(
          {table.about[w].source, table.about[w].order, tables.vehicle.turns[p], share * ways[w]});
  });
  for (std::vector<FeltLineShare>& of_cause : out) {
    double total = 0.0;
    for (const FeltLineShare& each : of_cause) total += each.share;
    for (FeltLineShare& each : of_cause) each.share /= total;
  }
  return out;
}

}  // namespace perrev
