#include "engine/result.h"

#include <algorithm>
#include <cstddef>

namespace perrev {

std::string Problem::text() const {
  std::string out = place.file.empty() ? "" : place.file + ":";
  if (place.line > 0) out += std::to_string(place.line) + ":";
  if (place.line > 0 && place.column > 0) out += std::to_string(place.column) + ":";
  if (!place.pointer.empty()) out += place.pointer + ":";
  if (!out.empty()) out += " ";
  out += "error: " + what;
  if (!right.empty()) out += "; " + right;
  // Names of files and words of input may hold anything; a terminal must not act on it.
  for (char& c : out)
    if (static_cast<unsigned char>(c) < 0x20u || c == 0x7f) c = '?';
  if (!source.empty()) out += "\n    " + source;
  return out;
}

namespace {

// Optimal string alignment distance: insert, delete, replace and swap of neighbours cost one each.
std::size_t edit_distance(const std::string& a, const std::string& b) {
  const std::size_t columns = b.size() + 1;
  std::vector<std::size_t> before(columns), above(columns), row(columns);
  for (std::size_t j = 0; j < columns; ++j) above[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j < columns; ++j) {
      row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + (a[i - 1] != b[j - 1])});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        row[j] = std::min(row[j], before[j - 2] + 1);
    }
    before.swap(above);
    above.swap(row);
  }
  return above[b.size()];
}

}  // namespace

std::optional<std::string> nearest(const std::string& word,
                                   const std::vector<std::string>& candidates) {
  constexpr std::size_t kLongestWord = 64;  // keeps hostile input cheap
  if (word.empty() || word.size() > kLongestWord) return std::nullopt;
  std::size_t best = std::max<std::size_t>(1, word.size() / 3) + 1;
  std::optional<std::string> found;
  for (const std::string& candidate : candidates) {
    if (candidate.size() > kLongestWord) continue;
    const std::size_t distance = edit_distance(word, candidate);
    if (distance < best) {
      best = distance;
      found = candidate;
    }
  }
  return found;
}

std::string near_or(const std::string& word, const std::vector<std::string>& candidates,
                    const std::string& otherwise) {
  const auto near = nearest(word, candidates);
  return near ? "did you mean '" + *near + "'?" : otherwise;
}

}  // namespace perrev
