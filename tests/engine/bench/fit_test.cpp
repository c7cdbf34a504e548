#include "engine/bench/fit.h"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "engine/bench/fit_proposal.h"
#include "tests/engine/knowledge/small_base.h"

using namespace perrev;

namespace {

struct Bench {
  explicit Bench(const small::SmallBase& from = {}) {
    for (const SourceFile& file : from.files()) files.push_back(parse_file(file));
    auto made = build_rule_base(files);
    REQUIRE(made.ok());
    base = std::move(made).value();
    claims = claims_of(Written(base, files));
  }

  ClosedCase closed(const std::string& cause, const std::string& entries) const {
    const auto file = CaseFile::parse(
        "closed.json", R"({"perrev_case": 1, "label": "invented", "entries": [)" + entries + "]}");
    REQUIRE(file.ok());
    const auto facts = facts_of(*file, base);
    REQUIRE(facts.ok());
    return {"closed", {base.cause_index(cause)}, *facts};
  }

  std::size_t claim(const std::string& rule, const std::string& name) const {
    for (std::size_t c = 0; c < claims.size(); ++c)
      if (base.rules[static_cast<std::size_t>(claims[c].rule)].id == rule && claims[c].name == name)
        return c;
    FAIL("no such claim");
    return 0;
  }

  std::vector<ParsedFile> files;
  RuleBase base;
  std::vector<Claim> claims;
};

std::string answer(const std::string& id, const std::string& fact, const std::string& value) {
  return R"({"id": ")" + id + R"(", "at": "2026-05-04T09:00:00Z", "by": "road", "fact": ")" + fact +
         R"(", "value": )" + value + "}";
}

const StrengthFit& of_claim(const Fit& learned, std::size_t claim) {
  for (const StrengthFit& one : learned.strengths)
    if (one.claim == claim) return one;
  FAIL("the claim was not fitted");
  return learned.strengths.front();
}

}  // namespace

TEST_CASE("claims are what the rules say of each name, as they stand in the files") {
  const Bench bench;
  std::vector<std::string> found;
  for (const Claim& claim : bench.claims) {
    std::string causes;
    for (const int cause : claim.causes)
      causes += " " + (cause == bench.base.nothing_left()
                           ? std::string("nothing_left")
                           : bench.base.causes[static_cast<std::size_t>(cause)].id);
    found.push_back(bench.base.rules[static_cast<std::size_t>(claim.rule)].id + " " + claim.name +
                    (claim.log_ratio > 0 ? " for " : " against ") + claim.strength + ":" + causes);
  }
  CHECK(small::listed(found) ==
        "after_new_tires wheel_imbalance for strong: wheel_imbalance\n"
        "after_new_tires shafts against some: worn_joint\n"
        "felt_in_the_wheel wheels for some: wheel_imbalance\n"
        "felt_in_the_wheel bent_rim for hint: bent_rim\n"
        "worst_at_speed wheel_imbalance for some: wheel_imbalance\n"
        "rim_out_of_true bent_rim for strong: bent_rim\n"
        "play_in_the_shaft worn_joint for strong: worn_joint\n"
        "play_in_the_shaft nothing_left against some: nothing_left\n");
}

TEST_CASE("a claim that says another strength is the rule base with that written in its place") {
  const Bench bench;
  for (const Claim& claim : bench.claims)
    for (const NumberWord& to : {NumberWord{"hint", 1.5}, NumberWord{"6.3", 6.3}}) {
      RuleBase said = bench.base;
      say(said, claim, to);
      std::vector<ParsedFile> files;
      for (const ParsedFile& file : bench.files) {
        SourceFile source = file.source;
        if (source.name == claim.file) {
          const auto text = edited(
              source.text, {{claim.file, claim.line, claim.column, claim.strength, to.word}});
          REQUIRE(text.ok());
          source.text = *text;
        }
        files.push_back(parse_file(source));
      }
      const auto written = build_rule_base(files);
      REQUIRE(written.ok());
      for (std::size_t r = 0; r < said.rules.size(); ++r) {
        const auto &a = said.rules[r].effects, &b = written->rules[r].effects;
        REQUIRE(a.size() == b.size());
        for (std::size_t e = 0; e < a.size(); ++e) {
          CHECK(a[e].cause == b[e].cause);
          CHECK(a[e].strength == b[e].strength);
          CHECK(a[e].log_ratio == b[e].log_ratio);
        }
      }
    }
}

