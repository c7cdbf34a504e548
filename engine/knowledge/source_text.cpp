#include "engine/knowledge/source_text.h"

#include <algorithm>
#include <utility>

#include "engine/quantity/text.h"

namespace perrev {

bool is_control(std::string_view text, std::size_t at) {
  const unsigned char c = static_cast<unsigned char>(text[at]);
  if (c == 0xC2u) return at + 1 < text.size() && static_cast<unsigned char>(text[at + 1]) < 0xA0u;
  return (c < 0x20u && c != '\n' && c != '\t') || c == 0x7Fu;
}

namespace {

// At most `widest` bytes, never half a character, one line of valid UTF-8 whatever the text is.
std::string cut_to(std::string_view text, std::size_t widest) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = sequence_length(text, at);
    if (at + std::max<std::size_t>(length, 1) > widest) return out + "...";
    if (length == 0)
      out += '?';
    else if (is_control(text, at) || text[at] == '\n' || text[at] == '\t')
      out += ' ';
    else
      out += text.substr(at, length);
    at += std::max<std::size_t>(length, 1);
  }
  return out;
}

constexpr std::size_t kWidest = 96, kShort = 60;

// No more of a line than can be shown: a line of megabytes with many problems is not searched for
// each.
std::string_view line_from(std::string_view text, std::size_t start) {
  const std::string_view near = text.substr(start, 4 * kWidest);
  std::string_view found = near.substr(0, near.find('\n'));
  if (!found.empty() && found.back() == '\r') found.remove_suffix(1);
  return found;
}

}  // namespace

std::string_view raw_line(std::string_view text, int line) {
  std::size_t start = 0;
  for (int i = 1; i < line; ++i) {
    start = text.find('\n', start);
    if (start == std::string_view::npos) return {};
    ++start;
  }
  return line_from(text, start);
}

std::string short_text(std::string_view text) { return cut_to(text, kShort); }

std::string source_line(std::string_view text, int line) {
  return cut_to(raw_line(text, line), kWidest);
}

SourceLines::SourceLines(std::string_view text) : text_(text), starts_{0} {
  for (std::size_t at = text.find('\n'); at != std::string_view::npos; at = text.find('\n', at + 1))
    starts_.push_back(at + 1);
}

std::string SourceLines::at(int line) const {
  if (line > static_cast<int>(starts_.size())) return {};
  return cut_to(line_from(text_, starts_[static_cast<std::size_t>(std::max(line, 1) - 1)]),
                kWidest);
}

Problems check_text(const std::string& shown, const std::string& text) {
  int line = 1;
  std::size_t line_start = 0;
  const auto fault = [&](std::size_t at, std::string what, std::string right) {
    return Problems{Problem{{shown, line, static_cast<int>(at - line_start) + 1, {}},
                            std::move(what),
                            std::move(right),
                            {}}};
  };
  if (text.size() > kLargestText)
    return fault(0, "the text is larger than 8 MiB", "split it into several files");
  if (text.compare(0, 3, "\xEF\xBB\xBF") == 0)
    return fault(0, "the text begins with a byte order mark", "save it as UTF-8 without one");
  for (std::size_t at = 0; at < text.size();) {
    const unsigned char c = static_cast<unsigned char>(text[at]);
    if (c == 0) return fault(at, "a NUL byte", "plain text in UTF-8");
    const bool ends_line = c == '\r' && at + 1 < text.size() && text[at + 1] == '\n';
    if (is_control(text, at) && !ends_line)
      return fault(at, "a control character", "plain text in UTF-8");
    const std::size_t length = sequence_length(text, at);
    if (length == 0) return fault(at, "a byte that is not UTF-8", "save the file as UTF-8");
    if (c == '\n') {
      ++line;
      line_start = at + 1;
    }
    at += length;
  }
  return {};
}

}  // namespace perrev
