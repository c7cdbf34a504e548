// The ranking against a brute-force enumeration, and against small cases worked by hand.
#include "engine/reasoning/ranking.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

constexpr double kClose = 1e-10;
constexpr int kBases = 1000, kCases = 4;

double odds_apart(double a, double b) {
  if (std::isinf(a) || std::isinf(b)) return a == b ? 0.0 : 1.0;
  return std::abs(a - b);
}

// The largest difference of any number in the ranking.
double apart(const Ranking& ranking, const Belief& belief) {
  double most = std::max(std::abs(ranking.not_listed - belief.not_listed),
                         std::abs(ranking.nothing_left - belief.nothing_left));
  const auto differ = [&](double a, double b) {
    most = std::abs(a - b) <= most ? most : std::abs(a - b);
  };
  for (const Ranked& ranked : ranking.causes) {
    const std::size_t c = static_cast<std::size_t>(ranked.cause);
    differ(ranked.probability, belief.present[c]);
    differ(ranked.alone, belief.alone[c]);
    differ(odds_apart(ranking.log_odds[c], belief.log_odds[c]), 0.0);
  }
  auto left = belief.pairs;
  for (const RankedPair& pair : ranking.pairs) {
    differ(pair.probability, left[{pair.first, pair.second}]);
    left.erase({pair.first, pair.second});
  }
  for (const auto& hidden : left)
    if (hidden.second >= kLeastPairListed + kClose) differ(hidden.second, 0.0);
  return most;
}

}  // namespace

TEST_CASE("what is known of a case is what its entries come to") {
  int rounds = 0, stops = 0;
  for (int seed = 0; seed < kBases; ++seed) {
    World world(static_cast<std::uint64_t>(seed));
    for (int i = 0; i < kCases; ++i) {
      CAPTURE(seed);
      CAPTURE(i);
      const CaseFile file = random_case(world.base, world.random, {18, 0.15, 0.12, 0.10});
      const CaseFacts facts = world.facts(file);
      const Known known = known_of(world.base, file);
      REQUIRE(facts.rounds.size() == known.rounds.size());
      for (std::size_t r = 0; r < known.rounds.size(); ++r) {
        REQUIRE(facts.rounds[r].answers == known.rounds[r].answers);
        REQUIRE(facts.rounds[r].opened_by == known.rounds[r].opened_by);
      }
      REQUIRE(facts.vehicle == known.vehicle);
      REQUIRE(facts.stopped() == known.stopped);
      rounds += known.rounds.size() > 1;
      stops += known.stopped;
    }
  }
  CHECK(rounds > kBases);  // that the cases are worth reading
  CHECK(stops > kBases / 2);
}

TEST_CASE("the ranking equals the enumeration of every answer sheet") {
  int rounds = 0, pairs = 0, impossible = 0;
  double most = 0.0;
  for (int seed = 0; seed < kBases; ++seed) {
    World world(static_cast<std::uint64_t>(seed));
    for (int i = 0; i < kCases; ++i) {
      CAPTURE(seed);
      CAPTURE(i);
      const CaseFile file = random_case(world.base, world.random);
      const Ranking ranking = world.ranking(file);
      const double here = apart(ranking, world.brute.belief(known_of(world.base, file)));
      REQUIRE(here <= kClose);
      REQUIRE(log_odds(world.reasoner, world.facts(file)) == ranking.log_odds);
      most = std::max(most, here);
      rounds += ranking.round > 0;
      pairs += !ranking.pairs.empty();
      impossible += std::any_of(ranking.causes.begin(), ranking.causes.end(),
                                [](const Ranked& r) { return r.impossible; });
    }
  }
  MESSAGE("largest difference " << most << "; later rounds " << rounds << ", with pairs " << pairs
                                << ", impossible " << impossible);
  CHECK(rounds > kBases / 2);
  CHECK(pairs > kBases);
  CHECK(impossible > kBases / 2);
}

