// What a check may show: its outcomes against the enumeration of random rule bases, and what they
// tell against entropies worked out directly.
#include "engine/planning/check_outcomes.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

constexpr std::size_t kAll = 100000;  // more outcomes than any check has

std::size_t at(int i) { return static_cast<std::size_t>(i); }

// A partly answered case of one round with its possible hypotheses.
struct Case {
  explicit Case(std::uint64_t seed) : world(seed) {
    facts = world.facts(random_case(world.base, world.random, {5, 0.1, 0.1, 0.0}));
    double total = 0.0;
    for (std::size_t h = 0; h < world.brute.hypotheses().size(); ++h) {
      const Present& present = world.brute.hypotheses()[h];
      const double weight = world.brute.priors()[h] * probability(present, facts.now().answers);
      if (weight <= 0.0) continue;
      presents.push_back(present);
      hypotheses.push_back(present.empty()
                               ? Hypothesis{}
                               : Hypothesis{present[0], present.size() > 1 ? present[1] : -1});
      total += mass.emplace_back(weight);
    }
    for (double& x : mass) x /= total;
  }

  double probability(const Present& present, const Sheet& sheet) const {
    return present.empty() ? world.brute.with_base(sheet) : world.brute.with_causes(present, sheet);
  }
  LikelihoodTable outcomes(int check, std::size_t most) const {
    return outcomes_of(world.reasoner, facts, check, hypotheses, mass, most);
  }
  // What the check learns that is open, in the order of its facts.
  std::vector<Feature> features(int check) const {
    std::vector<Feature> out;
    for (const int fact : world.base.checks[at(check)].learns)
      for (Feature& feature :
           features_of(world.reasoner, facts, fact, world.base.checks[at(check)].by))
        out.push_back(feature);
    return out;
  }
  // P(answers to the features | hypothesis, known) by enumeration.
  LikelihoodTable exact(const std::vector<Feature>& features) const;
  // P(sheet | hypothesis, known) over the slots, by sheet in order.
  LikelihoodTable enumerated(const std::vector<std::size_t>& slots) const;

  World world;
  CaseFacts facts;
  std::vector<Present> presents;
  std::vector<Hypothesis> hypotheses;
  std::vector<double> mass;
};

int size_at(const RuleBase& base, std::size_t slot) {
  for (const Variable& v : base.variables)
    if (slot >= at(v.first_slot) && slot < at(v.first_slot + v.slots)) return v.size();
  return 0;
}

LikelihoodTable Case::enumerated(const std::vector<std::size_t>& slots) const {
  LikelihoodTable out;
  std::vector<double> before;
  for (const Present& present : presents)
    before.push_back(probability(present, facts.now().answers));
  Sheet sheet = facts.now().answers;
  for (const std::size_t slot : slots) sheet[slot] = 0;
  for (;;) {
    std::vector<double> row;
    for (std::size_t h = 0; h < presents.size(); ++h)
      row.push_back(probability(presents[h], sheet) / before[h]);
    out.push_back(std::move(row));
    std::size_t i = 0;
    for (; i < slots.size(); ++i) {  // counts on
      if (++sheet[slots[i]] < size_at(world.base, slots[i])) break;
      sheet[slots[i]] = 0;
    }
    if (i == slots.size()) return out;
  }
}

LikelihoodTable Case::exact(const std::vector<Feature>& features) const {
  std::vector<std::size_t> slots, sizes, of;  // of: the feature that a slot belongs to
  for (std::size_t f = 0; f < features.size(); ++f)
    for (const std::size_t slot : features[f].slots) {
      slots.push_back(slot);
      sizes.push_back(at(size_at(world.base, slot)));
      of.push_back(f);
    }
  std::map<std::vector<std::size_t>, std::vector<double>> rows;
  const LikelihoodTable sheets = enumerated(slots);
  for (std::size_t s = 0; s < sheets.size(); ++s) {
    std::vector<std::size_t> answers(features.size(), 0);
    std::size_t left = s;
    for (std::size_t i = 0; i < slots.size(); ++i) {  // any place says yes
      answers[of[i]] = std::max(answers[of[i]], left % sizes[i]);
      left /= sizes[i];
    }
    std::vector<double>& row = rows.try_emplace(answers, hypotheses.size(), 0.0).first->second;
    for (std::size_t h = 0; h < row.size(); ++h) row[h] += sheets[s][h];
  }
  LikelihoodTable out;
  for (auto& [answers, row] : rows) out.push_back(std::move(row));
  return out;
}

