// The bytes under the YAML: UTF-8, control characters, line ends, size; and source lines for
// messages.
#include <doctest/doctest.h>

#include <cstdint>
#include <string>
#include <vector>

#include "engine/knowledge/source_text.h"
#include "engine/knowledge/yaml_parse.h"
#include "tests/engine/knowledge/small_base.h"

using perrev::check_text;
using perrev::kLargestText;
using perrev::parse_yaml;

namespace {

std::string said(const std::string& text) {
  return perrev::small::listed(perrev::small::first_lines(check_text("f", text)));
}

std::string encoded(std::uint32_t point) {
  const auto byte = [](std::uint32_t value) { return static_cast<char>(value); };
  if (point < 0x80) return {byte(point)};
  if (point < 0x800) return {byte(0xC0 | (point >> 6)), byte(0x80 | (point & 63))};
  if (point < 0x10000)
    return {byte(0xE0 | (point >> 12)), byte(0x80 | ((point >> 6) & 63)),
            byte(0x80 | (point & 63))};
  return {byte(0xF0 | (point >> 18)), byte(0x80 | ((point >> 12) & 63)),
          byte(0x80 | ((point >> 6) & 63)), byte(0x80 | (point & 63))};
}

// The slow twin: decodes by counting leading ones, and takes only what encodes to the same bytes.
bool is_utf8(const std::string& text) {
  for (std::size_t at = 0; at < text.size();) {
    const unsigned lead = static_cast<unsigned char>(text[at]);
    std::size_t length = 1;
    if (lead >= 0x80) {
      length = 0;
      for (unsigned bit = 0x80; bit > 0 && (lead & bit) != 0; bit >>= 1) ++length;
      if (length < 2 || length > 4 || at + length > text.size()) return false;
    }
    std::uint32_t point = length == 1 ? lead : lead & (0x7Fu >> length);
    for (std::size_t i = 1; i < length; ++i) {
      const unsigned tail = static_cast<unsigned char>(text[at + i]);
      if ((tail & 0xC0) != 0x80) return false;
      point = (point << 6) | (tail & 63);
    }
    if (point > 0x10FFFF || (point >= 0xD800 && point <= 0xDFFF)) return false;
    if (encoded(point) != text.substr(at, length)) return false;
    at += length;
  }
  return true;
}

}  // namespace

TEST_CASE("bytes that are refused, and where") {
  struct Row {
    std::string text;
    const char* place;
    const char* what;
  };
  const char* const kNul = "a NUL byte; plain text in UTF-8";
  const char* const kControl = "a control character; plain text in UTF-8";
  const char* const kMark = "the text begins with a byte order mark; save it as UTF-8 without one";
  const char* const kBad = "a byte that is not UTF-8; save the file as UTF-8";
  const Row rows[] = {
      {std::string("a: \0", 4), "1:4", kNul},
      {std::string("a: 1\n\0", 6), "2:1", kNul},
      {"\xEF\xBB\xBF"
       "a: 1",
       "1:1", kMark},
      {"\xFF\xFE"
       "a",
       "1:1", kBad},                   // UTF-16
      {"a: \x04 b", "1:4", kControl},  // the library's own end of text
      {"a: \x1B[31m", "1:4", kControl},
      {"a: \x7F", "1:4", kControl},
      {"a: \xC2\x9B"
       "31m",
       "1:4", kControl},  // C1, Unicode category Cc
      {"a: \xC2\x85", "1:4", kControl},
      {"a: b\rc: d", "1:5", kControl},  // a carriage return that ends no line
      {"a: b\r", "1:5", kControl},
      {"a: \r\r\n", "1:4", kControl},
      {"a: \f", "1:4", kControl},
      {"a: \x80", "1:4", kBad},  // a tail without a lead
      {"a: \xC3", "1:4", kBad},  // cut short
      {"a: \xC3\n", "1:4", kBad},
      {"a: \xE2\x82", "1:4", kBad},
      {"a: \xF0\x9F\x98", "1:4", kBad},
      {"a: \xC0\x80", "1:4", kBad},  // overlong
      {"a: \xC1\xBF", "1:4", kBad},
      {"a: \xE0\x9F\xBF", "1:4", kBad},
      {"a: \xF0\x8F\xBF\xBF", "1:4", kBad},
      {"a: \xED\xA0\x80", "1:4", kBad},  // surrogates
      {"a: \xED\xBF\xBF", "1:4", kBad},
      {"a: \xF4\x90\x80\x80", "1:4", kBad},  // above U+10FFFF
      {"a: \xF5\x80\x80\x80", "1:4", kBad},
      {"a: \xF8\x88\x80\x80\x80", "1:4", kBad},
      {"# \xC3\xA9 \xE9\na: 1", "1:6", kBad},  // in a comment as well
  };
  for (const Row& row : rows) {
    const std::string expected = std::string("f:") + row.place + ": error: " + row.what + "\n";
    CHECK(said(row.text) == expected);
    const auto tree = parse_yaml("f", row.text);
    REQUIRE_FALSE(tree.ok());
    CHECK(perrev::small::listed(perrev::small::first_lines(tree.error())) == expected);
  }
}

