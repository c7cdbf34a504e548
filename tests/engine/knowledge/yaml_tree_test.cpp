// YAML text to a tree: what is read, what is refused and how it is told, and the bounds that hold
// for any text. The bytes themselves are yaml_bytes_test.cpp.
#include <doctest/doctest.h>

#include <string>

#include "engine/knowledge/yaml_parse.h"
#include "tests/engine/knowledge/small_base.h"
#include "tests/engine/knowledge/tree_text.h"

using perrev::parse_yaml;
using perrev::small::shown;
using perrev::small::size_of;

namespace {

// The tree, or the first line of each problem.
std::string read(const std::string& text) {
  const auto tree = parse_yaml("f", text);
  return tree ? shown(*tree) : perrev::small::listed(perrev::small::first_lines(tree.error()));
}

std::string repeated(const std::string& text, int times) {
  std::string out;
  for (int i = 0; i < times; ++i) out += text;
  return out;
}

}  // namespace

TEST_CASE("what is read, and that scalars stay text") {
  struct Row {
    const char* text;
    const char* tree;
  };
  const Row rows[] = {
      {"a: 1", "{a='1'}"},
      {"a: {b: [c, d], e: {}}\nf: []", "{a={b=['c', 'd'], e={}}, f=[]}"},
      {"a:\n  b: c\n  d:\n    - e\n    - f: g\n      h: i\n",
       "{a={b='c', d=['e', {f='g', h='i'}]}}"},
      {"- a\n- - b\n  - c\n", "['a', ['b', 'c']]"},
      {"text", "'text'"},
      // What yaml libraries turn into numbers and truth values.
      {"[no, on, yes, true, 010, 0x1F, 1e3, .nan, .inf, 1_000, 12:30:45, 2026-05-04]",
       "['no', 'on', 'yes', 'true', '010', '0x1F', '1e3', '.nan', '.inf', '1_000', '12:30:45', "
       "'2026-05-04']"},
      {"no: yes", "{no='yes'}"},
      // Nothing.
      {"a:\nb: ~\nc: null\nd: ''\ne: \"null\"", "{a=~, b=~, c=~, d='', e='null'}"},
      {"{a, b: }", "{a=~, b=~}"},
      {"-\n- a", "[~, 'a']"},
      {"[a, , b]", "['a', ~, 'b']"},
      // Quotes, folding, comments.
      {"a: 'it''s: so'\nb: \"x\\ty\\u00e9\"", "{a='it's: so', b='x\ty\xC3\xA9'}"},
      {"a: |\n  x\n   y\nb: >-\n  x\n  y\n", "{a='x\n y\n', b='x y'}"},
      {"a: b  # c\n# d\ne: f#g", "{a='b', e='f#g'}"},
      {"a: one\n  two", "{a='one two'}"},
      {"? a\n: b", "{a='b'}"},
      {"\"a b\": c", "{a b='c'}"},
      // A merge key is a key like any other: nothing is merged.
      {"a: {x: 1}\n<<: {y: 2}", "{a={x='1'}, <<={y='2'}}"},
      {"a:\tb", "{a='b'}"},
      {"a: b? c", "{a='b? c'}"},
      // One document, with or without its marks and directives.
      {"---\na: 1\n", "{a='1'}"},
      {"a: 1\n...\n", "{a='1'}"},
      {"%YAML 1.2\n---\na: no\n", "{a='no'}"},
      {"%TAG ! tag:example.org,2000:\n---\na: 1\n", "{a='1'}"},
  };
  for (const Row& row : rows) {
    INFO(std::string(row.text));
    CHECK(read(row.text) == row.tree);
  }
}

