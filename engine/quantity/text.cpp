#include "engine/quantity/text.h"

#include <algorithm>
#include <cstddef>

namespace perrev {

namespace {

constexpr std::string_view kBlanks = " \t\r\n";
constexpr std::size_t kLongestQuote = 48;

bool is_control(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return byte < 0x20 || byte == 0x7F;
}

std::string with_each(std::string_view text, char first, char last, int shift) {
  std::string out(text);
  for (char& c : out) {
    if (c >= first && c <= last) c = static_cast<char>(c + shift);
  }
  return out;
}

}  // namespace

// Overlong forms and surrogates are not told apart from broken bytes by length alone, hence the
// bounds on the second byte.
std::size_t sequence_length(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(at);
  if (lead < 0x80) return 1;
  const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || at + length > text.size()) return 0;
  for (std::size_t i = at + 1; i < at + length; ++i) {
    if ((byte(i) & 0xC0) != 0x80) return 0;
  }
  const unsigned char second = byte(at + 1);
  const bool overlong = (lead == 0xE0 && second < 0xA0) || (lead == 0xF0 && second < 0x90);
  const bool outside = (lead == 0xED && second > 0x9F) || (lead == 0xF4 && second > 0x8F);
  return overlong || outside ? 0 : length;
}

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(kBlanks);
  if (first == std::string_view::npos) return {};
  const std::size_t last = text.find_last_not_of(kBlanks);
  return text.substr(first, last - first + 1);
}

std::string quoted(std::string_view text) {
  std::string out = "\"";
  std::size_t at = 0;
  while (at < text.size() && out.size() <= kLongestQuote) {
    const std::size_t length = sequence_length(text, at);
    // U+0080..U+009F are control characters too, though printable as bytes.
    const bool c1 =
        length == 2 && text[at] == '\xC2' && static_cast<unsigned char>(text[at + 1]) < 0xA0;
    const bool plain = length > 0 && !is_control(text[at]) && !c1;
    out += plain ? std::string(text.substr(at, length)) : "?";
    at += std::max<std::size_t>(length, 1);
  }
  if (at < text.size()) out += "...";
  return out + "\"";
}

std::string with_plain_blanks(std::string_view text) {
  constexpr std::string_view kNoBreak = "\xC2\xA0", kNarrowNoBreak = "\xE2\x80\xAF";
  const bool plain = std::none_of(text.begin(), text.end(), [](char c) {
    return c == '\t' || static_cast<unsigned char>(c) >= 0x80;
  });
  if (plain && text.find("  ") == std::string_view::npos) return std::string(trimmed(text));
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    std::size_t blank = 0;
    if (text[at] == ' ' || text[at] == '\t') blank = 1;
    if (text.substr(at, kNoBreak.size()) == kNoBreak) blank = kNoBreak.size();
    if (text.substr(at, kNarrowNoBreak.size()) == kNarrowNoBreak) blank = kNarrowNoBreak.size();
    if (blank == 0) {
      out += text[at++];
      continue;
    }
    if (!out.empty() && out.back() != ' ') out += ' ';
    at += blank;
  }
  return std::string(trimmed(out));
}

std::string spaced(std::string_view id) {
  std::string out(id);
  std::replace(out.begin(), out.end(), '_', ' ');
  return out;
}

std::string joined(const std::vector<std::string>& items, std::string_view glue) {
  std::string out;
  for (const std::string& item : items) {
    if (!out.empty()) out += glue;
    out += item;
  }
  return out;
}

std::string upper_case(std::string_view text) { return with_each(text, 'a', 'z', 'A' - 'a'); }

std::string lower_case(std::string_view text) { return with_each(text, 'A', 'Z', 'a' - 'A'); }

}  // namespace perrev
