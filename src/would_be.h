// A rule base with new things in it, in memory; on disk once it is wanted.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/finding.h"
#include "engine/bench/new_thing.h"
#include "src/files.h"

namespace perrev {

class WouldBe {
 public:
  // The rule base as it is: it must load.
  static Result<WouldBe, Problems> open(const std::string& folder);

  // All of them or, where the rule base would not load with them, none.
  Problems add(const std::vector<NewThing>& things);

  const RuleBase& base() const { return base_; }
  const std::vector<ParsedFile>& files() const { return files_; }  // as they are on disk
  const std::vector<NewThing>& things() const { return things_; }
  // The lines that come, file by file.
  std::string listing() const;
  // What rules check says of it that it did not say before.
  std::vector<Finding> new_findings() const;
  std::vector<FileChange> changes() const;

 private:
  WouldBe(std::string folder, std::vector<ParsedFile> files, RuleBase base)
      : folder_(std::move(folder)),
        files_(std::move(files)),
        would_be_(files_),
        base_(std::move(base)) {}

  std::string shown(const std::string& name) const { return folder_ + "/" + name; }

  std::string folder_;
  std::vector<ParsedFile> files_, would_be_;
  RuleBase base_;
  std::vector<NewThing> things_;
  std::vector<Insertion> insertions_;
};

}  // namespace perrev
