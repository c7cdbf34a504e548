#include "engine/recording/csv_text.h"

#include <array>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

std::string unquoted(std::string_view cell) {
  std::string_view bare = trimmed(cell);
  if (bare.size() < 2 || bare.front() != '"' || bare.back() != '"') return std::string(bare);
  bare = bare.substr(1, bare.size() - 2);
  std::string out;
  for (std::size_t i = 0; i < bare.size(); ++i) {
    out += bare[i];
    if (bare[i] == '"' && i + 1 < bare.size() && bare[i + 1] == '"') ++i;
  }
  return std::string(trimmed(out));
}

}  // namespace

std::vector<std::string> cells_of(std::string_view line, char separator) {
  std::vector<std::string> out;
  std::size_t from = 0;
  bool quotes = false;
  for (std::size_t i = 0; i <= line.size(); ++i) {
    if (i < line.size() && line[i] == '"') quotes = !quotes;
    if (i < line.size() && (quotes || line[i] != separator)) continue;
    out.push_back(unquoted(line.substr(from, i - from)));
    from = i + 1;
  }
  return out;
}

bool stands_for_none(std::string_view cell) {
  const std::string word = lower_case(trimmed(cell));
  for (const std::string_view none : {"", "nan", "null", "na", "n/a", "none", "-", "--", "inf",
                                      "-inf", "-nan", "+inf", "infinity", "-infinity"})
    if (word == none) return true;
  return false;
}

bool is_number(std::string_view cell, char comma) {
  const std::string text = std::string(trimmed(cell)) + '\n';
  double value = 0.0;
  const char* const end = read_number(text.data(), comma, value);
  return end != text.data() && end == text.data() + text.size() - 1;
}

}  // namespace perrev
