// Entries to known answers, a second time: per place and round the entry in force.
#include <algorithm>
#include <cstdlib>
#include <tuple>

#include "engine/quantity/quantity.h"
#include "tests/engine/reasoning/brute_force.h"

namespace perrev::testing {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

// Later entries compare greater: the moment, then ids; whole numbers as such, before all others.
using Key = std::tuple<std::int64_t, bool, long, std::string>;

Key key_of(const Entry& entry) {
  const bool number = entry.id.find_first_not_of("0123456789") == std::string::npos;
  return {moment(entry.at).value_or(0), !number, number ? std::atol(entry.id.c_str()) : 0,
          entry.id};
}

bool in_force(const CaseFile& file, const Entry& entry, int depth = 0) {
  if (depth > static_cast<int>(file.entries().size())) return false;
  for (const Entry& other : file.entries())
    if (other.kind == Entry::Kind::retraction && other.retracts == entry.id &&
        in_force(file, other, depth + 1))
      return false;
  return true;
}

double median_of(const std::vector<std::string>& values, Dimension unit) {
  std::vector<double> numbers;
  for (const std::string& value : values) numbers.push_back(*parse_quantity(value, unit));
  std::sort(numbers.begin(), numbers.end());
  const std::size_t n = numbers.size();
  return n % 2 == 1 ? numbers[n / 2] : (numbers[n / 2 - 1] + numbers[n / 2]) / 2.0;
}

int judged(const Limit& limit, const std::string& of_class, double value) {
  std::vector<LimitClass> rows;
  for (const LimitClass& row : limit.classes)
    if (row.id == of_class) rows = {row};
  if (rows.empty() && !of_class.empty())
    for (const LimitClass& row : limit.classes)
      if (row.id == "other") rows = {row};
  if (rows.empty()) rows = limit.classes;
  std::size_t good = 0, bad = 0;
  for (const LimitClass& row : rows) {
    const double sign = limit.lower_is_better ? 1.0 : -1.0;
    if (sign * value <= sign * row.good)
      ++good;
    else if (sign * value >= sign * row.bad)
      ++bad;
  }
  return good == rows.size() ? 0 : bad == rows.size() ? 1 : -1;
}

class Reader {
 public:
  Reader(const RuleBase& base, const CaseFile& file) : base_(base) {
    for (const Entry& entry : file.entries())
      if (in_force(file, entry)) entries_.push_back(&entry);
    std::sort(entries_.begin(), entries_.end(),
              [](const Entry* a, const Entry* b) { return key_of(*a) < key_of(*b); });
  }

  Known read() {
    Known out;
    const Sheet unknown(at(base_.slot_count), -1);
    out.rounds.push_back({unknown, {}});
    for (const Entry* entry : entries_)
      if (opens(*entry)) out.rounds.push_back({unknown, {base_.repair_index(entry->repair)}});
    out.vehicle = unknown;
    // Facts that pick the class of a limit first.
    for (const bool classed : {false, true})
      for (std::size_t f = 0; f < base_.facts.size(); ++f) {
        const Fact& fact = base_.facts[f];
        if (fact.kind == FactKind::text || has_class(fact) != classed) continue;
        const int places = std::max(1, static_cast<int>(places_of(fact.per).size()));
        for (int place = 0; place < places; ++place) fill(fact, place, out);
      }
    out.stopped = stopped();
    return out;
  }

 private:
  bool opens(const Entry& entry) const { return entry.kind == Entry::Kind::repair && entry.done; }

  bool has_class(const Fact& fact) const {
    return fact.limit >= 0 && base_.limits[at(fact.limit)].class_by >= 0;
  }

  std::size_t round_of(const Entry& entry) const {
    std::size_t round = 0;
    for (const Entry* other : entries_)
      if (opens(*other) && key_of(*other) < key_of(entry)) ++round;
    return round;
  }

  bool speaks_of(const Entry& entry, const Fact& fact, int place) const {
    if (entry.kind != Entry::Kind::answer || entry.fact != fact.id) return false;
    if (fact.per == Per::vehicle_case || entry.place == "all") return true;
    if (entry.place == places_of(fact.per)[at(place)]) return true;
    return fact.per == Per::wheel && entry.place == (place < 2 ? "front_axle" : "rear_axle");
  }

