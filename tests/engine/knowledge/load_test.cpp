// What loading makes of a rule base that is right: names resolved, rates, limits, rules, the path.
#include "engine/knowledge/load.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "tests/engine/knowledge/small_base.h"
#include "tests/engine/knowledge/sound_base.h"

using perrev::RuleBase;
using perrev::SourceFile;
using perrev::small::Lcg;
using perrev::small::SmallBase;

namespace {

const perrev::Fact& fact(const RuleBase& base, const std::string& id) {
  const int index = base.fact_index(id);
  REQUIRE(index >= 0);
  return base.facts[static_cast<std::size_t>(index)];
}

const perrev::Cause& cause(const RuleBase& base, const std::string& id) {
  const int index = base.cause_index(id);
  REQUIRE(index >= 0);
  return base.causes[static_cast<std::size_t>(index)];
}

// "wheel_imbalance +2.5, bent_rim -1.5": the odds ratios of a rule.
std::string effects(const RuleBase& base, const std::string& id) {
  std::string out;
  for (const perrev::Rule& rule : base.rules)
    if (rule.id == id)
      for (const perrev::Rule::Effect& effect : rule.effects) {
        const double ratio = std::exp(std::abs(effect.log_ratio));
        const std::string name = effect.cause == base.nothing_left()
                                     ? "nothing_left"
                                     : base.causes[static_cast<std::size_t>(effect.cause)].id;
        out += (out.empty() ? "" : ", ") + name + (effect.log_ratio > 0.0 ? " +" : " -") +
               perrev::show_number(ratio);
      }
  return out;
}

}  // namespace

TEST_CASE("the small base loads and keeps every promise") {
  const RuleBase base = SmallBase().loaded();
  CHECK(perrev::small::listed(perrev::small::unsound(base)) == "");
  CHECK(base.facts.size() == 12);
  CHECK(base.causes.size() == 3);
  CHECK(base.rules.size() == 5);
  CHECK(base.shares.not_listed == doctest::Approx(0.05));
  CHECK(base.digest.size() == 16);
}

TEST_CASE("facts: kinds, answers, rates, limits, stops") {
  const RuleBase base = SmallBase().loaded();
  const perrev::Fact& felt = fact(base, "felt_at");
  CHECK(felt.variable_count == 2);  // each answer is a yes/no of its own
  const perrev::Variable& wheel = base.variables[static_cast<std::size_t>(felt.first_variable)];
  CHECK(wheel.base == std::vector<double>{0.6, 0.4});
  CHECK(wheel.together_any);
  CHECK(base.variable_name(felt.first_variable + 1) == "felt_at: seat");

  const perrev::Fact& runout = fact(base, "rim_runout");
  REQUIRE(runout.limit >= 0);
  CHECK(runout.per == perrev::Per::wheel);
  CHECK(runout.answers[1].id == "bad");
  CHECK(base.variables[static_cast<std::size_t>(runout.first_variable)].slots == 4);
  const perrev::Limit& limit = base.limits[static_cast<std::size_t>(runout.limit)];
  CHECK(limit.lower_is_better);
  CHECK(limit.classes[0].id == "alloy");
  CHECK(limit.classes[0].good == doctest::Approx(0.0005));
  CHECK(limit.classes[1].bad == doctest::Approx(0.001));

  const perrev::Fact& loose = fact(base, "nuts_loose");
  REQUIRE(loose.stop.has_value());
  CHECK(loose.stop->answers == 2);  // yes
  CHECK(loose.clear == 1);          // no
  CHECK(loose.stop->cleared_by == base.fact_index("nuts_sound"));
  CHECK(loose.is_asked_at(perrev::Asker::bay));
  CHECK_FALSE(loose.is_asked_at(perrev::Asker::road));

  const perrev::Fact& words = fact(base, "words");
  CHECK(words.first_variable == -1);
  CHECK(words.variable_count == 0);
  CHECK(base.words(fact(base, "hums").asked_if) == "felt at: In the seat");
  CHECK(fact(base, "driven_axle").lasts_with_vehicle);
}

