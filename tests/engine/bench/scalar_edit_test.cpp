#include "engine/bench/scalar_edit.h"

#include <doctest/doctest.h>

using namespace perrev;

namespace {

const std::string kText =
    "# a comment, strong\n"
    "- rule: one\n"
    "  for: {a: strong, b: some}  # why\n"
    "  because: Größer: strong\n";

}  // namespace

TEST_CASE("an edit changes one value and no other byte") {
  const auto text =
      edited(kText, {{"f.yaml", 3, 12, "strong", "6.3"}, {"f.yaml", 3, 23, "some", "very_strong"}});
  REQUIRE(text.ok());
  CHECK(*text ==
        "# a comment, strong\n"
        "- rule: one\n"
        "  for: {a: 6.3, b: very_strong}  # why\n"
        "  because: Größer: strong\n");
  CHECK(*edited(kText, {}) == kText);
}

TEST_CASE("an edit that does not find its value is refused, and all such are told") {
  struct Row {
    int line, column;
    std::string was;
  };
  for (const Row& row : {Row{3, 13, "strong"}, Row{3, 12, "stron"}, Row{9, 1, "x"}, Row{0, 1, "x"},
                         Row{3, 0, "x"}, Row{3, 400, "x"}, Row{3, 12, "weak"}}) {
    CAPTURE(row.column);
    const auto text = edited(kText, {{"f.yaml", row.line, row.column, row.was, "hint"},
                                     {"f.yaml", 2, 9, "two", "three"}});
    REQUIRE(!text.ok());
    CHECK(text.error().size() == 2);
  }
}

// The format as POSIX.1-2017 describes it for `diff -u`.
TEST_CASE("a difference has three lines about each change, and says where") {
  std::string before;
  for (int i = 1; i <= 20; ++i) before += "line " + std::to_string(i) + "\n";
  std::string after = before;
  const auto put = [&](int line) {
    const std::string was = "line " + std::to_string(line) + "\n";
    after.replace(after.find(was), was.size(), "other\n");
  };
  CHECK(unified_diff("f", before, after).empty());
  put(2);
  put(6);
  put(17);
  CHECK(unified_diff("f", before, after) ==
        "--- a/f\n+++ b/f\n"
        "@@ -1,9 +1,9 @@\n line 1\n-line 2\n+other\n line 3\n line 4\n line 5\n-line 6\n+other\n"
        " line 7\n line 8\n line 9\n"
        "@@ -14,7 +14,7 @@\n line 14\n line 15\n line 16\n-line 17\n+other\n line 18\n line 19\n"
        " line 20\n");
  CHECK(unified_diff("f", "a\nb", "a\nc") ==
        "--- a/f\n+++ b/f\n@@ -1,2 +1,2 @@\n a\n-b\n\\ No newline at end of file\n"
        "+c\n\\ No newline at end of file\n");
}
