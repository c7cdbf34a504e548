// Laws of reading YAML over random texts: what was written comes back, and nothing gets out of
// bounds.
#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "engine/knowledge/source_text.h"
#include "engine/knowledge/yaml_parse.h"
#include "tests/engine/knowledge/small_base.h"
#include "tests/engine/knowledge/tree_text.h"

using perrev::parse_yaml;
using perrev::YamlMember;
using perrev::YamlNode;
using perrev::small::Lcg;
using perrev::small::shown;
using perrev::small::size_of;

namespace {

// Writes a random tree, and with it what reading it must give.
class Writer {
 public:
  explicit Writer(unsigned long long seed) : lcg_(seed) {}

  std::string block(int indent, int depth, YamlNode& made) {
    const std::string blanks(static_cast<std::size_t>(indent), ' ');
    std::string out;
    const bool mapping = lcg_.below(2) == 0;
    made.kind = mapping ? YamlNode::Kind::mapping : YamlNode::Kind::sequence;
    for (int i = 0, n = 1 + lcg_.below(4); i < n; ++i) {
      YamlNode value;
      const std::string key = "k" + std::to_string(i);
      out += blanks + (mapping ? key + ":" : "-");
      if (depth > 0 && lcg_.below(2) == 0)
        out += "\n" + block(indent + 2, depth - 1, value);
      else
        out += " " + flow(depth, value) + (lcg_.below(3) == 0 ? "  # why\n" : "\n");
      if (lcg_.below(5) == 0) out += "\n";
      if (mapping)
        made.members.push_back({key, 0, 0, value});
      else
        made.items.push_back(value);
    }
    return out;
  }

 private:
  std::string flow(int depth, YamlNode& made) {
    static const char* const kPlain[] = {"a", "no", "0.5", "80..120 km/h", "two words", "x:y"};
    static const char* const kQuoted[] = {"", "a: b", "#", "it's", "[x]", "\xC3\xA9", "null"};
    const int form = lcg_.below(depth > 0 ? 6 : 4);
    if (form >= 4) {
      std::string out;
      made.kind = form == 4 ? YamlNode::Kind::sequence : YamlNode::Kind::mapping;
      for (int i = 0, n = lcg_.below(4); i < n; ++i) {
        YamlNode value;
        const std::string key = "k" + std::to_string(i);
        const std::string text = flow(depth - 1, value);
        out += (out.empty() ? "" : ", ") + (form == 4 ? text : key + ": " + text);
        if (form == 4)
          made.items.push_back(value);
        else
          made.members.push_back({key, 0, 0, value});
      }
      return form == 4 ? "[" + out + "]" : "{" + out + "}";
    }
    if (form == 3) return "~";
    made.kind = YamlNode::Kind::scalar;
    made.scalar = form == 0 ? kPlain[lcg_.below(6)] : kQuoted[lcg_.below(7)];
    return form == 0 ? made.scalar : "\"" + made.scalar + "\"";
  }

  Lcg lcg_;
};

// Each key and each plain scalar stands in the text where the tree says so.
void check_places(const YamlNode& node, const std::vector<std::string>& lines) {
  const auto at = [&](int line, int column) {
    REQUIRE(line >= 1);
    REQUIRE(line <= static_cast<int>(lines.size()));
    REQUIRE(column >= 1);
    const std::string& text = lines[static_cast<std::size_t>(line - 1)];
    REQUIRE(column <= static_cast<int>(text.size()) + 1);
    return text.substr(static_cast<std::size_t>(column - 1));
  };
  const std::string here = at(node.line, node.column);
  if (node.kind == YamlNode::Kind::scalar) CHECK(here.find(node.scalar) <= 1);
  for (const YamlMember& member : node.members) {
    CHECK(at(member.line, member.column).rfind(member.key + ":", 0) == 0);
    check_places(member.value, lines);
  }
  for (const YamlNode& item : node.items) check_places(item, lines);
}

}  // namespace

TEST_CASE("random trees come back as they were written, each part at its place") {
  for (unsigned long long seed = 0; seed < 400; ++seed) {
    YamlNode written;
    const std::string text = Writer(seed).block(0, 3, written);
    INFO(text);
    const auto tree = parse_yaml("f", text);
    REQUIRE(tree.ok());
    CHECK(shown(*tree) == shown(written));
    std::vector<std::string> lines(1);
    for (const char c : text)
      if (c == '\n')
        lines.emplace_back();
      else
        lines.back() += c;
    check_places(*tree, lines);
  }
}

TEST_CASE("any text at all is read or refused at a place in it, within bounds") {
  const char* const kBits[] = {
      "[", "]",  "{", "}", ",",  ": ", ":",   "- ",  "-",  "? ",   "\n",       "\n",
      " ", "  ", "a", "b", "&a", "*a", "!a",  "! ",  "'",  "\"",   "|",        ">-",
      "#", "%",  "@", "~", "\t", "<<", "---", "...", "\\", "\r\n", "\xC3\xA9", "%YAML 1.2\n"};
  const int bits = static_cast<int>(sizeof kBits / sizeof *kBits);
  for (unsigned long long seed = 0; seed < 6000; ++seed) {
    Lcg lcg(seed);
    std::string text;
    for (int i = 0, n = 1 + lcg.below(30); i < n; ++i) text += kBits[lcg.below(bits)];
    INFO(text);
    const auto tree = parse_yaml("f", text);
    if (tree) {
      CHECK(size_of(*tree).nodes <= text.size() + 1);
      CHECK(size_of(*tree).depth <= perrev::kDeepest);
      continue;
    }
    const int lines = 1 + static_cast<int>(std::count(text.begin(), text.end(), '\n'));
    REQUIRE_FALSE(tree.error().empty());
    for (const perrev::Problem& problem : tree.error()) {
      CHECK(problem.place.line >= 1);
      CHECK(problem.place.line <= lines);
      CHECK(problem.place.column >= 1);
      const std::string told = problem.what + problem.right + problem.source;
      CHECK(told.find('\n') == std::string::npos);
      CHECK(perrev::check_text("", told).empty());
    }
  }
}
