// The bands of a number: between all thresholds in use, wherever they stand, with base rates that
// do not move when one is added.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "tests/engine/knowledge/small_base.h"
#include "tests/engine/knowledge/sound_base.h"

using perrev::AnswerSet;
using perrev::Condition;
using perrev::RuleBase;
using perrev::small::Lcg;
using perrev::small::SmallBase;

namespace {

constexpr double kKmh = 1.0 / 3.6;

const perrev::Variable& speed(const RuleBase& base) {
  return base.variables[static_cast<std::size_t>(
      base.facts[static_cast<std::size_t>(base.fact_index("worst_speed"))].first_variable)];
}

// "0 80 120 200" in km/h.
std::string edges(const RuleBase& base) {
  std::string out;
  for (const double edge : speed(base).edges)
    out += (out.empty() ? "" : " ") + perrev::show_number(edge / kKmh);
  return out;
}

// P(below) of worst_speed as facts.yaml of the small base gives it: straight between its points.
double share_below(double kmh) {
  const std::vector<std::pair<double, double>> points = {
      {0, 0}, {40, 0.1}, {80, 0.4}, {120, 0.9}, {200, 1}};
  for (std::size_t i = 1; i < points.size(); ++i)
    if (kmh <= points[i].first)
      return points[i - 1].second + (points[i].second - points[i - 1].second) *
                                        (kmh - points[i - 1].first) /
                                        (points[i].first - points[i - 1].first);
  return 1.0;
}

SmallBase with_rule(const std::string& ranges) {
  SmallBase base;
  base.append("evidence/readings.yaml",
              "- {rule: more, when: {worst_speed: " + ranges +
                  "}, for: {worn_joint: hint}, because: So it is., origin: from memory}\n");
  return base;
}

void check_rates(const RuleBase& base) {
  const perrev::Variable& variable = speed(base);
  double below = 0.0;
  for (std::size_t i = 0; i < variable.base.size(); ++i) {
    CHECK(variable.base[i] > 0.0);
    below += variable.base[i];
    CHECK(below == doctest::Approx(share_below(variable.edges[i + 1] / kKmh)).epsilon(1e-12));
  }
  CHECK(below == doctest::Approx(1.0).epsilon(1e-14));
}

// The bands of a test's answers are exactly those within [low, high).
void check_answers(const RuleBase& base, const Condition& condition) {
  condition.each_test([&](const Condition& leaf) {
    const perrev::Variable& variable = base.variables[static_cast<std::size_t>(leaf.variable)];
    if (variable.edges.empty()) return;
    for (std::size_t i = 0; i + 1 < variable.edges.size(); ++i) {
      const double middle = 0.5 * (variable.edges[i] + variable.edges[i + 1]);
      CHECK(((leaf.answers >> i) & 1u) == (middle >= leaf.low && middle < leaf.high));
    }
  });
}

}  // namespace

TEST_CASE("thresholds come from every place where a condition can stand") {
  CHECK(edges(SmallBase().loaded()) == "0 80 120 200");  // worst_at_speed
  struct Row {
    const char* file;
    const char* before;
    const char* after;
  };
  const Row rows[] = {
      {"facts.yaml", "asked_if: {felt_at: seat}", "asked_if: {worst_speed: 50..60 km/h}"},
      {"evidence/history.yaml", "when: {felt_at: steering_wheel}",
       "when: {any: [{not: {worst_speed: [..50 km/h, 60 km/h..]}}]}"},
      {"checks.yaml", "asked_if: {driven_axle: rear}", "asked_if: {worst_speed: 50..60 km/h}"},
      {"checks.yaml", "confirms: {worn_joint: {shaft_play: yes}}",
       "confirms: {worn_joint: {worst_speed: 50..60 km/h}}"},
      {"path.yaml", "when: {began_after: nothing}", "when: {worst_speed: 50..60 km/h}"},
  };
  for (const Row& row : rows) {
    INFO(std::string(row.after));
    SmallBase changed;
    const RuleBase base = changed.change(row.file, row.before, row.after).loaded();
    CHECK(edges(base) == "0 50 60 80 120 200");
    check_rates(base);
  }
}

