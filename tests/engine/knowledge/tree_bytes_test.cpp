// A tree goes into bytes and comes back the same; other bytes give nothing.
#include "engine/knowledge/tree_bytes.h"

#include <doctest/doctest.h>

#include <string>

#include "engine/knowledge/yaml_parse.h"

using namespace perrev;

namespace {

bool same(const YamlNode& a, const YamlNode& b) {
  if (a.kind != b.kind || a.line != b.line || a.column != b.column || a.scalar != b.scalar ||
      a.items.size() != b.items.size() || a.members.size() != b.members.size())
    return false;
  for (std::size_t i = 0; i < a.items.size(); ++i)
    if (!same(a.items[i], b.items[i])) return false;
  for (std::size_t i = 0; i < a.members.size(); ++i) {
    const YamlMember &x = a.members[i], &y = b.members[i];
    if (x.key != y.key || x.line != y.line || x.column != y.column || !same(x.value, y.value))
      return false;
  }
  return true;
}

const std::string kText =
    "facts:\n  - {ask: \"a, b\", kind: one, list: [x, y, [z]]}\n  - plain words here\nempty: "
    "{}\nnone: []\n";

YamlNode tree() {
  auto parsed = parse_yaml("x", kText);
  REQUIRE(parsed.ok());
  return std::move(parsed).value();
}

}  // namespace

TEST_CASE("a tree comes back from its bytes with every place") {
  const YamlNode before = tree();
  const auto after = from_bytes(to_bytes(before));
  REQUIRE(after);
  CHECK(same(before, *after));
}

TEST_CASE("bytes that break off, or go on, are no tree") {
  const std::string bytes = to_bytes(tree());
  for (std::size_t size = 0; size < bytes.size(); ++size) CHECK(!from_bytes(bytes.substr(0, size)));
  CHECK(!from_bytes(bytes + '\0'));
}

TEST_CASE("any bytes give a tree of no more nodes than bytes, or nothing") {
  const std::string bytes = to_bytes(tree());
  std::uint64_t state = 7;
  const auto next = [&] {
    return (state = state * 6364136223846793005ull + 1442695040888963407ull) >> 33;
  };
  int trees = 0;
  for (int round = 0; round < 20000; ++round) {
    std::string damaged = bytes;
    for (std::uint64_t k = 0; k <= next() % 4; ++k)
      damaged[next() % damaged.size()] = static_cast<char>(next());
    const auto read = from_bytes(damaged);
    if (!read) continue;
    ++trees;
    CHECK(to_bytes(*read).size() <= damaged.size());
  }
  CHECK(trees > 0);
}

TEST_CASE("nesting beyond what YAML files may have is refused") {
  std::string bytes;
  for (int i = 0; i < 100000; ++i) bytes += std::string("\x02\x01\x01\x01", 4);
  CHECK(!from_bytes(bytes));
}

TEST_CASE("texts that differ in one byte, or only in where one ends, have different digests") {
  CHECK(digest_of("abcdefgh1") != digest_of("abcdefgh2"));
  CHECK(digest_of("abcdefgh") != digest_of("abcdefgi"));
  CHECK(digest_of("b", digest_of("a")) != digest_of("ab"));
  CHECK(digest_of(std::string(8, '\0')) != digest_of(std::string(16, '\0')));
  CHECK(hex_digits(0x0123456789abcdefull) == "0123456789abcdef");
}