// Two causes, a three times as usual as b; x is a yes in one of five other complaints.
// strong = 8: P(x = yes | a) = 0.2 * 8 / (0.8 + 0.2 * 8) = 2/3, or 10/3 of the base rate.
TEST_CASE("two causes worked by hand") {
  struct Row {
    std::string together, rules;
    double single_a, single_b, pair;  // P(yes) over the base rate
    std::string how;
  };
  const std::string for_a =
      "- {rule: r, when: {x: yes}, for: {a: strong}, because: B., origin: invented}\n";
  const std::string for_both =
      for_a + "- {rule: s, when: {x: yes}, for: {b: some}, because: B., origin: invented}\n";
  const double some = 2.5 / (0.8 + 0.2 * 2.5);
  const std::vector<Row> rows = {
      {"either", for_a, 10.0 / 3, 1.0, (10.0 / 3 + 1.0) / 2,
       "mean of the member's table and the base"},
      {"any", for_a, 10.0 / 3, 1.0, 10.0 / 3, "1 - (1-p)(1-b)/(1-b) = p"},
      {"either", for_both, 10.0 / 3, some, (10.0 / 3 + some) / 2, "mean of the members' tables"},
      {"any", for_both, 10.0 / 3, some, (29.0 / 39) / 0.2, "1 - (1/3)(8/13)/(1-0.2) = 29/39"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.how);
    const World world(small_base(
        {"x: {ask: X, kind: yesno, base: 0.2, asked_at: [write_up], together: " + row.together +
             "}\n",
         cause_text("a", 30) + cause_text("b", 10), row.rules}));
    const Ranking ranking = world.ranking(case_of({says("x", "yes", 1)}));
    // 85 % singles as 3 to 1, 10 % the one pair, 5 % not listed.
    const double a = 0.6375 * row.single_a, b = 0.2125 * row.single_b, both = 0.10 * row.pair,
                 other = 0.05;
    const double total = a + b + both + other;
    CHECK(ranking.of(0).alone == doctest::Approx(a / total).epsilon(1e-12));
    CHECK(ranking.of(0).probability == doctest::Approx((a + both) / total).epsilon(1e-12));
    CHECK(ranking.of(1).probability == doctest::Approx((b + both) / total).epsilon(1e-12));
    CHECK(ranking.not_listed == doctest::Approx(other / total).epsilon(1e-12));
    CHECK(ranking.nothing_left == 0.0);
    CHECK(ranking.pairs.at(0).probability == doctest::Approx(both / total).epsilon(1e-12));

    // a is mended and x is gone. What was a alone has nothing left: P(no) = 0.8; the pair is b
    // alone.
    const Ranking after =
        world.ranking(case_of({says("x", "yes", 1), repaired("mend_a", 2), says("x", "no", 3)}));
    const double b_no = (1.0 - 0.2 * row.single_b) / 0.8;
    const double sum = a + b * b_no + both * b_no + other;
    CHECK(after.round == 1);
    CHECK(after.of(0).probability == 0.0);
    CHECK(after.nothing_left == doctest::Approx(a / sum).epsilon(1e-12));
    CHECK(after.of(1).alone == doctest::Approx((b + both) * b_no / sum).epsilon(1e-12));
    CHECK(after.of(1).probability == after.of(1).alone);
    CHECK(after.pairs.empty());
    CHECK(after.not_listed == doctest::Approx(other / sum).epsilon(1e-12));
  }
}

// Read at four wheels: the fault sits at one of them. P(bad there | a) = 2/3, elsewhere 0.2.
TEST_CASE("a reading at each wheel worked by hand") {
  const World world(small_base(
      {"x: {ask: X, kind: yesno, base: 0.2, asked_at: [bay], per: wheel}\n",
       cause_text("a", 30) + cause_text("b", 10, "not_with: [a]"),
       "- {rule: r, when: {x: yes}, for: {a: strong}, because: B., origin: invented}\n"}));
  const auto odds_after = [&](std::vector<Entry> entries) {
    return std::exp(world.ranking(case_of(std::move(entries))).log_odds[0]) / (0.95 * 0.75 / 0.05);
  };
  const auto wheel = [](const std::string& place, const std::string& value) {
    Entry out = says("x", value, 1);
    out.place = place;
    return out;
  };
  const double yes = 10.0 / 3, no = (1.0 / 3) / 0.8;
  CHECK(odds_after({wheel("left_front", "yes")}) == doctest::Approx((yes + 3) / 4).epsilon(1e-12));
  CHECK(odds_after({wheel("left_front", "no")}) == doctest::Approx((no + 3) / 4).epsilon(1e-12));
  CHECK(odds_after({wheel("left_front", "yes"), wheel("right_rear", "yes")}) ==
        doctest::Approx((2 * yes + 2) / 4).epsilon(1e-12));
  CHECK(odds_after({wheel("front_axle", "no"), wheel("left_rear", "yes")}) ==
        doctest::Approx((2 * no + yes + 1) / 4).epsilon(1e-12));
  CHECK(odds_after({wheel("all", "no")}) == doctest::Approx(no).epsilon(1e-12));
}

// `any` at four wheels: each of two faults sits at a wheel of its own, sixteen ways. p = q = 2/3,
// so where both sit P(yes) = 1 - (1/9)/0.8 = 31/36.
TEST_CASE("two faults at four wheels worked by hand") {
  const World world(small_base(
      {"x: {ask: X, kind: yesno, base: 0.2, asked_at: [bay], per: wheel, together: any}\n",
       cause_text("a", 30) + cause_text("b", 10),
       "- {rule: r, when: {x: yes}, for: {a: strong, b: strong}, because: B., origin: "
       "invented}\n"}));
  const auto wheel = [](const std::string& place, const std::string& value) {
    Entry out = says("x", value, 1);
    out.place = place;
    return out;
  };
  const auto pair_after = [&](std::vector<Entry> entries) {
    const Ranking ranking = world.ranking(case_of(std::move(entries)));
    return ranking.pairs.at(0).probability / ranking.not_listed / (0.10 / 0.05);
  };
  const double one = 10.0 / 3, both = (31.0 / 36) / 0.2;
  CHECK(pair_after({wheel("left_front", "yes")}) ==
        doctest::Approx((both + 6 * one + 9) / 16).epsilon(1e-12));
  CHECK(pair_after({wheel("left_front", "yes"), wheel("right_rear", "yes")}) ==
        doctest::Approx((2 * both + 2 * one * one + 8 * one + 4) / 16).epsilon(1e-12));
}