TEST_CASE("without closed cases nothing is proposed") {
  const Bench bench;
  const Fit learned = fit(bench.base, bench.claims, {});
  CHECK(learned.strengths.empty());
  for (const UsualFit& one : learned.usual) CHECK(one.to == doctest::Approx(one.from));
  CHECK(propose(bench.base, bench.claims, learned).empty());
}

// The mean of a beta density after k of n, where the density stood for m cases at p0: (m p0 + k) /
// (m + n). Gelman et al., Bayesian Data Analysis, 3rd ed., 2.4.
TEST_CASE("one rule on one yes or no comes to the mean of the beta density") {
  const Bench bench;
  const std::size_t claim = bench.claim("felt_in_the_wheel", "bent_rim");
  const double base_rate = 0.4, ratio = 1.5;
  const double before = base_rate * ratio / (1.0 - base_rate + base_rate * ratio);
  for (const int n : {1, 5, 40})
    for (int k = n / 2; k <= n; k += 4) {
      CAPTURE(n);
      CAPTURE(k);
      std::vector<ClosedCase> cases;
      for (int i = 0; i < n; ++i)
        cases.push_back(bench.closed(
            "bent_rim", answer("1", "felt_at", i < k ? R"(["steering_wheel"])" : R"(["seat"])")));
      const StrengthFit learned = of_claim(fit(bench.base, bench.claims, cases), claim);
      const double odds = std::exp(learned.log_ratio);
      const double after = base_rate * odds / (1.0 - base_rate + base_rate * odds);
      const double m = learned.stands_for;
      CHECK(m == doctest::Approx(1.0 / (0.35 * 0.35 * before * (1.0 - before))));
      CHECK(after == doctest::Approx((m * before + k) / (m + n)).epsilon(1e-4));
      CHECK(learned.cases == n);
      CHECK(learned.held == doctest::Approx(k));
      CHECK(learned.expected == doctest::Approx(n * before));
    }
}

TEST_CASE("a rule on two facts, one of them not always known, is where a search finds it") {
  const Bench bench;
  const std::size_t claim = bench.claim("worst_at_speed", "wheel_imbalance");
  const std::string in = answer("1", "worst_speed", "\"95 km/h\""),
                    out = answer("1", "worst_speed", "\"50 km/h\""),
                    quiet = "," + answer("2", "hums", "\"no\"");
  std::vector<ClosedCase> cases;
  for (int i = 0; i < 12; ++i) {
    cases.push_back(bench.closed("wheel_imbalance", in));
    cases.push_back(bench.closed("wheel_imbalance", (i % 4 ? in : out) + quiet));
  }
  const StrengthFit learned = of_claim(fit(bench.base, bench.claims, cases), claim);

  const double base_rate = 0.5 * 0.75;  // 80 to 120 km/h, and no hum
  const auto holds = [&](double x) {
    return base_rate * std::exp(x) / (1.0 - base_rate + base_rate * std::exp(x));
  };
  const double before = holds(std::log(2.5));
  const int cause = bench.base.cause_index("wheel_imbalance");
  double best = 0.0, best_worth = -1e9;
  for (double x = 0.1; x < 4.0; x += 0.002) {
    RuleBase tried = bench.base;
    say(tried, bench.claims[claim], {"tried", std::exp(x)});
    const AnswerModel model(tried);
    double worth = learned.stands_for *
                   (before * std::log(holds(x)) + (1.0 - before) * std::log(1.0 - holds(x)));
    for (const ClosedCase& one : cases)
      worth += model.log_weight(cause, one.facts.rounds.front().answers);
    if (worth > best_worth) {
      best_worth = worth;
      best = x;
    }
  }
  CHECK(best > std::log(2.5));
  CHECK(learned.log_ratio == doctest::Approx(best).epsilon(0.003));
}

