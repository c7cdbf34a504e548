#include "src/answers/words.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

namespace perrev {

std::string wrapped(const std::string& raw, std::size_t first_indent, std::size_t indent) {
  std::string text;
  for (const char c : raw) text += static_cast<unsigned char>(c) < 0x20u || c == 0x7f ? ' ' : c;
  std::string out, line(first_indent, ' ');
  bool empty = true;
  std::size_t at = 0;
  while (at < text.size()) {
    std::size_t end = text.find(' ', at);
    if (end == std::string::npos) end = text.size();
    const std::string word = text.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    if (!empty && line.size() + 1 + word.size() > kColumns) {
      out += line + "\n";
      line.assign(indent, ' ');
      empty = true;
    }
    if (!empty) line += ' ';
    line += word;
    empty = false;
  }
  return out + line + "\n";
}

std::string percent(double probability) {
  if (probability < 0.005) return probability > 0.0 ? "under 1 %" : "0 %";
  if (probability >= 0.995) return "over 99 %";
  char shown[16];
  std::snprintf(shown, sizeof shown, "%.0f %%", 100.0 * probability);
  return shown;
}

std::string decibans(double weight) {
  if (std::isinf(weight)) return "never";
  char shown[48];
  std::snprintf(shown, sizeof shown, "%+.1f", weight);
  return shown;
}

double six_digits(double value) {
  char text[40];
  std::snprintf(text, sizeof text, "%.6g", value);
  return std::strtod(text, nullptr);
}

std::string fixed(double value, int decimals) {
  char text[400];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
}

std::string row(const std::string& head, std::size_t column, const std::string& text) {
  std::string out = wrapped(text, column, column);
  return out.replace(0, std::min(head.size(), column), head);
}

std::string short_hz(double hz) { return fixed(hz, hz < 9.995 ? 2 : 1); }

}  // namespace perrev