TEST_CASE("what is refused, and where") {
  struct Row {
    const char* text;
    const char* place;
    const char* what;
  };
  const char* const kAnchor =
      "an anchor (&) is not allowed; write the value out where it is needed";
  const char* const kAlias = "an alias (*) is not allowed; write the value out";
  const char* const kTag = "a tag (!) is not allowed; leave it out: every value is text";
  const char* const kKey = "a key must be plain text; name: value, and every bracket closed";
  const char* const kEmpty = "the file is empty; at least one entry";
  const char* const kSecond =
      "a second document begins here; exactly one document a file, and even indentation";
  const char* const kEscape = "an escape makes a control character here; plain text";
  const char* const kTwice = "'a' stands here twice; first in line 1; keep one";
  // The library's words, with advice of our own.
  const char* const kQuotes = "a quote is not closed; quotes at both ends of a text";
  const char* const kColon =
      "not YAML: illegal map value; quotes round a text that holds ': ', or other indentation";
  const char* const kTab = "not YAML: illegal map value; indent with blanks, not tabs";
  const char* const kSquare =
      "not YAML: end of sequence flow not found; commas in between and a ] at the end";
  const char* const kCurly =
      "not YAML: end of map flow not found; commas in between and a } at the end";
  const char* const kStart =
      "not YAML: unknown token; quotes round a text that begins with @, % or `, or has a ? within "
      "brackets";
  const char* const kBackslash =
      "not YAML: unknown escape character: q; single quotes where a backslash is meant";
  const char* const kFlowEnd = "not YAML: illegal flow end; check indentation, brackets and quotes";
  const char* const kSurrogate =
      "not YAML: invalid unicode: 55296; check indentation, brackets and quotes";
  const char* const kVersion =
      "not YAML: YAML major version too large; check indentation, brackets and quotes";
  const Row rows[] = {
      {"&x [*x]", "1:1", kAnchor},
      {"a: &x 1\nb: *x", "1:4", kAnchor},
      {"a: &x", "1:4", kAnchor},
      {"&x a: 1", "1:1", kAnchor},
      {"a: [b, *c]", "1:8", kAlias},
      {"*c : 1", "1:1", kAlias},
      {"a: !!str 1", "1:4", kTag},
      {"a: !t", "1:4", kTag},
      {"a: ! 1", "1:4", kTag},
      {"a: ! '1'", "1:4", kTag},
      {"! {a: 1}", "1:1", kTag},
      {"a: !<tag:yaml.org,2002:str> 1", "1:4", kTag},
      {"!!binary a: 1", "1:1", kTag},
      {"a: !!null", "1:4", kTag},
      {"? [a]\n: 1", "1:3", kKey},
      {"? {a: 1}\n: 1", "1:3", kKey},
      {"{[a]: 1}", "1:2", kKey},
      {"? ", "1:3", kKey},
      {"a: b\n?\n", "2:2", kKey},
      {": 1", "1:1", kKey},
      {"~: 1", "1:1", kKey},
      {"null: 1", "1:1", kKey},
      {"{,}", "1:2", kKey},
      {"[[a", "1:1", kKey},
      {"", "1:1", kEmpty},
      {"# only a comment\n", "1:1", kEmpty},
      {"\n\n", "1:1", kEmpty},
      {"---\n", "1:1", kEmpty},
      {"~", "1:1", kEmpty},
      {"%YAML 1.2\n", "1:1", kEmpty},
      {"a: 1\n---\nb: 2\n", "2:1", kSecond},
      {"a: 1\n---\n", "2:1", kSecond},
      {"a: 1\n...\n---\nb: 2\n", "3:1", kSecond},
      {"- a\nb: c\n", "2:1", kSecond},
      {"a: \"\\0\"", "1:4", kEscape},
      {"a: \"x\\e[31m\"", "1:4", kEscape},
      {"a: \"\\x9b\"", "1:4", kEscape},
      {"\"\\a\": b", "1:1", kEscape},
      {"a: \"\\r\"", "1:4", kEscape},
      {"a: \"\\N\"", "1:4", kEscape},
      {"a: \"\\_\"", "1:4", kEscape},
      {"{a: 1, b: 2, a: 3}", "1:14", kTwice},
      {"\"a\": 1\nb: 2\n? a\n: 3\n", "3:3", kTwice},
      {"- a: 1\n  a: 2\n", "2:3", kTwice},
      {"a: b: c", "1:5", kColon},
      {"a: 1\n b: 2", "2:3", kColon},
      {"a:\n\tb: c", "2:3", kTab},
      {"a: \"b\n", "1:4", kQuotes},
      {"a: \"b\nc: d\n", "1:4", kQuotes},
      {"a: [b, 'it''s]\nc: d\n", "1:8", kQuotes},
      {"a: \"b\\\"\n", "1:4", kQuotes},
      {"'a: b", "1:1", kQuotes},
      {"a: 'b", "1:4", kQuotes},
      {"a: [b", "1:4", kSquare},
      {"a: [b\nc: d\n", "2:2", kSquare},
      {"a: {b: 1 c: 2}", "1:11", kCurly},
      {"a: @b", "1:4", kStart},
      {"a: {b: c?}", "1:9", kStart},
      {"a: ]", "1:4", kFlowEnd},
      {"a: \"\\q\"", "1:7", kBackslash},
      {"a: \"\\ud800\"", "1:11", kSurrogate},
      {"%YAML 2.0\n---\na: 1", "1:1", kVersion},
  };
  for (const Row& row : rows) {
    INFO(std::string(row.text));
    CHECK(read(row.text) == std::string("f:") + row.place + ": error: " + row.what + "\n");
  }
}