TEST_CASE("how usual a cause is moves with its cases, and the sum stays") {
  const Bench bench;
  std::vector<ClosedCase> cases;
  for (int i = 0; i < 30; ++i)
    cases.push_back(bench.closed(i < 12 ? "worn_joint" : "bent_rim", ""));
  const Fit learned = fit(bench.base, bench.claims, cases);
  const double all = 123.0;
  std::vector<double> expected;
  double sum = 0.0;
  for (const auto& [usual, count] : {std::pair{3.0, 12.0}, {100.0, 0.0}, {20.0, 18.0}}) {
    expected.push_back(usual * (1.6 + count) / (1.6 + 30.0 * usual / all));
    sum += expected.back();
  }
  for (std::size_t c = 0; c < 3; ++c)  // in the order of the files: worn_joint, the wheels
    CHECK(learned.usual[c].to == doctest::Approx(expected[c] * all / sum));
}

TEST_CASE("few cases change little, however they come out") {
  const Bench bench;
  for (const std::string felt : {R"(["steering_wheel"])", R"(["seat"])"}) {
    const std::vector<ClosedCase> cases = {bench.closed("bent_rim", answer("1", "felt_at", felt))};
    for (const StrengthFit& one : fit(bench.base, bench.claims, cases).strengths)
      CHECK(std::abs(one.log_ratio - bench.claims[one.claim].log_ratio) < kLeastChange);
  }
}

TEST_CASE("a claim stays on its side") {
  const Bench bench;
  std::vector<ClosedCase> cases;
  for (int i = 0; i < 400; ++i)
    cases.push_back(bench.closed("bent_rim", answer("1", "felt_at", R"(["seat"])")));
  const StrengthFit learned =
      of_claim(fit(bench.base, bench.claims, cases), bench.claim("felt_in_the_wheel", "bent_rim"));
  CHECK(learned.log_ratio == doctest::Approx(std::log(1.1)));
}

TEST_CASE("a strength beyond what is ever proposed stays where it is") {
  for (const std::string strength : {"1.05", "500"}) {
    CAPTURE(strength);
    small::SmallBase made;
    made.change("evidence/history.yaml", "bent_rim: hint", "bent_rim: " + strength);
    const Bench bench(made);
    const std::size_t claim = bench.claim("felt_in_the_wheel", "bent_rim");
    const StrengthFit learned =
        of_claim(fit(bench.base, bench.claims,
                     {bench.closed("bent_rim", answer("1", "felt_at", R"(["steering_wheel"])"))}),
                 claim);
    CHECK(std::abs(learned.log_ratio - bench.claims[claim].log_ratio) < kLeastChange);
  }
}

TEST_CASE("cases left out are judged by what is proposed of the others, and by no more") {
  const Bench bench;
  std::vector<ClosedCase> cases;
  for (int i = 0; i < 60; ++i)
    cases.push_back(bench.closed(i % 3 ? "bent_rim" : "wheel_imbalance",
                                 answer("1", "felt_at", R"(["seat"])")));
  std::vector<ClosedCase> taught;
  for (std::size_t i = 0; i < cases.size(); ++i)
    if (i % 5 != 2) taught.push_back(cases[i]);
  const Fit learned = fit(bench.base, bench.claims, taught);
  double last = 0.0;
  for (const Learns learns : {Learns::usual, Learns::strengths, Learns::all}) {
    const Proposal proposal = propose(bench.base, bench.claims, learned, learns);
    CHECK(proposal.usual.empty() == (learns == Learns::strengths));
    CHECK(proposal.strengths.empty() == (learns == Learns::usual));
    const RuleBase then = proposed(bench.base, bench.claims, proposal);
    const Reasoner before(bench.base), after(then);
    const std::vector<HeldOut> found = held_out(bench.base, bench.claims, cases, 2, 5, learns);
    REQUIRE(found.size() == 12);
    for (std::size_t i = 0; i < found.size(); ++i) {
      CHECK(found[i].before == log_loss(before, cases[2 + 5 * i]));
      CHECK(found[i].after == log_loss(after, cases[2 + 5 * i]));
    }
    CHECK(found[0].after != last);
    last = found[0].after;
  }
}