TEST_CASE("two causes whose needs contradict each other are no pair") {
  const World world(small_base(
      {"y: {ask: Y, kind: yesno, base: 0.4, asked_at: [write_up], lasts: vehicle}\n"
       "x: {ask: X, kind: yesno, base: 0.2, asked_at: [write_up]}\n",
       cause_text("a", 30, "needs: {y: yes}") + cause_text("b", 10, "needs: {y: no}"),
       "- {rule: r, when: {x: yes, y: yes}, for: {a: strong}, because: B., origin: invented}\n"
       "- {rule: s, when: {x: yes, y: no}, for: {b: some}, because: B., origin: invented}\n"}));
  CHECK(world.reasoner.pairs().pairs().empty());
  const Ranking before = world.ranking(case_of({}));
  CHECK(before.of(0).probability == doctest::Approx(0.95 * 0.75).epsilon(1e-12));
  CHECK(before.pairs.empty());
  const Ranking after = world.ranking(case_of({says("x", "yes", 1)}));
  // Given its need, x is 2/3 under a and 5/13 under b.
  const double a = 0.95 * 0.75 * 10.0 / 3, b = 0.95 * 0.25 * (5.0 / 13) / 0.2;
  CHECK(after.of(0).probability == doctest::Approx(a / (a + b + 0.05)).epsilon(1e-12));
  CHECK(after.of(1).probability == doctest::Approx(b / (a + b + 0.05)).epsilon(1e-12));
}

namespace {

// Says that x is e^1.2 times as likely under a and half as likely under b.
class FixedProvider : public Provider {
 public:
  std::string name() const override { return "fixed"; }
  std::vector<int> facts(const RuleBase& base) const override { return {base.fact_index("x")}; }
  ProviderWeights weigh(const RuleBase& base, const CaseFacts& facts,
                        std::size_t round) const override {
    const Reading* reading = facts.rounds[round].find(base.fact_index("x"));
    if (reading == nullptr || reading->unsure) return {};
    return {{base.fact_index("x")}, {1.2, std::log(0.5)}, {1, 1}};
  }
  std::string because(const RuleBase&, const CaseFacts&, std::size_t, int cause) const override {
    return cause == 0 ? "It fits." : "It does not.";
  }
  ProviderTable expect(const RuleBase&, const CaseFacts&, int) const override { return {}; }
};

}  // namespace

TEST_CASE("a provider's weights multiply, and a pair has their mean") {
  const FixedProvider provider;
  const RuleBase base = small_base(
      {"x: {ask: X, kind: yesno, base: 0.2, asked_at: [write_up]}\n",
       cause_text("a", 30) + cause_text("b", 10),
       "- {rule: r, when: {loose: yes}, for: {a: some}, because: B., origin: invented}\n"});
  const Reasoner reasoner(base, {&provider});
  const auto ranked = [&](const CaseFile& file) { return rank(reasoner, *facts_of(file, base)); };
  const double a = 0.6375 * std::exp(1.2), b = 0.2125 * 0.5,
               both = 0.10 * (std::exp(1.2) + 0.5) / 2;
  const double total = a + b + both + 0.05;
  const Ranking one = ranked(case_of({says("x", "yes", 1)}));
  CHECK(one.of(0).alone == doctest::Approx(a / total).epsilon(1e-12));
  CHECK(one.of(1).alone == doctest::Approx(b / total).epsilon(1e-12));
  CHECK(one.pairs.at(0).probability == doctest::Approx(both / total).epsilon(1e-12));
  CHECK(one.not_listed == doctest::Approx(0.05 / total).epsilon(1e-12));

  const Ranking unsure = ranked(case_of({says_unsure("x", 1)}));
  CHECK(unsure.of(0).alone == doctest::Approx(0.6375).epsilon(1e-12));

  // a is mended; the reading of the second round speaks of what is left: b, or nothing.
  const Ranking two =
      ranked(case_of({says("x", "yes", 1), repaired("mend_a", 2), says("x", "yes", 3)}));
  const double sum = a + b * 0.5 + both * 0.5 + 0.05;
  CHECK(two.nothing_left == doctest::Approx(a / sum).epsilon(1e-12));
  CHECK(two.of(1).alone == doctest::Approx((b + both) * 0.5 / sum).epsilon(1e-12));
}
