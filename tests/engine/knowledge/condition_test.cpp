// Conditions in Kleene's three-valued logic.
#include "engine/knowledge/condition.h"

#include <doctest/doctest.h>

#include <string>
#include <utility>
#include <vector>

#include "tests/engine/knowledge/small_base.h"

using perrev::AnswerSet;
using perrev::Condition;
using perrev::Truth;
using perrev::small::Lcg;

namespace {

constexpr Truth kAll[] = {Truth::no, Truth::unknown, Truth::yes};

std::string name(Truth truth) {
  return truth == Truth::yes ? "yes" : truth == Truth::no ? "no" : "unknown";
}

// A test of variable `v`, which is yes when its answer is 1.
Condition is(int v) { return Condition::test(v, AnswerSet{2}); }

int answer_for(Truth truth) { return truth == Truth::yes ? 1 : truth == Truth::no ? 0 : -1; }

// Any condition on `variables` variables of `answers` answers each.
Condition random_condition(Lcg& lcg, int variables, int answers, int depth) {
  const int kind = depth == 0 ? 0 : lcg.below(4);
  if (kind == 0) {
    AnswerSet set = 0;
    for (int i = 0; i < answers; ++i)
      if (lcg.below(2) == 1) set |= AnswerSet{1} << i;
    return Condition::test(lcg.below(variables), set);
  }
  if (kind == 1)
    return Condition::of(Condition::Kind::negation,
                         {random_condition(lcg, variables, answers, depth - 1)});
  std::vector<Condition> parts;
  for (int i = 0, n = lcg.below(4); i < n; ++i)
    parts.push_back(random_condition(lcg, variables, answers, depth - 1));
  return Condition::of(kind == 2 ? Condition::Kind::all : Condition::Kind::any, std::move(parts));
}

// The slow twin: no short cuts.
Truth slowly(const Condition& condition, const std::vector<int>& answers) {
  if (condition.kind == Condition::Kind::test) {
    const int answer = answers[static_cast<std::size_t>(condition.variable)];
    if (answer < 0) return Truth::unknown;
    return (condition.answers & (AnswerSet{1} << answer)) != 0 ? Truth::yes : Truth::no;
  }
  int yes = 0, no = 0, unknown = 0;
  for (const Condition& part : condition.parts) {
    const Truth truth = slowly(part, answers);
    ++(truth == Truth::yes ? yes : truth == Truth::no ? no : unknown);
  }
  if (condition.kind == Condition::Kind::negation)
    return unknown > 0 ? Truth::unknown : yes > 0 ? Truth::no : Truth::yes;
  if (condition.kind == Condition::Kind::all)
    return no > 0 ? Truth::no : unknown > 0 ? Truth::unknown : Truth::yes;
  return yes > 0 ? Truth::yes : unknown > 0 ? Truth::unknown : Truth::no;
}

}  // namespace

TEST_CASE("the tables of and, or, not (Kleene 1952)") {
  const char* const kAnd[3][3] = {
      {"no", "no", "no"}, {"no", "unknown", "unknown"}, {"no", "unknown", "yes"}};
  const char* const kOr[3][3] = {
      {"no", "unknown", "yes"}, {"unknown", "unknown", "yes"}, {"yes", "yes", "yes"}};
  const char* const kNot[3] = {"yes", "unknown", "no"};
  for (int a = 0; a < 3; ++a) {
    const std::vector<int> alone = {answer_for(kAll[a])};
    CHECK(name(Condition::of(Condition::Kind::negation, {is(0)}).read(alone)) == kNot[a]);
    for (int b = 0; b < 3; ++b) {
      const std::vector<int> both = {answer_for(kAll[a]), answer_for(kAll[b])};
      CHECK(name(Condition::of(Condition::Kind::all, {is(0), is(1)}).read(both)) == kAnd[a][b]);
      CHECK(name(Condition::of(Condition::Kind::any, {is(0), is(1)}).read(both)) == kOr[a][b]);
    }
  }
}

TEST_CASE("nothing in a list: all of it is true, none of it is") {
  CHECK(Condition().read(std::vector<int>{}) == Truth::yes);  // what stands where no condition does
  CHECK(Condition::of(Condition::Kind::all, {}).read(std::vector<int>{}) == Truth::yes);
  CHECK(Condition::of(Condition::Kind::any, {}).read(std::vector<int>{}) == Truth::no);
}

TEST_CASE("a test looks at its own variable and at every answer in its set, up to the 64th") {
  for (int answer = -1; answer < 64; ++answer) {
    const std::vector<int> answers = {-1, answer, 0};
    const Truth expected = answer < 0                                    ? Truth::unknown
                           : answer == 0 || answer == 31 || answer == 63 ? Truth::yes
                                                                         : Truth::no;
    const AnswerSet set = AnswerSet{1} | (AnswerSet{1} << 31) | (AnswerSet{1} << 63);
    CHECK(Condition::test(1, set).read(answers) == expected);
  }
}

TEST_CASE("variables are told sorted and once; every test is visited") {
  Condition made =
      Condition::of(Condition::Kind::any,
                    {is(7), Condition::of(Condition::Kind::negation, {is(2)}),
                     Condition::of(Condition::Kind::all,
                                   {is(7), is(0), Condition::of(Condition::Kind::any, {})})});
  CHECK(made.variables() == std::vector<int>{0, 2, 7});
  int visits = 0;
  made.each_test([&](Condition& leaf) {
    ++visits;
    leaf.variable += 1;
  });
  CHECK(visits == 4);
  CHECK(made.variables() == std::vector<int>{1, 3, 8});
  CHECK(Condition().variables().empty());
}

TEST_CASE("laws over random conditions: the twin agrees, and what is learned contradicts nothing") {
  constexpr int kVariables = 4, kAnswers = 3;
  int definite = 0, open = 0;
  for (unsigned long long seed = 0; seed < 3000; ++seed) {
    Lcg lcg(seed);
    const Condition condition = random_condition(lcg, kVariables, kAnswers, 4);
    std::vector<int> answers;
    for (int v = 0; v < kVariables; ++v) answers.push_back(lcg.below(kAnswers + 1) - 1);
    const Truth truth = condition.read(answers);
    CHECK(truth == slowly(condition, answers));
    CHECK(truth == condition.read([&](int v) { return answers[static_cast<std::size_t>(v)]; }));
    ++(truth == Truth::unknown ? open : definite);
    // Its opposite is the opposite, known or not.
    const Truth opposite = Condition::of(Condition::Kind::negation, {condition}).read(answers);
    CHECK((truth == Truth::unknown) == (opposite == Truth::unknown));
    CHECK((truth == Truth::yes) == (opposite == Truth::no));
    // Every way to fill in one or all of what is unknown.
    for (int v = 0; v < kVariables; ++v) {
      if (answers[static_cast<std::size_t>(v)] >= 0) continue;
      for (int answer = 0; answer < kAnswers; ++answer) {
        std::vector<int> more = answers;
        more[static_cast<std::size_t>(v)] = answer;
        if (truth != Truth::unknown) CHECK(condition.read(more) == truth);
        for (int& each : more)
          if (each < 0) each = lcg.below(kAnswers);
        const Truth full = condition.read(more);
        CHECK(full != Truth::unknown);
        if (truth != Truth::unknown) CHECK(full == truth);
      }
    }
  }
  CHECK(definite > 400);  // the law speaks of something
  CHECK(open > 400);
}
