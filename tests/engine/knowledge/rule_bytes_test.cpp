// A rule base goes into bytes and is built from them the same; other bytes are refused.
#include "engine/knowledge/rule_bytes.h"

#include <doctest/doctest.h>

#include <cstdint>
#include <string>
#include <vector>

#include "engine/knowledge/tree_bytes.h"
#include "tests/engine/knowledge/small_base.h"
#include "tests/engine/knowledge/sound_base.h"

using namespace perrev;

namespace {

struct Made {
  std::vector<ParsedFile> files;
  RuleBase base;
  std::string bytes;
};

Made made() {
  std::vector<ParsedFile> files;
  const small::SmallBase texts = small::base_with_physics();
  for (const SourceFile& file : texts.files()) files.push_back(parse_file(file));
  auto base = build_rule_base(files);
  REQUIRE(base.ok());
  std::string bytes = rule_bytes(files, *base);
  return {std::move(files), std::move(base).value(), std::move(bytes)};
}

constexpr std::size_t kSumAt = 15 + 16;  // after the signature and the digest of the texts

// As if whoever made the bytes had meant them.
std::string with_sum(std::string bytes) {
  const std::string body = bytes.substr(kSumAt + 16);
  return bytes.replace(kSumAt, 16, hex_digits(digest_of(body)));
}

}  // namespace

TEST_CASE("a rule base from bytes says what the one from texts says, its digest included") {
  const Made whole = made();
  const auto back = rule_base_from(whole.bytes);
  REQUIRE(back.ok());
  CHECK(back->digest == whole.base.digest);
  CHECK(small::written_out(*back) == small::written_out(whole.base));
  CHECK(with_sum(whole.bytes) == whole.bytes);
}

TEST_CASE("where a thing of the rule base stands is known from bytes too") {
  const Made whole = made();
  const auto back = rule_base_from(whole.bytes);
  REQUIRE(back.ok());
  const auto same_lines = [](const auto& made_of, const auto& read) {
    REQUIRE(made_of.size() == read.size());
    REQUIRE(!made_of.empty());
    for (std::size_t i = 0; i < made_of.size(); ++i) {
      CHECK(made_of[i].place.line > 0);
      CHECK(made_of[i].place.line == read[i].place.line);
    }
  };
  same_lines(whole.base.facts, back->facts);
  same_lines(whole.base.causes, back->causes);
  same_lines(whole.base.rules, back->rules);
  same_lines(whole.base.checks, back->checks);
  same_lines(whole.base.edges, back->edges);
  same_lines(whole.base.gates, back->gates);
  same_lines(whole.base.physics.faults, back->physics.faults);
}

TEST_CASE("bytes that break off, go on, or differ in one byte are refused") {
  const std::string bytes = made().bytes;
  for (std::size_t size = 0; size < bytes.size(); ++size)
    CHECK(!rule_base_from(std::string_view(bytes).substr(0, size)).ok());
  CHECK(!rule_base_from(bytes + '\0').ok());
  // A digest of the texts cannot be checked without them; everything else is.
  for (std::size_t at = 0; at < bytes.size(); ++at) {
    if (at >= 15 && at < kSumAt) continue;
    std::string damaged = bytes;
    damaged[at] = static_cast<char>(damaged[at] ^ 1);
    CHECK(!rule_base_from(damaged).ok());
  }
}

TEST_CASE("bytes that were meant to do harm load soundly or are refused") {
  const std::string bytes = made().bytes;
  small::Lcg lcg(11);
  const auto within = [&](std::size_t size) {
    return static_cast<std::size_t>(lcg.below(static_cast<int>(size)));
  };
  int loaded = 0, refused = 0;
  for (int round = 0; round < 8000; ++round) {
    std::string damaged = bytes;
    for (std::size_t k = within(3) + 1; k > 0; --k)
      damaged[kSumAt + 16 + within(bytes.size() - kSumAt - 16)] = static_cast<char>(within(256));
    const auto base = rule_base_from(with_sum(damaged));
    ++(base ? loaded : refused);
    if (base) CHECK(small::listed(small::unsound(*base)) == "");
  }
  CHECK(loaded > 100);
  CHECK(refused > 100);
}

TEST_CASE("what no file could hold is refused of bytes too") {
  const Made whole = made();
  const auto refused = [&](auto change) {
    std::vector<ParsedFile> files = whole.files;
    change(files);
    return !rule_base_from(rule_bytes(files, whole.base)).ok();
  };
  const auto first = [](std::vector<ParsedFile>& files) -> YamlNode& {
    for (ParsedFile& file : files)
      if (file.source.name == "families.yaml") return file.tree.value();
    return files.front().tree.value();
  };
  CHECK(!refused([](auto&) {}));
  CHECK(refused([&](auto& files) {  // a key twice
    first(files).members.push_back(first(files).members.front());
  }));
  CHECK(refused([&](auto& files) { first(files).members.front().value = YamlNode{}; }));
  for (const char* bad : {"\xff", "\x1b[2J", "\xC2\x9B"})
    CHECK(refused([&](auto& files) {
      first(files).members.front().value.members.front().value.scalar = bad;
    }));
  CHECK(refused([](auto& files) { files.push_back(files.front()); }));
  CHECK(refused([](auto& files) { files.erase(files.begin()); }));
}
