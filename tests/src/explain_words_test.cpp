// The words of explanations, to the letter, on a small invented rule base: tests/src/explained.
#include <doctest/doctest.h>

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
