#include "engine/bench/scalar_edit.h"

#include <algorithm>
#include <tuple>

namespace perrev {

namespace {

constexpr std::size_t kContext = 3;

// Each with its line end.
std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size() - 1) + 1;
    out.push_back(text.substr(at, end - at));
    at = end;
  }
  return out;
}

bool ends_value(const std::string& line, std::size_t at) {
  return at >= line.size() ||
         std::string_view(",}] \t\r\n").find(line[at]) != std::string_view::npos;
}

std::string marked(char mark, const std::string& line) {
  return mark + line + (line.back() == '\n' ? "" : "\n\\ No newline at end of file\n");
}

std::string hunk(const std::vector<std::string>& before, const std::vector<std::string>& after,
                 std::size_t first, std::size_t end) {
  const std::string span = std::to_string(first + 1) + "," + std::to_string(end - first);
  std::string out = "@@ -" + span + " +" + span + " @@\n";
  for (std::size_t i = first; i < end;) {
    std::size_t same = i;
    while (same < end && before[same] != after[same]) ++same;
    for (std::size_t k = i; k < same; ++k) out += marked('-', before[k]);
    for (std::size_t k = i; k < same; ++k) out += marked('+', after[k]);
    if (same < end) out += marked(' ', before[same++]);
    i = same;
  }
  return out;
}

}  // namespace

Result<std::string, Problems> edited(const std::string& text, std::vector<ScalarEdit> edits) {
  std::vector<std::string> lines = lines_of(text);
  Problems problems;
  // From the back, so that places before stay what they were.
  std::sort(edits.begin(), edits.end(), [](const ScalarEdit& a, const ScalarEdit& b) {
    return std::tie(a.line, a.column) > std::tie(b.line, b.column);
  });
  for (const ScalarEdit& edit : edits) {
    const std::size_t row = static_cast<std::size_t>(edit.line) - 1;
    const std::size_t at = static_cast<std::size_t>(edit.column) - 1;
    if (edit.line < 1 || edit.column < 1 || row >= lines.size() || at > lines[row].size() ||
        lines[row].compare(at, edit.was.size(), edit.was) != 0 ||
        !ends_value(lines[row], at + edit.was.size()))
      problems.push_back(Problem{{edit.file, edit.line, edit.column, {}},
                                 "here does not stand '" + edit.was + "' as it is",
                                 "the value without quotes",
                                 {}});
    else
      lines[row].replace(at, edit.was.size(), edit.to);
  }
  if (!problems.empty()) return problems;
  std::string out;
  for (const std::string& line : lines) out += line;
  return out;
}

std::string unified_diff(const std::string& file, const std::string& before,
                         const std::string& after) {
  const std::vector<std::string> old_lines = lines_of(before), new_lines = lines_of(after);
  std::string out;
  for (std::size_t i = 0; i < old_lines.size(); ++i) {
    if (old_lines[i] == new_lines[i]) continue;
    const std::size_t first = i < kContext ? 0 : i - kContext;
    std::size_t last = i;  // that differs, of this hunk
    for (std::size_t k = i; k < old_lines.size() && k <= last + 2 * kContext; ++k)
      if (old_lines[k] != new_lines[k]) last = k;
    const std::size_t end = std::min(old_lines.size(), last + 1 + kContext);
    out += hunk(old_lines, new_lines, first, end);
    i = last;
  }
  return out.empty() ? out : "--- a/" + file + "\n+++ b/" + file + "\n" + out;
}

}  // namespace perrev
