// One value of a YAML file changed where it stands: every other byte stays as it is.
#pragma once

#include <string>
#include <vector>

#include "engine/result.h"

namespace perrev {

struct ScalarEdit {
  std::string file;          // as the rule base calls it
  int line = 0, column = 0;  // of the value, from 1
  std::string was, to;       // plain values, without quotes
};

// The text with the edits of its file made. A value that does not stand there as `was` (another
// text, or quoted) is a problem.
Result<std::string, Problems> edited(const std::string& text, std::vector<ScalarEdit> edits);

// Of two texts with as many lines, in the unified format (POSIX.1-2017, diff -u), for `patch -p1`;
// empty where they are the same.
std::string unified_diff(const std::string& file, const std::string& before,
                         const std::string& after);

}  // namespace perrev