double entropy(const std::vector<double>& p) {
  double out = 0.0;
  for (const double x : p)
    if (x > 0.0) out -= x * std::log2(x);
  return out;
}

// Entropy before less the expected entropy after.
double drop_in_entropy(const LikelihoodTable& table, const std::vector<double>& mass) {
  double out = entropy(mass);
  for (const std::vector<double>& row : table) {
    std::vector<double> after;
    double p = 0.0;
    for (std::size_t h = 0; h < mass.size(); ++h) p += after.emplace_back(mass[h] * row[h]);
    if (p <= 0.0) continue;
    for (double& x : after) x /= p;
    out -= p * entropy(after);
  }
  return out;
}

void check_columns(const LikelihoodTable& table, std::size_t hypotheses) {
  for (std::size_t h = 0; h < hypotheses; ++h) {
    double sum = 0.0;
    for (const std::vector<double>& row : table) {
      REQUIRE(row[h] >= 0.0);
      sum += row[h];
    }
    CAPTURE(h);
    REQUIRE(sum == doctest::Approx(1.0).epsilon(1e-10));
  }
}

// Whether both hold the same rows, in whatever order; rows of what cannot be do not count.
bool same_rows(LikelihoodTable one, LikelihoodTable other) {
  for (LikelihoodTable* table : {&one, &other})
    table->erase(std::remove_if(table->begin(), table->end(),
                                [](const std::vector<double>& row) {
                                  return *std::max_element(row.begin(), row.end()) <= 1e-14;
                                }),
                 table->end());
  if (one.size() != other.size()) return false;
  for (const std::vector<double>& row : one) {
    const auto same = std::find_if(other.begin(), other.end(), [&](const std::vector<double>& r) {
      for (std::size_t h = 0; h < row.size(); ++h)
        if (std::abs(row[h] - r[h]) > 1e-10) return false;
      return true;
    });
    if (same == other.end()) return false;
    other.erase(same);
  }
  return true;
}

}  // namespace

TEST_CASE("the outcomes of a check sum to one under every hypothesis, however few they are") {
  int checks = 0;
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    CAPTURE(seed);
    const Case made(seed + 140000);
    for (int c = 0; c < static_cast<int>(made.world.base.checks.size()); ++c) {
      CAPTURE(c);
      for (const std::size_t most : {std::size_t{1}, std::size_t{2}, std::size_t{8}, kAll}) {
        const LikelihoodTable table = made.outcomes(c, most);
        if (table.empty()) continue;
        REQUIRE(table.size() <= most);
        check_columns(table, made.hypotheses.size());
        ++checks;
      }
      for (const Feature& feature : made.features(c))
        check_columns(table_of(made.world.reasoner, made.facts, feature, made.hypotheses),
                      made.hypotheses.size());
    }
  }
  CHECK(checks > 1500);
}