TEST_CASE("nothing is proposed that would not load") {
  small::SmallBase made;
  made.change("causes/wheels.yaml", "usual: 100", "usual: 900");
  const Bench bench(made);
  Fit learned;
  learned.usual.push_back({1, 900.0, 1400.0, 99.0, 1.0});
  const Proposal proposal = propose(bench.base, bench.claims, learned);
  REQUIRE(proposal.usual.size() == 1);
  CHECK(proposal.usual[0].to.word == "1000");
}

TEST_CASE("a proposal keeps words where they are near, and its edits say what it says") {
  const Bench bench;
  Fit learned;
  learned.usual.push_back({0, 3.0, 4.5678, 1.0, 1.0});
  learned.usual.push_back({1, 100.0, 104.0, 1.0, 1.0});  // too little
  learned.usual.push_back({2, 20.0, 3.1, 1.0, 1.0});
  const std::size_t claim = bench.claim("felt_in_the_wheel", "bent_rim"),
                    other = bench.claim("play_in_the_shaft", "worn_joint");
  learned.strengths.push_back({claim, std::log(2.45), 9, 1.0, 1.0, 1.0});
  learned.strengths.push_back({other, std::log(5.6789), 9, 1.0, 1.0, 1.0});
  const Proposal proposal = propose(bench.base, bench.claims, learned);
  std::vector<std::string> found;
  for (const ScalarEdit& edit : edits_of(Written(bench.base, bench.files), bench.claims, proposal))
    found.push_back(edit.file + ":" + std::to_string(edit.line) + ": " + edit.was + " to " +
                    edit.to);
  CHECK(small::listed(found) ==
        "causes/wheels.yaml:12: common to rare\n"
        "causes/shafts.yaml:4: rare to 4.6\n"
        "evidence/history.yaml:9: hint to some\n"
        "evidence/readings.yaml:13: strong to 5.7\n");
  const RuleBase after = proposed(bench.base, bench.claims, proposal);
  CHECK(after.causes[0].usual == 4.6);
  CHECK(after.causes[1].usual == 100.0);
  CHECK(after.causes[2].usual == 3.0);
}

TEST_CASE("the gain on cases left out is a mean with its standard error") {
  CHECK(gain_of({}).error == 0.0);
  CHECK(gain_of({{1.0, 0.5}}).mean == 0.0);
  const Gain gain = gain_of({{1.0, 0.5}, {2.0, 2.5}, {1.0, 0.0}});
  CHECK(gain.mean == doctest::Approx(1.0 / 3.0));
  // Standard deviation of .5, -.5 and 1 over the root of 3.
  CHECK(gain.error == doctest::Approx(0.7637626158 / std::sqrt(3.0)));
}

TEST_CASE("nothing is learned of strengths where physics computes the answers") {
  const Bench ruled, bench(small::base_with_physics());
  const int rim = bench.base.cause_index("bent_rim"),
            imbalance = bench.base.cause_index("wheel_imbalance");
  const auto causes_of = [](const Bench& of) {
    return of.claims[of.claim("felt_in_the_wheel", "wheels")].causes;
  };
  CHECK(causes_of(ruled) == std::vector<int>{imbalance});  // bent_rim is named itself
  CHECK(causes_of(bench) == std::vector<int>{imbalance});  // and here computed
  for (const Claim& claim : bench.claims)
    for (const int cause : claim.causes)
      if (cause == rim)
        CHECK(bench.base.rules[static_cast<std::size_t>(claim.rule)].id == "rim_out_of_true");
}

TEST_CASE("a family whose first cause is computed still stands for the others") {
  small::SmallBase from = small::base_with_physics();
  from.change("physics.yaml", "  bent_rim:", "  wheel_imbalance:");
  from.change("evidence/readings.yaml", "for: {wheel_imbalance: some}", "for: {bent_rim: some}");
  const Bench bench(from);
  const Claim& claim = bench.claims[bench.claim("felt_in_the_wheel", "wheels")];
  CHECK(claim.causes == std::vector<int>{bench.base.cause_index("bent_rim")});
  CHECK(claim.log_ratio == doctest::Approx(std::log(2.5)));
}