TEST_CASE("rates that sum to one but for rounding are scaled to one") {
  SmallBase changed;
  const RuleBase base =
      changed.change("facts.yaml", "{front: 0.6, rear: 0.4}", "{front: 0.6000005, rear: 0.4000004}")
          .loaded();
  const perrev::Fact& axle = fact(base, "driven_axle");
  const auto& rates = base.variables[static_cast<std::size_t>(axle.first_variable)].base;
  CHECK(rates[0] == doctest::Approx(0.6000005 / 1.0000009).epsilon(1e-12));
  CHECK(perrev::small::listed(perrev::small::unsound(base)) == "");
}

TEST_CASE("causes: words for rates, shares of orders, needs, pairs that are ruled out") {
  const RuleBase base = SmallBase().loaded();
  const perrev::Cause& rim = cause(base, "bent_rim");
  CHECK(rim.usual == doctest::Approx(20.0));  // `common`
  REQUIRE(rim.shakes.size() == 2);
  CHECK(rim.shakes[1].low_order == doctest::Approx(2.0));
  CHECK(rim.shakes[1].high_order == doctest::Approx(3.0));
  CHECK(rim.shakes[1].share == doctest::Approx(0.3));  // what the other leaves
  CHECK(rim.not_with == std::vector<int>{base.cause_index("wheel_imbalance")});
  CHECK(cause(base, "wheel_imbalance").not_with == std::vector<int>{base.cause_index("bent_rim")});
  const perrev::Cause& joint = cause(base, "worn_joint");
  REQUIRE(joint.needs.size() == 1);
  CHECK(joint.needs[0].first == fact(base, "driven_axle").first_variable);
  CHECK(joint.needs[0].second == 2);
  CHECK(joint.repair == base.repair_index("new_joint"));
}

TEST_CASE("within a rule the most particular name wins, in whatever order it stands") {
  const char* const kFile = "evidence/history.yaml";
  const char* const kFor = "for: {wheels: some, bent_rim: hint}";
  struct Row {
    const char* instead;
    const char* effects;
  };
  const Row rows[] = {
      {kFor, "wheel_imbalance +2.5, bent_rim +1.5"},
      {"for: {bent_rim: hint, wheels: some}", "wheel_imbalance +2.5, bent_rim +1.5"},
      {"for: {wheels: some}\n  against: {bent_rim: hint}", "wheel_imbalance +2.5, bent_rim -1.5"},
      {"for: {bent_rim: hint}\n  against: {wheels: some}", "wheel_imbalance -2.5, bent_rim +1.5"},
      {"against: {shafts: strong}", "worn_joint -8"},
      {"for: {nothing_left: strong}\n  against: {shafts: hint, wheels: hint}",
       "worn_joint -1.5, wheel_imbalance -1.5, bent_rim -1.5, nothing_left +8"},
  };
  for (const Row& row : rows) {
    INFO(std::string(row.instead));
    SmallBase changed;
    const RuleBase base = changed.change(kFile, kFor, row.instead).loaded();
    CHECK(effects(base, "felt_in_the_wheel") == row.effects);
  }
}

TEST_CASE("conditions: and, any of, ranges, not, any, all") {
  struct Row {
    const char* when;
    const char* words;
  };
  const Row rows[] = {
      {"{hums: yes}", "hums: yes"},
      {"{hums: yes, driven_axle: rear}", "hums: yes, and driven axle: The rear wheels"},
      {"{began_after: [tires_fitted, wheels_off]}",
       "began after: Tires were fitted or The wheels were off"},
      {"{felt_at: seat}", "felt at: In the seat"},
      {"{felt_at: [seat, steering_wheel]}",
       "felt at: In the seat, or felt at: In the steering wheel"},
      {"{not: {hums: yes}}", "not (hums: yes)"},
      {"{not: {hums: yes, felt_at: seat}}", "not (hums: yes, and felt at: In the seat)"},
      {"{any: [{hums: yes}, {felt_at: seat}]}", "hums: yes, or felt at: In the seat"},
      {"{any: [{hums: yes, felt_at: seat}, {driven_axle: rear}]}",
       "(hums: yes, and felt at: In the seat), or driven axle: The rear wheels"},
      {"{all: [{any: [{hums: yes}, {felt_at: seat}]}, {driven_axle: rear}]}",
       "(hums: yes, or felt at: In the seat), and driven axle: The rear wheels"},
      {"{worst_speed: 80..120 km/h}", "worst speed: 80 km/h to 120 km/h"},
      {"{worst_speed: ..80 km/h}", "worst speed: below 80 km/h"},
      {"{worst_speed: 80 km/h..}", "worst speed: from 80 km/h"},
      {"{worst_speed: [..40 km/h, 120 km/h..]}",
       "worst speed: below 40 km/h, or worst speed: from 120 km/h"},
      {"{rim_runout: bad}", "rim runout: out of its limit"},
  };
  for (const Row& row : rows) {
    INFO(std::string(row.when));
    SmallBase changed;
    const RuleBase base = changed.change("path.yaml", "{began_after: nothing}", row.when).loaded();
    std::string words;
    for (const perrev::PathEdge& edge : base.edges)
      if (base.vertex_name(edge.from) == "ask_customer")
        words = base.words(edge.when, perrev::Units::metric);
    CHECK(words == row.words);
  }
}

