// The inputs of tests/fuzz/loader/, seeds and what once broke the loader, held to its law; and the
// dictionary of the fuzz target, which has every word of the loader's tables.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <string>
#include <vector>

#include "engine/knowledge/rule_files.h"
#include "tests/fuzz/loader_law.h"

namespace fs = std::filesystem;

namespace {

const fs::path kFolder = fs::path(PERREV_SOURCE_FOLDER) / "tests" / "fuzz";

std::string text_of(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::vector<fs::path> inputs() {
  std::vector<fs::path> paths;
  for (const fs::directory_entry& found : fs::directory_iterator(kFolder / "loader"))
    paths.push_back(found.path());
  std::sort(paths.begin(), paths.end());
  return paths;
}

void add_words(const perrev::FieldTable& table, std::set<std::string>& words) {
  for (const perrev::Field& field : table) {
    words.emplace(field.key);
    for (const perrev::FieldChoice& choice : field.choices) words.emplace(choice.word);
    if (field.shape.fields) add_words(field.shape.fields(), words);
  }
}

}  // namespace

TEST_CASE("inputs of the fuzz target keep the law of the loader") {
  const std::vector<fs::path> paths = inputs();
  CHECK(paths.size() > 20);
  int loaded = 0;
  for (const fs::path& path : paths) {
    INFO(path.filename().string());
    const auto files = perrev::fuzz::files_in(text_of(path));
    CHECK(perrev::fuzz::broken_law(files) == "");
    loaded += perrev::build_rule_base(files).ok();
  }
  CHECK(loaded > 5);  // seeds reach what is made of a rule base
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
  const std::string text = text_of(kFolder / "loader.dict"), heading = "# The loader's tables\n";
  const std::size_t at = text.find(heading);
  REQUIRE(at != std::string::npos);
  CHECK(text.substr(at + heading.size()) == expected);
}
