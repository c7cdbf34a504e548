// The inputs of tests/fuzz/loader/, seeds and what once broke the loader, held to its law; and the
// dictionary of the fuzz target, which has every word of the loader's tables.
#include <doctest/doctest.h>

#include <set>
#include <string>

#include "engine/knowledge/rule_files.h"
#include "tests/fuzz/loader_law.h"
#include "tests/fuzz/replay.h"

namespace {

void add_words(const perrev::FieldTable& table, std::set<std::string>& words) {
  for (const perrev::Field& field : table) {
    words.emplace(field.key);
    for (const perrev::FieldChoice& choice : field.choices) words.emplace(choice.word);
    if (field.shape.fields) add_words(field.shape.fields(), words);
  }
}

}  // namespace

TEST_CASE("inputs of the fuzz target keep the law of the loader") {
  perrev::fuzz::replay(
      {"loader", perrev::fuzz::broken_loader_law, perrev::fuzz::loader_comes_through, 6, 15});
}

TEST_CASE("an input of the fuzz target is the small base with files replaced or taken out") {
  const auto names = [](const std::string& input) {
    std::set<std::string> out;
    for (const perrev::ParsedFile& file : perrev::fuzz::files_in(input))
      out.insert(file.source.name + (file.source.text == "x: y\n" ? " replaced" : ""));
    return out;
  };
  const auto all = names("");
  CHECK(all.count("facts.yaml") == 1);
  auto expected = all;
  expected.erase("facts.yaml");
  expected.erase("path.yaml");
  expected.insert("facts.yaml replaced");
  CHECK(names("lost\n--- file facts.yaml\nx: y\n--- no path.yaml\nlost\n") == expected);
}

TEST_CASE("the dictionary of the fuzz target has the words of the loader's tables, sorted") {
  std::set<std::string> words;
  for (const perrev::RuleFile& file : perrev::rule_files()) {
    words.emplace(file.name);
    add_words(file.shape.fields(), words);
  }
  std::string expected;
  for (const std::string& word : words) expected += "\"" + word + "\"\n";
  const std::string text = perrev::fuzz::text_of(perrev::fuzz::fuzz_folder() / "loader.dict"),
                    heading = "# The loader's tables\n";
  const std::size_t at = text.find(heading);
  REQUIRE(at != std::string::npos);
  CHECK(text.substr(at + heading.size()) == expected);
}
