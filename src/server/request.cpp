#include "src/server/request.h"

#include <algorithm>
#include <limits>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

char lowered(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

int hex_value(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  const char low = lowered(c);
  return low >= 'a' && low <= 'f' ? low - 'a' + 10 : -1;
}

}  // namespace

bool same_word(std::string_view a, std::string_view b) {
  return a.size() == b.size() && std::equal(a.begin(), a.end(), b.begin(), [](char x, char y) {
           return lowered(x) == lowered(y);
         });
}

bool is_utf8(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = sequence_length(text, at);
    if (length == 0) return false;
    at += length;
  }
  return true;
}

std::optional<std::string> unescaped(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size(); ++at) {
    if (text[at] == '+') {
      out += ' ';
    } else if (text[at] == '%') {
      if (at + 2 >= text.size()) return std::nullopt;
      const int high = hex_value(text[at + 1]), low = hex_value(text[at + 2]);
      if (high < 0 || low < 0) return std::nullopt;
      out += static_cast<char>(high * 16 + low);
      at += 2;
    } else {
      out += text[at];
    }
  }
  if (!is_utf8(out)) return std::nullopt;
  return out;
}

std::optional<std::int64_t> whole_number(std::string_view text) {
  if (text.empty() || text.size() > 19) return std::nullopt;
  std::uint64_t value = 0;
  for (const char c : text) {
    if (c < '0' || c > '9') return std::nullopt;
    value = value * 10 + static_cast<std::uint64_t>(c - '0');
  }
  if (value > static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max()))
    return std::nullopt;
  return static_cast<std::int64_t>(value);
}

std::string_view Request::header(std::string_view name) const {
  for (const auto& [key, value] : headers)
    if (same_word(key, name)) return value;
  return {};
}

std::size_t Request::count(std::string_view name) const {
  return static_cast<std::size_t>(std::count_if(
      headers.begin(), headers.end(), [&](const auto& one) { return same_word(one.first, name); }));
}

std::optional<std::string> Request::asked(std::string_view key) const {
  for (const auto& [name, value] : query)
    if (name == key) return value;
  return std::nullopt;
}

bool Request::take_target() {
  std::string_view left = target;
  for (const std::string_view scheme : {"http://", "https://"})
    if (left.size() > scheme.size() && same_word(left.substr(0, scheme.size()), scheme)) {
      left.remove_prefix(scheme.size());
      const std::size_t end = std::min(left.find_first_of("/?"), left.size());
      authority = lower_case(left.substr(0, end));
      if (authority.empty()) return false;
      left.remove_prefix(end);
      break;
    }
  const std::size_t mark = left.find('?');
  path = left.substr(0, mark);
  if (path.empty() && !authority.empty()) path = "/";
  if (path.empty() || path[0] != '/') return false;
  if (mark == std::string_view::npos) return true;
  left.remove_prefix(mark + 1);
  while (!left.empty()) {
    const std::size_t end = std::min(left.find('&'), left.size());
    const std::string_view item = left.substr(0, end);
    left.remove_prefix(std::min(end + 1, left.size()));
    const std::size_t equals = std::min(item.find('='), item.size());
    auto key = unescaped(item.substr(0, equals));
    auto value = unescaped(item.substr(std::min(equals + 1, item.size())));
    if (!key || !value) return false;
    query.emplace_back(std::move(*key), std::move(*value));
  }
  return true;
}

}  // namespace perrev