TEST_CASE("every key that stands twice is told, with both lines, also before what is not YAML") {
  CHECK(read("a: 1\nb: {c: 1, c: 2}\na: 2\na: 3\nd: [\n") ==
        "f:2:11: error: 'c' stands here twice; first in line 2; keep one\n"
        "f:5:4: error: not YAML: end of sequence flow not found; commas in between and a ] at the "
        "end\n");
  CHECK(read("a: 1\nb: {c: 1, c: 2}\na: 2\na: 3\n") ==
        "f:2:11: error: 'c' stands here twice; first in line 2; keep one\n"
        "f:3:1: error: 'a' stands here twice; first in line 1; keep one\n"
        "f:4:1: error: 'a' stands here twice; first in line 1; keep one\n");
  // Once took a time that grew with the square of the number of lines.
  const auto many = parse_yaml("f", repeated("a: 1\n", 20000));
  REQUIRE_FALSE(many.ok());
  CHECK(many.error().size() == 1000);  // no more than anybody reads
  CHECK(many.error().back().place.line == 1001);
  CHECK(many.error().back().source == "a: 1");
}

TEST_CASE("aliases that would grow to millions of nodes are refused at the first anchor") {
  std::string text = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n";
  for (int i = 1; text.size() < 300; ++i) {
    const std::string before = "*a" + std::to_string(i - 1);
    text += "a" + std::to_string(i) + ": &a" + std::to_string(i) + " [" +
            repeated(before + ", ", 8) + before + "]\n";
  }
  const auto tree = parse_yaml("f", text);
  REQUIRE_FALSE(tree.ok());
  REQUIRE(tree.error().size() == 1);
  CHECK(tree.error()[0].place.line == 1);
  CHECK(tree.error()[0].place.column == 5);
}

TEST_CASE("nesting ends at its limit, whatever its form, and is told near the start") {
  struct Form {
    const char* open;
    const char* inner;
    const char* close;
    int levels;  // one `open` adds
  };
  const Form forms[] = {
      {"[", "x", "]", 1},         {"{a: ", "x", "}", 1},   {"- ", "x", "", 1},
      {"[{a: ", "x", "}]", 2},    {"{a: [", "x", "]}", 2}, {"- - ", "x", "", 2},
      {"[\n", "x", "\n]", 1},     {"[[], ", "x", "]", 1},  {"{\"a\": ", "x", "}", 1},
      {"[a, {b: ", "x", "}]", 2},
  };
  for (const Form& form : forms) {
    INFO(std::string(form.open));
    const auto nest = [&](int times) {
      return parse_yaml("f", repeated(form.open, times) + form.inner + repeated(form.close, times));
    };
    const int most = perrev::kDeepest / form.levels;
    const auto deepest = nest(most - (form.open[1] == '[' ? 1 : 0));  // "[[], " is two deep inside
    REQUIRE(deepest.ok());
    CHECK(size_of(*deepest).depth <= perrev::kDeepest);
    for (const int times : {most + 1, 500, 10000}) {
      const auto tree = nest(times);
      REQUIRE_FALSE(tree.ok());
      REQUIRE(tree.error().size() == 1);
      CHECK(tree.error()[0].what == "nested more than 50 deep");
      CHECK(tree.error()[0].place.line <= perrev::kDeepest + 1);
      CHECK(tree.error()[0].place.column <= 10 * perrev::kDeepest);
    }
  }
  std::string steps;  // blocks under blocks, one level a line
  for (int i = 0; i < 1000; ++i) steps += std::string(static_cast<std::size_t>(i), ' ') + "a:\n";
  CHECK(read(steps) ==
        "f:51:51: error: nested more than 50 deep; rule files need less than ten levels\n");
  // Left open, it is refused for that.
  for (const char* open : {"[", "{", "[{a: ", "? ", "- [", "a: {"})
    CHECK_FALSE(parse_yaml("f", repeated(open, 10000)).ok());
}