TEST_CASE("bits are the entropy before less the expected entropy after") {
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    CAPTURE(seed);
    const Case made(seed + 150000);
    for (int c = 0; c < static_cast<int>(made.world.base.checks.size()); ++c) {
      double sum = 0.0;
      for (const Feature& feature : made.features(c)) {
        const LikelihoodTable table =
            table_of(made.world.reasoner, made.facts, feature, made.hypotheses);
        const double bits = bits_of(table, made.mass);
        REQUIRE(bits >= 0.0);
        REQUIRE(std::abs(bits - drop_in_entropy(table, made.mass)) <= 1e-10);
        sum += bits;
      }
      Telling telling(made.world.reasoner, made.facts, made.hypotheses, made.mass);
      REQUIRE(telling.bits(made.world.base.checks[static_cast<std::size_t>(c)]) ==
              doctest::Approx(sum).epsilon(1e-12));
      const LikelihoodTable whole = made.outcomes(c, kAll);
      REQUIRE(std::abs(bits_of(whole, made.mass) -
                       (whole.empty() ? 0.0 : drop_in_entropy(whole, made.mass))) <= 1e-10);
    }
  }
}

TEST_CASE("putting outcomes together never makes a check more telling") {
  int merged = 0;
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    CAPTURE(seed);
    const Case made(seed + 160000);
    for (int c = 0; c < static_cast<int>(made.world.base.checks.size()); ++c) {
      CAPTURE(c);
      double fewer = 0.0;
      const std::size_t whole = made.outcomes(c, kAll).size();
      for (std::size_t most = 1; most <= whole; ++most) {
        CAPTURE(most);
        const double bits = bits_of(made.outcomes(c, most), made.mass);
        if (most == 1) REQUIRE(bits <= 1e-12);
        REQUIRE(bits >= fewer - 1e-12);
        fewer = bits;
        merged += most < whole;
      }
    }
  }
  CHECK(merged > 1000);
}

TEST_CASE("with room for all, the outcomes are the exact joint table of what is learned") {
  int single = 0, joint = 0, places = 0;
  for (std::uint64_t seed = 0; seed < 800; ++seed) {
    CAPTURE(seed);
    const Case made(seed + 170000);
    for (int c = 0; c < static_cast<int>(made.world.base.checks.size()); ++c) {
      CAPTURE(c);
      const std::vector<Feature> features = made.features(c);
      std::size_t sheets = 1;
      bool whole = !features.empty(), placed = false;
      for (const Feature& feature : features) {
        const LikelihoodTable table =
            table_of(made.world.reasoner, made.facts, feature, made.hypotheses);
        REQUIRE(same_rows(made.exact({feature}), table));
        // What tells nothing is left out.
        if (bits_of(table, made.mass) <= 1e-5) whole = false;
        sheets *= table.size();
        placed = placed || feature.slots.size() > 1;
      }
      if (!whole || sheets > 40) continue;
      REQUIRE(same_rows(made.exact(features), made.outcomes(c, kAll)));
      single += features.size() == 1;
      joint += features.size() > 1;
      places += features.size() > 1 && placed;
    }
  }
  MESSAGE(single << " of one thing, " << joint << " of several, " << places
                 << " of them read at several places");
  CHECK(single > 200);
  CHECK(joint > 100);
  CHECK(places > 50);
}

TEST_CASE("a check never looks more telling than all that it learns") {
  int checks = 0, less = 0;
  for (std::uint64_t seed = 0; seed < 400; ++seed) {
    CAPTURE(seed);
    const Case made(seed + 190000);
    for (int c = 0; c < static_cast<int>(made.world.base.checks.size()); ++c) {
      CAPTURE(c);
      std::vector<std::size_t> slots;
      for (const Feature& feature : made.features(c)) {
        const Variable& variable = made.world.base.variables[at(feature.variable)];
        for (int place = 0; place < variable.slots; ++place)
          if (made.facts.now().answers[at(variable.first_slot + place)] < 0)
            slots.push_back(at(variable.first_slot + place));
      }
      if (slots.empty()) continue;
      const double all = drop_in_entropy(made.enumerated(slots), made.mass);
      const double told = bits_of(made.outcomes(c, kAll), made.mass);
      CHECK(told <= all + 1e-10);
      ++checks;
      less += told < all - 1e-3;
    }
  }
  MESSAGE(checks << " checks, of them " << less << " look less telling than they are");
  CHECK(checks > 500);
}