TEST_CASE("every character but control characters is read as it stands") {
  for (const std::uint32_t point :
       {0x20u, 0x7Eu, 0xA0u, 0xE9u, 0x7FFu, 0x800u, 0x2028u, 0xD7FFu, 0xE000u, 0xFEFFu, 0xFFFDu,
        0xFFFFu, 0x10000u, 0x1F600u, 0x10FFFFu}) {
    const std::string letter = encoded(point);
    CHECK(said(letter) == (point == 0xFEFFu ? said("\xEF\xBB\xBF") : ""));
    const auto tree = parse_yaml("f", "\"x" + letter + "\": \"y" + letter + "\"");
    REQUIRE(tree.ok());
    REQUIRE(tree->members.size() == 1);
    CHECK(tree->members[0].key == "x" + letter);
    CHECK(tree->members[0].value.scalar == "y" + letter);
  }
}

TEST_CASE("four bytes of any kind are taken exactly if they are UTF-8") {
  // Each edge of the ranges of table 3-7 of the Unicode standard, and its neighbours.
  const unsigned char kEdges[] = {0x41, 0x7E, 0x80, 0x8F, 0x90, 0x9F, 0xA0, 0xBF,
                                  0xC0, 0xC1, 0xC2, 0xDF, 0xE0, 0xE1, 0xEC, 0xED,
                                  0xEE, 0xEF, 0xF0, 0xF1, 0xF3, 0xF4, 0xF5, 0xFF};
  int wrong = 0, taken = 0;
  std::string text(4, ' ');
  for (const unsigned char a : kEdges)
    for (const unsigned char b : kEdges)
      for (const unsigned char c : kEdges)
        for (const unsigned char d : kEdges) {
          text = {static_cast<char>(a), static_cast<char>(b), static_cast<char>(c),
                  static_cast<char>(d)};
          const auto problems = check_text("f", text);
          const bool good = problems.empty() || problems[0].what != "a byte that is not UTF-8";
          // A control character or a mark may be told first; what is left then decides nothing.
          if (!problems.empty() && good) continue;
          if (good != is_utf8(text)) ++wrong;
          if (good) ++taken;
        }
  CHECK(wrong == 0);
  CHECK(taken > 100);
}

TEST_CASE("a text of the largest size is read, a larger one refused before it is parsed") {
  const std::string largest = "a: " + std::string(kLargestText - 3, 'b');
  REQUIRE(largest.size() == kLargestText);
  const auto tree = parse_yaml("f", largest);
  REQUIRE(tree.ok());
  CHECK(tree->members[0].value.scalar.size() == kLargestText - 3);
  const char* const kTold =
      "f:1:1: error: the text is larger than 8 MiB; split it into several files\n";
  CHECK(said(largest + "b") == kTold);
  // Not a byte of it is looked at: neither the NUL nor the bracket is told.
  std::string larger(kLargestText + 1, '[');
  larger[0] = '\0';
  CHECK(said(larger) == kTold);
  const auto refused = parse_yaml("f", larger);
  REQUIRE_FALSE(refused.ok());
  CHECK(perrev::small::listed(perrev::small::first_lines(refused.error())) == kTold);
}

TEST_CASE("lines may end with carriage return and line feed") {
  const std::string unix_text = "a:\n  - b\n  - 'c\n    d'\ne: |\n  f\n  g\n# h\n";
  std::string other;
  for (const char c : unix_text) other += c == '\n' ? "\r\n" : std::string(1, c);
  const auto one = parse_yaml("f", unix_text), two = parse_yaml("f", other);
  REQUIRE(one.ok());
  REQUIRE(two.ok());
  REQUIRE(two->members.size() == 2);
  CHECK(two->members[0].value.items[1].scalar == "c d");
  CHECK(two->members[1].value.scalar == one->members[1].value.scalar);
  CHECK(two->members[1].line == one->members[1].line);
  const auto wrong = parse_yaml("f", "a: 1\r\nb: [\r\na: 2\r\n");
  REQUIRE_FALSE(wrong.ok());
  CHECK(wrong.error()[0].source.find('\r') == std::string::npos);
}

TEST_CASE("source lines are cut to a terminal's width, between characters, and are always UTF-8") {
  struct Row {
    std::string text;
    int line;
    std::string shown;
  };
  const Row rows[] = {
      {"a\nb\r\nc", 1, "a"},
      {"a\nb\r\nc", 2, "b"},
      {"a\nb\r\nc", 3, "c"},
      {"a\nb\r\nc", 4, ""},
      {"a\n", 2, ""},
      {"", 1, ""},
      {"\ta\x1B"
       "b",
       1, " a b"},
      {"a\xE9"
       "b\xC3",
       1, "a?b?"},
      {std::string(96, 'x'), 1, std::string(96, 'x')},
      {std::string(97, 'x'), 1, std::string(96, 'x') + "..."},
      {std::string(95, 'x') + "\xC3\xA9", 1, std::string(95, 'x') + "..."},
      {std::string(94, 'x') + "\xC3\xA9", 1, std::string(94, 'x') + "\xC3\xA9"},
  };
  for (const Row& row : rows) {
    CHECK(perrev::source_line(row.text, row.line) == row.shown);
    CHECK(perrev::SourceLines(row.text).at(row.line) == row.shown);
  }
  CHECK(perrev::short_text("a\nb") == "a b");
  CHECK(perrev::short_text(std::string(59, 'x') + "\xC3\xA9") == std::string(59, 'x') + "...");
}
