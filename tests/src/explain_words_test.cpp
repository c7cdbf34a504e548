// The words of explanations, to the letter, on a small invented rule base: tests/src/explained.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <utility>

#include "src/answers/explain.h"
#include "src/answers/reasoning.h"
#include "tests/engine/knowledge/small_base.h"
#include "tests/src/run_perrev.h"

using namespace perrev;
using perrev::small::SmallBase;
using perrev::test::project;
using perrev::test::read_whole;

namespace {

std::string explained(const RuleBase& base, const std::string& name, bool with_case) {
  const std::string path = project("tests/src/explained/case.json");
  auto open = read_case(path, read_whole(path), base);
  REQUIRE(open.ok());
  const Reasoning reasoning(base);
  const Explainer with{reasoning.reasoner, with_case ? &*open : nullptr, Units::metric};
  std::string out;
  for (const NamedThing& thing : things_named(base, name)) out += explain_text(with, thing);
  return out;
}

}  // namespace

TEST_CASE("a rule, a cause, a fact and a check in words") {
  const RuleBase base = SmallBase().loaded();
  struct Row {
    const char* name;
    bool with_case;
  };
  for (const Row& row : {Row{"worst_at_speed", true}, Row{"rim_out_of_true", true},
                         Row{"bent_rim", true}, Row{"worn_joint", false}, Row{"rim_runout", true},
                         Row{"nuts_loose", false}, Row{"gauge_on_rim", true}}) {
    CAPTURE(row.name);
    CHECK(explained(base, row.name, row.with_case) ==
          read_whole(project(std::string("tests/src/explained/") + row.name + ".txt")));
  }
}

TEST_CASE("a fact and a cause of one id are both told") {
  const RuleBase base = SmallBase()
                            .append("facts.yaml",
                                    "worn_joint: {ask: Is it worn, kind: yesno, base: 0.1, "
                                    "asked_at: bay}\n")
                            .loaded();
  const std::string text = explained(base, "worn_joint", false);
  CHECK(text.find("Cause: A worn joint of the shaft [worn_joint]") != std::string::npos);
  CHECK(text.find("Fact: Is it worn [worn_joint]") != std::string::npos);
}

TEST_CASE("what is computed, from what, and for which causes") {
  const RuleBase base = perrev::small::base_with_physics().loaded();
  CHECK(explained(base, "bent_rim", false)
            .find("\nComputed, and not weighed by rules\n"
                  "    felt_at, worst_speed, how_strong\n"
                  "    Physics computes from its size: radial runout, mm total reading, of the\n"
                  "        order that shakes\n"
                  "    Size: half of such vehicles have more than 0.8 mm, two thirds lie between\n"
                  "        0.444 mm and 1.44 mm\n"
                  "    At the front axle in 50 % of them; it shakes whenever the vehicle moves\n"
                  "    Heard at that size: 2 dB above the threshold of hearing\n"
                  "    Origin: from memory (rules/physics.yaml:25)\n") != std::string::npos);
  CHECK(explained(base, "felt_at", false)
            .find("\nComputed for these causes, and not weighed by rules\n"
                  "    A bent rim [bent_rim], by physics\n") != std::string::npos);
  for (const char* name : {"wheel_imbalance", "rim_runout"})
    CHECK(explained(base, name, false).find("Computed") == std::string::npos);
}

TEST_CASE("what is computed, as JSON") {
  const RuleBase base = perrev::small::base_with_physics().loaded();
  const Reasoning reasoning(base);
  const Explainer with{reasoning.reasoner, nullptr, Units::us};
  const auto told = [&](const char* name) {
    return explain_json(with, things_named(base, name)[0]);
  };
  const auto computed = told("bent_rim")["computed"];
  CHECK(computed["facts"].dump() == R"(["felt_at","worst_speed","how_strong"])");
  const auto& physics = computed["physics"];
  CHECK(physics["kind"] == "radial_runout");
  CHECK(physics["unit"] == "mm");
  CHECK(physics["median"] == 0.8);
  CHECK(physics["spread"] == 1.8);
  CHECK(physics["size_words"] ==
        "half of such vehicles have more than 0.0315 in, two thirds lie between 0.0175 in and "
        "0.0567 in");
  CHECK(physics["front_probability"] == 0.5);
  CHECK(physics["while"] == "driving");
  CHECK(physics["place"].dump() == R"({"file":"rules/physics.yaml","line":25})");
  CHECK(told("wheel_imbalance")["computed"].dump() == R"({"facts":[],"physics":null})");
  CHECK(told("worst_speed")["computed_for"].dump() == R"([{"cause":"bent_rim","by":"physics"}])");
  CHECK(told("rim_runout")["computed_for"].dump() == "[]");
}