TEST_CASE("what makes a threshold and what does not") {
  struct Row {
    const char* range;
    const char* edges;
  };
  const Row rows[] = {
      {"90..110 km/h", "0 80 90 110 120 200"},
      {"..90 km/h", "0 80 90 120 200"},
      {"90 km/h..", "0 80 90 120 200"},
      {"80..120 km/h", "0 80 120 200"},  // there already
      {"0..80 km/h", "0 80 120 200"},    // an end of the range is no threshold
      {"..200 km/h", "0 80 120 200"},
      {"120..300 km/h", "0 80 120 200"},  // nor is what lies beyond it
      {"22.2222222222..33.3333333333 m/s",
       "0 80 120 200"},  // the same in another unit, but for rounding
      {"49.70969537899 mph..", "0 80 120 200"},
      {"[90..100 km/h, 95..110 km/h]", "0 80 90 95 100 110 120 200"},
      {"80.001..120 km/h", "0 80 80.001 120 200"},  // close, but meant
  };
  for (const Row& row : rows) {
    INFO(std::string(row.range));
    const RuleBase base = with_rule(row.range).loaded();
    CHECK(edges(base) == row.edges);
    check_rates(base);
    for (const perrev::Rule& rule : base.rules) check_answers(base, rule.when);
  }
}

TEST_CASE("a band holds its low end and not its high one") {
  const RuleBase base = with_rule("..80 km/h").loaded();
  const Condition& below = base.rules.back().when;
  REQUIRE(edges(base) == "0 80 120 200");
  CHECK(below.answers == AnswerSet{0b001});  // [0, 80): 80 itself is in the next band
  CHECK(with_rule("80 km/h..").loaded().rules.back().when.answers == AnswerSet{0b110});
  CHECK(with_rule("80..120 km/h").loaded().rules.back().when.answers == AnswerSet{0b010});
  CHECK(base.answer_name(below.variable, 1, perrev::Units::metric) == "80 km/h to 120 km/h");
}

TEST_CASE("64 bands are the most") {
  const auto with_thresholds = [](int count) {
    std::string ranges = "[";
    for (int i = 0; i < count; ++i)
      ranges += (i > 0 ? ", .." : "..") + perrev::show_number(121.0 + i) + " km/h";
    return with_rule(ranges + "]");
  };
  const RuleBase base = with_thresholds(61).loaded();  // and 80 and 120
  CHECK(speed(base).size() == 64);
  CHECK(perrev::small::listed(perrev::small::unsound(base)) == "");
  check_rates(base);
  CHECK((base.rules.back().when.parts[60].answers >> 62) == 1);  // ..181: all but the last band
  CHECK(perrev::small::listed(with_thresholds(62).complaints()) ==
        "rules/facts.yaml:34:1: error: 'worst_speed' has more than 64 bands; fewer different "
        "thresholds in rules\n");
}

TEST_CASE("random thresholds: rates sum to one, and a threshold more moves none of the others") {
  for (unsigned long long seed = 0; seed < 150; ++seed) {
    Lcg lcg(seed);
    std::string ranges;
    std::vector<double> asked;
    for (int i = 0, n = 1 + lcg.below(12); i < n; ++i) {
      const double at = std::round(lcg.between(0.0, 2000.0)) / 10.0 + 0.05;
      ranges += (i > 0 ? ", .." : "..") + perrev::show_number(at) + " km/h";
      asked.push_back(at);
    }
    INFO(ranges);
    const RuleBase base = with_rule("[" + ranges + "]").loaded();
    check_rates(base);
    for (const perrev::Rule& rule : base.rules) check_answers(base, rule.when);
    // The share below each threshold as the sum of its test's bands: the same with one more.
    const std::string one_more = perrev::show_number(std::round(lcg.between(1.0, 199.0)) + 0.5);
    const RuleBase more = with_rule("[" + ranges + ", .." + one_more + " km/h]").loaded();
    check_rates(more);
    CHECK(speed(more).size() >= speed(base).size());
    const auto share_of = [](const RuleBase& of, std::size_t part) {
      const Condition& when = of.rules.back().when;
      const Condition& leaf = when.parts.empty() ? when : when.parts[part];
      double sum = 0.0;
      for (int i = 0; i < speed(of).size(); ++i)
        if ((leaf.answers >> i) & 1u) sum += speed(of).base[static_cast<std::size_t>(i)];
      return sum;
    };
    for (std::size_t i = 0; i < asked.size(); ++i) {
      CHECK(share_of(base, i) == doctest::Approx(share_below(asked[i])).epsilon(1e-12));
      CHECK(share_of(more, i) == doctest::Approx(share_of(base, i)).epsilon(1e-12));
    }
  }
}
