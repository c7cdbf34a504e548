#include "tests/src/shipped.h"

#include <doctest/doctest.h>

#include "src/rules.h"
#include "tests/src/run_perrev.h"

namespace perrev::test {

const RuleBase& shipped_rules() {
  static const RuleBase base = [] {
    auto loaded = load_rules(project("rules"));
    if (!loaded)
      for (const Problem& p : loaded.error()) MESSAGE(p.text());
    REQUIRE(loaded.ok());
    return std::move(loaded).value();
  }();
  return base;
}

const Reasoning& shipped_reasoning() {
  static const Reasoning reasoning(shipped_rules());
  return reasoning;
}

}  // namespace perrev::test