TEST_CASE("checks and the path") {
  const RuleBase base = SmallBase().loaded();
  const int gauge = base.check_index("gauge_on_rim");
  REQUIRE(gauge >= 0);
  const perrev::Check& check = base.checks[static_cast<std::size_t>(gauge)];
  CHECK(check.moves == perrev::Moves::wheels_spin);
  CHECK(check.setup == 0);
  CHECK(check.equipment == std::vector<int>{0});
  REQUIRE(check.confirms.size() == 1);
  CHECK(base.words(check.confirms[0].second) == "rim runout: out of its limit");  // the short form
  CHECK(base.vertex_count() == 1 + 5 + 1 + 2);
  std::string edges;
  for (const perrev::PathEdge& edge : base.edges)
    edges += base.vertex_name(edge.from) + (edge.passed ? "=>" : "->") + base.vertex_name(edge.to) +
             "\n";
  CHECK(edges ==
        "start->ask_customer\nstart->look_at_nuts\nask_customer->shake_shaft\n"
        "look_at_nuts->safe_to_move\nsafe_to_move=>drive\nsafe_to_move=>gauge_on_rim\n"
        "drive->verdict\ndrive->referral\ngauge_on_rim->verdict\ngauge_on_rim->referral\n"
        "shake_shaft->verdict\nshake_shaft->referral\n");
}

TEST_CASE("the order of the files changes nothing, any change of a text changes the digest") {
  const SmallBase small;
  const std::string written = perrev::small::written_out(small.loaded());
  std::vector<SourceFile> files = small.files();
  Lcg lcg(1);
  for (int round = 0; round < 20; ++round) {
    for (std::size_t i = files.size(); i > 1; --i)
      std::swap(files[i - 1], files[static_cast<std::size_t>(lcg.below(static_cast<int>(i)))]);
    const auto loaded = perrev::load_rule_base(files);
    REQUIRE(loaded.ok());
    CHECK(perrev::small::written_out(*loaded) == written);
  }
  SmallBase changed;
  changed.append("facts.yaml", "# a comment\n");
  CHECK(changed.loaded().digest != small.loaded().digest);
  // Parsing files one by one is the same as loading them together.
  std::vector<perrev::ParsedFile> parsed;
  for (const SourceFile& file : files) parsed.push_back(perrev::parse_file(file));
  const auto built = perrev::build_rule_base(std::move(parsed));
  REQUIRE(built.ok());
  CHECK(perrev::small::written_out(*built) == written);
}

TEST_CASE("a large base is no deeper: thousands of checks in a row, and a limit on edges") {
  std::string checks, path = "  - {from: start, to: c0}\n";
  for (int i = 0; i < 4900; ++i) {
    const std::string id = "c" + std::to_string(i);
    checks += id + ": {what: Look, by: bay, learns: hums, minutes: 1}\n";
    path += "  - {from: " + id + ", to: " + (i < 4899 ? "c" + std::to_string(i + 1) : "verdict") +
            "}\n";
  }
  SmallBase deep;
  deep.append("checks.yaml", checks).append("path.yaml", path);
  CHECK(deep.loaded().checks.size() == 4905);

  std::string all;
  for (int i = 0; i < 150; ++i) all += (i > 0 ? ", c" : "c") + std::to_string(i);
  SmallBase wide;
  wide.append("checks.yaml", checks);
  wide.append("path.yaml", "  - {from: [" + all + "], to: [" + all + "]}\n");
  CHECK(perrev::small::listed(wide.complaints()) ==
        "rules/path.yaml:12:5: error: the path has more than 5000 edges; shorter lists of from and "
        "to\n");
}
