#include "tests/engine/knowledge/badly_told.h"

#include <algorithm>

#include "engine/knowledge/rule_files.h"
#include "engine/knowledge/source_text.h"

namespace perrev::small {

namespace {

// The length of line `line` (from 1); -1 where the text has no such line.
long length_of(const std::string& text, int line) {
  std::size_t start = 0;
  for (int i = 1; i < line; ++i) {
    start = text.find('\n', start);
    if (start == std::string::npos) return -1;
    ++start;
  }
  return static_cast<long>(std::min(text.find('\n', start), text.size()) - start);
}

// A file that should be there is named as those are that are there.
bool is_missing(const std::string& shown, const std::vector<ParsedFile>& files) {
  const std::string folder = "rules/";
  const std::string name = shown.rfind(folder, 0) == 0 ? shown.substr(folder.size()) : shown;
  const RuleFile* kind = rule_file(name);
  return kind && kind->name == name &&
         std::none_of(files.begin(), files.end(),
                      [&](const ParsedFile& file) { return file.source.shown == shown; });
}

}  // namespace

std::string badly_placed(const Place& place, const std::vector<ParsedFile>& files) {
  if (place.line == 0) {
    if (place.column != 0) return "a column without a line";
    if (is_missing(place.file, files)) return "";  // so is a folder without files
  }
  for (const ParsedFile& file : files) {
    if (file.source.shown != place.file) continue;
    if (place.line == 0) return "";
    return badly_placed(place, file.source.text);
  }
  return "no such file: " + place.file;
}

std::string badly_placed(const Place& place, const std::string& text) {
  const long length = place.line < 1 ? -1 : length_of(text, place.line);
  if (length < 0) return "no such line";
  return place.column >= 1 && place.column <= length + 1 ? "" : "no such column";
}

std::string badly_worded(const Problem& problem) {
  const std::string told = problem.what + problem.right + problem.source;
  if (problem.what.empty()) return "nothing is said";
  if (told.find('\n') != std::string::npos) return "more than one line";
  if (!check_text("", told).empty()) return "bytes that are no text";
  if (problem.what.size() > 400) return "far too long";
  return "";
}

std::string badly_told(const Problem& problem, const std::vector<ParsedFile>& files) {
  const std::string wrong = badly_worded(problem);
  return wrong.empty() ? badly_placed(problem.place, files) : wrong;
}

}  // namespace perrev::small
