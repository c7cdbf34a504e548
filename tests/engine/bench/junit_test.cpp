#include "engine/bench/junit.h"

#include <doctest/doctest.h>

using namespace perrev;

// XML 1.0, fifth edition: [2] Char, 2.4 character data and markup, 3.3.3 attribute values.
TEST_CASE("text is escaped so that it stays what it was, or U+FFFD where XML cannot hold it") {
  struct Row {
    const char* text;
    const char* escaped;
  };
  const Row rows[] = {
      {"plain", "plain"},
      {"a < b && c > \"d\"", "a &lt; b &amp;&amp; c &gt; &quot;d&quot;"},
      {"]]>", "]]&gt;"},
      {"one\ntwo\tthree\r", "one&#10;two&#9;three&#13;"},
      {"\x01\x1B[31m", "\xEF\xBF\xBD\xEF\xBF\xBD[31m"},
      {"\xC3\xA9 \xF0\x9F\x9A\x97", "\xC3\xA9 \xF0\x9F\x9A\x97"},
      {"\xFF\xC3", "\xEF\xBF\xBD\xEF\xBF\xBD"},
      {"\xEF\xBF\xBE\xEF\xBF\xBF", "\xEF\xBF\xBD\xEF\xBF\xBD"},
      {"\xED\xA0\x80", "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD"},
  };
  for (const Row& row : rows) CHECK(escaped_xml(row.text) == row.escaped);
}

TEST_CASE("each standing of a case has its element, and the suite counts them") {
  Miss miss;
  miss.key = "rank";
  miss.expected = "<a> at rank 1";
  miss.came = "rank 2";
  miss.deciders.push_back({0, "rule_one", 3.0, "It \"shakes\"."});
  const std::vector<TestedCase> cases = {
      {"good", CaseStanding::passed, {}, "", "", {}},
      {"bad", CaseStanding::failed, {}, "", "", {miss}},
      {"gap", CaseStanding::known_gap, {}, "", "later", {miss}},
      {"closed", CaseStanding::gap_closed, {}, "", "later", {}},
      {"broken", CaseStanding::unreadable, {problem("no JSON", "JSON")}, "", "", {}},
  };
  CHECK(junit_xml(cases) == R"(<?xml version="1.0" encoding="UTF-8"?>
<testsuites>
  <testsuite name="perrev rules test" tests="5" failures="2" errors="1" skipped="1">
    <testcase classname="cases" name="good"/>
    <testcase classname="cases" name="bad">
      <failure type="rank" message="expected &lt;a&gt; at rank 1; came rank 2">rank: expected &lt;a&gt; at rank 1; came rank 2&#10;  rule_one: It &quot;shakes&quot;.&#10;</failure>
    </testcase>
    <testcase classname="cases" name="gap">
      <skipped message="known gap: later"/>
    </testcase>
    <testcase classname="cases" name="closed">
      <failure type="known_gap" message="known gap is closed; remove known_gap"></failure>
    </testcase>
    <testcase classname="cases" name="broken">
      <error type="error" message="no JSON">)" +
                                escaped_xml(problem("no JSON", "JSON").text() + "\n") +
                                R"(</error>
    </testcase>
  </testsuite>
</testsuites>
)");
}
