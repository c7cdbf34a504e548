// A complete rule base, as small as one can be that uses every part of the formats. Tests change
// one file or one line of it and look at what loading says.
//
// Its causes, rates and strengths are invented; nothing in it is trade knowledge. A change that
// does not find its line, or finds two, fails the test: the fixture and its tests cannot drift
// apart.
#pragma once

#include <string>
#include <vector>

#include "engine/knowledge/load.h"

namespace perrev::small {

std::vector<SourceFile> small_files();

class SmallBase {
 public:
  SmallBase();

  // Puts `after` where `before` stands, once, in the file of that name.
  SmallBase& change(const std::string& name, const std::string& before, const std::string& after);
  SmallBase& append(const std::string& name, const std::string& text);
  // Replaces the whole file, or adds it.
  SmallBase& set(const std::string& name, const std::string& text);
  SmallBase& remove(const std::string& name);

  const std::vector<SourceFile>& files() const { return files_; }
  Result<RuleBase, Problems> load() const { return load_rule_base(files_); }
  // The first line of each problem, in order; empty for a base that loads.
  std::vector<std::string> complaints() const;
  // A base that must load.
  RuleBase loaded() const;

 private:
  SourceFile& file(const std::string& name);

  std::vector<SourceFile> files_;
};

// One wrong rule base of a table and what is to be said about it. A row of a table is
//     file | before | after
//       first line of a problem
//       ...
// with \n for a line end. `before` may be + (append `after`), * (the whole file is `after`) or -
// (the file is missing).
struct WrongBase {
  std::string row;
  SmallBase made;
  std::vector<std::string> expected;
};
// Each is a copy of `from` with its row's change.
std::vector<WrongBase> wrong_bases(const std::string& table, const SmallBase& from = {});

// With a physics.yaml, in which bent_rim has a fault, a fact for what it is computed for more, and
// without what rules said of that.
SmallBase base_with_physics();

// The first line of each problem's text.
std::vector<std::string> first_lines(const Problems& problems);

// Words with a line end after each, for comparing and showing.
std::string listed(const std::vector<std::string>& words);

// Numbers that are the same on every machine (Knuth's MMIX constants).
class Lcg {
 public:
  explicit Lcg(unsigned long long seed) : state_(seed) {}
  // From 0 to below `bound`.
  int below(int bound);
  double between(double low, double high);

 private:
  unsigned long long next();

  unsigned long long state_;
};

}  // namespace perrev::small
