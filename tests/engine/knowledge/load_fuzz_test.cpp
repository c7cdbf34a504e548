// Thousands of broken copies of the small base: whatever comes, loading says what is wrong and
// where, or makes a rule base that keeps every promise.
#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "tests/engine/knowledge/badly_told.h"
#include "tests/engine/knowledge/small_base.h"
#include "tests/engine/knowledge/sound_base.h"

using perrev::ParsedFile;
using perrev::SourceFile;
using perrev::small::Lcg;
using perrev::small::SmallBase;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines(1);
  for (const char c : text)
    if (c == '\n')
      lines.emplace_back();
    else
      lines.back() += c;
  return lines;
}

std::string joined(const std::vector<std::string>& lines) {
  std::string out;
  for (std::size_t i = 0; i < lines.size(); ++i) out += (i > 0 ? "\n" : "") + lines[i];
  return out;
}

// Every word of every file, to put in the place of another.
std::vector<std::string> words_of(const std::vector<SourceFile>& files) {
  std::set<std::string> words;
  for (const SourceFile& file : files) {
    std::string word;
    for (const char c : file.text + " ") {
      const bool letter = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_' || c == '.';
      if (letter) {
        word += c;
      } else if (!word.empty()) {
        words.insert(word);
        word.clear();
      }
    }
  }
  return {words.begin(), words.end()};
}

class Breaker {
 public:
  Breaker(unsigned long long seed, const std::vector<std::string>& words)
      : lcg_(seed), words_(words) {}

  std::string broken(std::string text) {
    for (int i = 0, n = 1 + lcg_.below(3); i < n; ++i) text = once(std::move(text));
    return text;
  }
  int below(int bound) { return lcg_.below(bound); }

 private:
  std::size_t within(std::size_t size) {
    return static_cast<std::size_t>(lcg_.below(static_cast<int>(size)));
  }

  std::string once(std::string text) {
    static const char* const kBits[] = {
        "[",    "]",  "{",           "}",         ":",     ": ",    ",",     "- ",      "\n",
        "\n  ", " ",  "#",           "'",         "\"",    "&a",    "*a",    "!a",      "? ",
        "|\n",  "~",  "null",        "\t",        "..",    "-1",    "0",     "1e9",     "[]",
        "{}",   "%",  "@",           "...",       "---\n", "not: ", "any: ", "{any: [", "\xC3\xA9",
        "\xC3", "\\", "99999999999", "0.0000001", "<<: "};
    if (text.empty()) return kBits[within(10)];
    const std::size_t at = within(text.size());
    switch (lcg_.below(8)) {
      case 0:
        return text.erase(at, 1 + within(8));
      case 1:
        return text.insert(at, kBits[within(sizeof kBits / sizeof *kBits)]);
      case 2:
        text[at] = static_cast<char>(32 + lcg_.below(95));
        return text;
      case 3:
        return text.insert(at, text.substr(within(text.size()), 1 + within(40)));
      case 4:
        return text.substr(0, at);
      case 5: {
        auto lines = lines_of(text);
        const std::size_t line = within(lines.size());
        const int how = lcg_.below(4);
        if (how == 0) lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(line));
        if (how == 1) lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(line), lines[line]);
        if (how == 2) std::swap(lines[line], lines[within(lines.size())]);
        if (how == 3) lines[line] = std::string(within(5), ' ') + lines[line];
        return joined(lines);
      }
      default:
        return other_word(std::move(text), at);
    }
  }
  // The word at or after `at` becomes another: most of these parse, and are wrong further in.
  std::string other_word(std::string text, std::size_t at) {
    const char* const kLetters = "abcdefghijklmnopqrstuvwxyz0123456789_.";
    const std::size_t begins = text.find_first_of(kLetters, at);
    if (begins == std::string::npos) return text;
    const std::size_t ends = std::min(text.find_first_not_of(kLetters, begins), text.size());
    return text.replace(begins, ends - begins, words_[within(words_.size())]);
  }

  Lcg lcg_;
  const std::vector<std::string>& words_;
};

}  // namespace

TEST_CASE("mutated rule bases load soundly or say what is wrong, where, in order, once") {
  const std::vector<SourceFile> files = SmallBase().files();
  const std::vector<std::string> words = words_of(files);
  std::vector<ParsedFile> whole;
  for (const SourceFile& file : files) whole.push_back(perrev::parse_file(file));
  int loaded_count = 0, parsed_count = 0;
  for (unsigned long long seed = 0; seed < 8000; ++seed) {
    Breaker breaker(seed, words);
    std::vector<ParsedFile> parsed = whole;
    for (int i = 0, n = 1 + breaker.below(2); i < n; ++i) {
      ParsedFile& file =
          parsed[static_cast<std::size_t>(breaker.below(static_cast<int>(parsed.size())))];
      SourceFile source = file.source;
      source.text = breaker.broken(source.text);
      file = perrev::parse_file(std::move(source));
    }
    const bool all_parsed =
        std::all_of(parsed.begin(), parsed.end(), [](const ParsedFile& f) { return f.tree.ok(); });
    parsed_count += all_parsed;
    INFO("seed " << seed);
    const auto made = perrev::build_rule_base(parsed);
    if (made) {
      ++loaded_count;
      CHECK(all_parsed);
      CHECK(perrev::small::listed(perrev::small::unsound(*made)) == "");
      continue;
    }
    const perrev::Problems& problems = made.error();
    REQUIRE_FALSE(problems.empty());
    std::set<std::string> texts;
    for (std::size_t p = 0; p < problems.size(); ++p) {
      const std::string text = problems[p].text();
      INFO(text);
      CHECK(perrev::small::badly_told(problems[p], parsed) == "");
      CHECK(texts.insert(text).second);
      if (p == 0) continue;
      const perrev::Place &a = problems[p - 1].place, &b = problems[p].place;
      const bool in_order =
          a.file != b.file ? a.file < b.file
                           : std::make_pair(a.line, a.column) <= std::make_pair(b.line, b.column);
      CHECK(in_order);
    }
  }
  CHECK(parsed_count > 2000);  // the mutations reach further than the parser
  CHECK(loaded_count > 300);
}
