#include "engine/bench/coverage.h"

#include <algorithm>

#include "tests/engine/bench/bench_case.h"

using namespace perrev;
using namespace perrev::bench;

namespace {

Exercised exercised(const std::vector<std::string>& entries, const std::string& truth = "[]") {
  const CaseFile file =
      case_of(R"({"about": "a", "every_cause_at_most": 1, "true": )" + truth + "}", entries);
  const auto expected = read_expectation(file, small_rules());
  if (!expected) FAIL(expected.error().front().text());
  return exercised_by(small_rules(), file, facts_in(file), *expected);
}

template <class Things>
std::string ids(const Things& things, const std::vector<char>& flags) {
  std::string out;
  for (std::size_t i = 0; i < things.size(); ++i)
    if (flags[i]) out += (out.empty() ? "" : " ") + things[i].id;
  return out;
}

std::string answers(const Exercised& of) {
  const RuleBase& base = small_rules();
  std::string out;
  for (std::size_t f = 0; f < base.facts.size(); ++f) {
    const auto names = answers_of(base, static_cast<int>(f), Units::metric);
    for (std::size_t a = 0; a < names.size(); ++a)
      if (of.answers[f][a]) out += base.facts[f].id + "=" + names[a] + "\n";
  }
  return out;
}

std::string edges(const Exercised& of) {
  const RuleBase& base = small_rules();
  std::string out;
  for (std::size_t e = 0; e < base.edges.size(); ++e)
    if (of.edges[e])
      out += base.vertex_name(base.edges[e].from) + ">" + base.vertex_name(base.edges[e].to) + "\n";
  return out;
}

const RuleBase& base() { return small_rules(); }

const std::vector<std::string> kTalk = {answer("write_up", "began_after", R"("nothing")"),
                                        answer("write_up", "felt_at", R"(["seat"])"),
                                        answer("write_up", "words", R"("it shakes")")};

}  // namespace

TEST_CASE("a talk at the counter exercises what it answers, offers and opens") {
  const Exercised of = exercised(kTalk, R"(["worn_joint"])");
  CHECK(ids(base().rules, of.rules) == "");
  CHECK(answers(of) == "began_after=nothing\nfelt_at=seat\nwords=any text\n");
  CHECK(ids(base().checks, of.offered) == "ask_customer look_at_nuts shake_shaft");
  CHECK(ids(base().checks, of.learned) == "ask_customer");
  CHECK(edges(of) == "start>ask_customer\nstart>look_at_nuts\nask_customer>shake_shaft\n");
  CHECK(ids(base().causes, of.causes) == "worn_joint");
}

TEST_CASE("readings fire rules, and a passed gate opens what is behind it") {
  std::vector<std::string> entries = kTalk;
  entries[1] = answer("write_up", "felt_at", R"(["steering_wheel"])");
  entries.push_back(answer("bay", "nuts_loose", R"("no")"));
  entries.push_back(answer("bay", "nuts_sound", R"("yes")"));
  entries.push_back(answer("road", "worst_speed", R"("90 km/h")"));
  entries.push_back(answer("road", "hums", R"("no")"));
  const Exercised of = exercised(entries);
  CHECK(ids(base().rules, of.rules) == "felt_in_the_wheel worst_at_speed");
  CHECK(ids(base().checks, of.offered) ==
        "ask_customer look_at_nuts drive gauge_on_rim shake_shaft");
  CHECK(ids(base().checks, of.learned) == "ask_customer look_at_nuts");
  CHECK(edges(of).find("safe_to_move>drive\n") != std::string::npos);
  CHECK(answers(of).find("hums=no\n") != std::string::npos);
  CHECK(answers(of).find("hums=yes\n") == std::string::npos);
}

TEST_CASE("what was taken back and what nobody could tell is not exercised; its moment was") {
  std::vector<std::string> entries = kTalk;
  entries.push_back(R"("by": "write_up", "retracts": "1")");
  entries.push_back(R"("by": "road", "fact": "hums", "answer": "unsure")");
  const Exercised of = exercised(entries);
  CHECK(answers(of) == "felt_at=seat\nwords=any text\n");
  CHECK(ids(base().checks, of.learned) == "");
  CHECK(ids(base().checks, of.offered).find("shake_shaft") != std::string::npos);
}

TEST_CASE("more cases only add") {
  Exercised all = exercised(kTalk, R"(["worn_joint"])");
  const Exercised other = exercised({answer("road", "hums", R"("yes")")}, R"(["bent_rim"])");
  const Exercised before = all;
  all.add(other);
  for (std::size_t r = 0; r < all.rules.size(); ++r)
    CHECK(bool(all.rules[r]) == (before.rules[r] || other.rules[r]));
  CHECK(ids(base().causes, all.causes) == "worn_joint bent_rim");
  CHECK(answers(all) == "began_after=nothing\nfelt_at=seat\nhums=yes\nwords=any text\n");
}

TEST_CASE("a fault is put to physics by a case of its cause that answers what is computed for it") {
  const RuleBase rules = small::base_with_physics().loaded();
  const auto faults = [&](const std::string& truth, const std::vector<std::string>& entries) {
    const CaseFile file =
        case_of(R"({"about": "a", "every_cause_at_most": 1, "true": )" + truth + "}", entries);
    const auto expected = read_expectation(file, rules);
    const auto facts = facts_of(file, rules);
    REQUIRE(expected.ok());
    REQUIRE(facts.ok());
    return exercised_by(rules, file, *facts, *expected).faults;
  };
  const std::string seat = answer("write_up", "felt_at", R"(["seat"])"),
                    fast = answer("road", "worst_speed", R"("100 km/h")"),
                    runout =
                        answer("bay", "rim_runout", R"("2 mm")") + R"(, "place": "left_front")";
  using Flags = std::vector<char>;
  CHECK(faults(R"(["bent_rim"])", {seat}) == Flags{1});
  CHECK(faults(R"(["bent_rim"])", {fast}) == Flags{1});
  CHECK(faults(R"(["bent_rim", "worn_joint"])", {runout, seat}) == Flags{1});
  CHECK(faults(R"(["bent_rim"])", {runout}) == Flags{0});
  CHECK(faults(R"(["wheel_imbalance"])", {seat, fast}) == Flags{0});
  CHECK(faults("[]", {seat}) == Flags{0});
}
