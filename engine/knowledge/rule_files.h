// The files of a rule base: how each is called, what it holds, and in what shape.
#pragma once

#include <string_view>
#include <vector>

#include "engine/knowledge/record.h"

namespace perrev {

inline constexpr std::string_view kCauses = "causes/", kEvidence = "evidence/";

struct RuleFile {
  std::string_view name;  // of the file, or of the folder with a slash
  std::string_view holds;
  std::string_view example;
  Shape shape;
  bool may_miss = false;

  bool is_folder() const { return name.back() == '/'; }
  bool is_list() const { return shape.many == Shape::Many::list; }
  // Without the slash or the ending: "causes", "facts".
  std::string_view stem() const { return name.substr(0, name.find_first_of("/.")); }
};

const std::vector<RuleFile>& rule_files();

// What a file of that name holds; null where no part of a rule base is read from it.
const RuleFile* rule_file(std::string_view name);

}  // namespace perrev
