// Reference cases of a few entries against the small rule base. For the tests of this folder.
#pragma once

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "engine/bench/expectation.h"
#include "tests/engine/knowledge/small_base.h"

namespace perrev::bench {

inline const RuleBase& small_rules() {
  static const RuleBase base = small::SmallBase().loaded();
  return base;
}

// An entry a minute; each is the inside of a JSON object: `"by": "bay", "fact": "hums", ...`.
inline CaseFile case_of(const std::string& reference, const std::vector<std::string>& entries) {
  std::string text = R"({"perrev_case": 1, "reference": )" + reference + R"(, "entries": [)";
  for (std::size_t i = 0; i < entries.size(); ++i)
    text += std::string(i > 0 ? "," : "") + R"({"id": ")" + std::to_string(i + 1) +
            R"(", "at": "2026-05-04T09:)" + (i < 10 ? "0" : "") + std::to_string(i) + R"(:00Z", )" +
            entries[i] + "}";
  auto file = CaseFile::parse("case.json", text + "]}");
  if (!file) FAIL(file.error().front().text());
  return std::move(file).value();
}

inline std::string answer(const std::string& by, const std::string& fact,
                          const std::string& value) {
  return R"("by": ")" + by + R"(", "fact": ")" + fact + R"(", "value": )" + value;
}

inline CaseFacts facts_in(const CaseFile& file) {
  auto facts = facts_of(file, small_rules());
  if (!facts) FAIL(facts.error().front().text());
  return std::move(facts).value();
}

}  // namespace perrev::bench