  std::vector<int> answers_of(const Entry& entry, const Fact& fact, const Known& known) const {
    if (entry.unsure) return std::vector<int>(at(fact.variable_count), -1);
    if (fact.kind == FactKind::several) {
      std::vector<int> out;
      for (const Answer& answer : fact.answers)
        out.push_back(std::find(entry.values.begin(), entry.values.end(), answer.id) !=
                              entry.values.end()
                          ? 1
                          : 0);
      return out;
    }
    if (fact.kind != FactKind::number)
      for (std::size_t a = 0; a < fact.answers.size(); ++a)
        if (fact.answers[a].id == entry.values[0]) return {static_cast<int>(a)};
    const double value = median_of(entry.values, fact.unit);
    if (fact.limit >= 0) {
      const Limit& limit = base_.limits[at(fact.limit)];
      std::string of_class;
      if (limit.class_by >= 0) {
        const Fact& by = base_.facts[at(limit.class_by)];
        const int answer = known.rounds[round_of(entry)]
                               .answers[at(base_.variables[at(by.first_variable)].first_slot)];
        if (answer >= 0) of_class = by.answers[at(answer)].id;
      }
      return {judged(limit, of_class, value)};
    }
    const std::vector<double>& edges = base_.variables[at(fact.first_variable)].edges;
    int band = 0;
    while (band + 2 < static_cast<int>(edges.size()) && value >= edges[at(band + 1)]) ++band;
    return {band};
  }

  bool stops(const Entry& entry, const Fact& fact, const Known& known) const {
    if (!fact.stop || entry.unsure) return false;
    return ((fact.stop->answers >> answers_of(entry, fact, known)[0]) & 1u) != 0;
  }

  // Of each round the greatest by: known, stops, source, moment and id.
  void fill(const Fact& fact, int place, Known& known) const {
    using Rank = std::tuple<bool, bool, Asker, Key>;
    const std::size_t rounds = known.rounds.size();
    std::vector<const Entry*> best(rounds, nullptr);
    for (const Entry* entry : entries_) {
      if (!speaks_of(*entry, fact, place)) continue;
      const auto rank = [&](const Entry& e) {
        return Rank{!e.unsure, stops(e, fact, known), e.by, key_of(e)};
      };
      const Entry*& held = best[fact.lasts_with_vehicle ? 0 : round_of(*entry)];
      if (held == nullptr || rank(*held) < rank(*entry)) held = entry;
    }
    for (std::size_t r = 0; r < rounds; ++r) {
      const Entry* entry = best[fact.lasts_with_vehicle ? 0 : r];
      if (entry == nullptr) continue;
      const std::vector<int> answers = answers_of(*entry, fact, known);
      for (int v = 0; v < fact.variable_count; ++v) {
        const Variable& variable = base_.variables[at(fact.first_variable + v)];
        known.rounds[r].answers[at(variable.first_slot + place)] = answers[at(v)];
        if (fact.lasts_with_vehicle)
          known.vehicle[at(variable.first_slot + place)] = answers[at(v)];
      }
    }
  }

  // Each stop must be followed by a clear answer of the bay, and that must be the bay's last word.
  bool stopped() const {
    for (const Entry* stop : entries_) {
      const int f = base_.fact_index(stop->fact);
      if (stop->kind != Entry::Kind::answer || f < 0 || !stops(*stop, base_.facts[at(f)], {}))
        continue;
      const Fact& by = base_.facts[at(base_.facts[at(f)].stop->cleared_by)];
      bool lifted = false;
      for (const Entry* entry : entries_)
        if (entry->kind == Entry::Kind::answer && entry->fact == by.id && entry->by == Asker::bay &&
            !entry->unsure)
          lifted = ((by.clear >> answers_of(*entry, by, {})[0]) & 1u) != 0 &&
                   key_of(*stop) < key_of(*entry);
      if (!lifted) return true;
    }
    return false;
  }

  const RuleBase& base_;
  std::vector<const Entry*> entries_;
};

}  // namespace

Known known_of(const RuleBase& base, const CaseFile& file) { return Reader(base, file).read(); }

}  // namespace perrev::testing
