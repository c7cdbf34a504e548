// Laws of findings over random rule bases: whatever loads is looked at soundly, what is doubled is
// told, and a truth table reads as the condition does.
#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "engine/bench/findings.h"
#include "engine/bench/truth_table.h"
#include "tests/engine/reasoning/random_base.h"

using perrev::Finding;
using perrev::ParsedFile;
using perrev::RuleBase;
using perrev::SourceFile;
using perrev::testing::Lcg;

namespace {

struct Loaded {
  std::vector<ParsedFile> files;
  RuleBase base;
};

// As many random rule bases as load; `change` may alter their files first.
template <class Change, class Look>
int over_random_bases(int count, const Change& change, const Look& look) {
  int seen = 0;
  for (unsigned long long seed = 1; seen < count; ++seed) {
    Lcg random(seed);
    std::vector<SourceFile> files = perrev::testing::random_files(random);
    change(files);
    std::vector<ParsedFile> parsed;
    for (SourceFile& file : files) parsed.push_back(perrev::parse_file(std::move(file)));
    auto base = perrev::build_rule_base(parsed);
    if (!base) continue;
    INFO("seed " << seed);
    look(Loaded{std::move(parsed), std::move(base).value()});
    ++seen;
  }
  return seen;
}

const auto kUnchanged = [](std::vector<SourceFile>&) {};

auto order(const Finding& each) {
  return std::make_tuple(each.place.file, each.place.line, each.place.column);
}

bool is_of_a_kind(const Finding& each) {
  const auto& kinds = perrev::finding_kinds();
  return std::any_of(kinds.begin(), kinds.end(), [&](const perrev::FindingKind& kind) {
    return kind.id == each.id && kind.level == each.level;
  });
}

long count(const std::vector<Finding>& all, const std::string& id) {
  return std::count_if(all.begin(), all.end(), [&](const Finding& f) { return f.id == id; });
}

}  // namespace

TEST_CASE("findings are in order, each once, of a kind, with a place and words") {
  long told = 0;
  over_random_bases(300, kUnchanged, [&](const Loaded& made) {
    const std::vector<Finding> all = perrev::findings(made.base, made.files);
    told += static_cast<long>(all.size());
    for (std::size_t i = 0; i < all.size(); ++i) {
      CHECK(is_of_a_kind(all[i]));
      CHECK(all[i].place.line > 0);
      CHECK(all[i].place.column > 0);
      CHECK(!all[i].what.empty());
      CHECK(!all[i].right.empty());
      if (i == 0) continue;
      CHECK(order(all[i - 1]) <= order(all[i]));
      CHECK(all[i - 1].text() != all[i].text());
    }
  });
  CHECK(told > 300);
}

TEST_CASE("the order of files changes nothing") {
  over_random_bases(50, kUnchanged, [](Loaded made) {
    const std::vector<Finding> before = perrev::findings(made.base, made.files);
    std::reverse(made.files.begin(), made.files.end());
    const std::vector<Finding> after = perrev::findings(made.base, made.files);
    REQUIRE(before.size() == after.size());
    for (std::size_t i = 0; i < before.size(); ++i) CHECK(before[i].text() == after[i].text());
  });
}

TEST_CASE("a rule that can never or must always be true is told, and no other") {
  long idle = 0;
  over_random_bases(300, kUnchanged, [&](const Loaded& made) {
    const std::vector<Finding> all = perrev::findings(made.base, made.files);
    for (const perrev::Rule& rule : made.base.rules) {
      const std::vector<int> variables = rule.when.variables();
      std::vector<int> answers(made.base.variables.size(), 0);
      long sheets = 0, yes = 0;
      for (bool more = true; more; ++sheets) {
        yes += rule.when.read(answers) == perrev::Truth::yes;
        more = false;
        for (const int v : variables) {
          const std::size_t i = static_cast<std::size_t>(v);
          if (++answers[i] < made.base.variables[i].size()) {
            more = true;
            break;
          }
          answers[i] = 0;
        }
      }
      const auto told = [&](const char* id) {
        return std::any_of(all.begin(), all.end(), [&](const Finding& f) {
          return f.id == id && f.what.find("rule '" + rule.id + "'") != std::string::npos;
        });
      };
      idle += yes == 0 || yes == sheets;
      CHECK(told("never-true") == (yes == 0));
      CHECK(told("always-true") == (yes == sheets));
    }
  });
  CHECK(idle > 10);
}

TEST_CASE("each rule written down a second time is told") {
  const auto doubled = [](std::vector<SourceFile>& files) {
    std::vector<SourceFile> more;
    for (const SourceFile& file : files) {
      if (file.name.rfind("evidence/", 0) != 0) continue;
      SourceFile again = file;
      again.name = "evidence/zz_" + file.name.substr(9);
      again.shown = again.name;
      const std::string key = "rule: ";
      for (std::size_t at = again.text.find(key); at != std::string::npos;
           at = again.text.find(key, at + key.size()))
        again.text.insert(at + key.size(), "again_");
      more.push_back(std::move(again));
    }
    files.insert(files.end(), more.begin(), more.end());
  };
  over_random_bases(60, doubled, [](const Loaded& made) {
    const std::vector<Finding> all = perrev::findings(made.base, made.files);
    for (const perrev::Rule& rule : made.base.rules) {
      const auto table = perrev::truth_table(made.base, rule.when);
      const bool idle = !table || table->always() || table->never();
      if (rule.id.rfind("again_", 0) == 0 || idle) continue;
      const bool told = std::any_of(all.begin(), all.end(), [&](const Finding& f) {
        return f.id == "same-condition" &&
               f.what.find("'" + rule.id + "' and 'again_" + rule.id + "'") != std::string::npos;
      });
      CHECK_MESSAGE(told, rule.id);
    }
    CHECK(count(all, "same-condition") > 0);
  });
}
