#include <chrono>
#include <utility>

#include "engine/casefile/casefile.h"

namespace perrev {

namespace {

// Reads exactly `digits` digits at `at` and moves on; -1 if there are none.
int digits_at(const std::string& text, std::size_t& at, int digits) {
  int value = 0;
  for (int i = 0; i < digits; ++i, ++at) {
    if (at >= text.size() || text[at] < '0' || text[at] > '9') return -1;
    value = value * 10 + (text[at] - '0');
  }
  return value;
}

bool skip(const std::string& text, std::size_t& at, char expected) {
  if (at >= text.size() || text[at] != expected) return false;
  ++at;
  return true;
}

// -1 if it is none of less than 19 digits.
std::int64_t whole_number(const std::string& id) {
  if (id.empty() || id.size() >= 19) return -1;
  std::int64_t out = 0;
  for (const char c : id) {
    if (c < '0' || c > '9') return -1;
    out = out * 10 + (c - '0');
  }
  return out;
}

}  // namespace

std::optional<std::int64_t> moment(const std::string& text) {
  std::size_t at = 0;
  const int year = digits_at(text, at, 4);
  if (year < 0 || !skip(text, at, '-')) return std::nullopt;
  const int month = digits_at(text, at, 2);
  if (month < 0 || !skip(text, at, '-')) return std::nullopt;
  const int day = digits_at(text, at, 2);
  if (day < 0 || !skip(text, at, 'T')) return std::nullopt;
  const int hour = digits_at(text, at, 2);
  if (hour < 0 || hour > 23 || !skip(text, at, ':')) return std::nullopt;
  const int minute = digits_at(text, at, 2);
  if (minute < 0 || minute > 59 || !skip(text, at, ':')) return std::nullopt;
  const int second = digits_at(text, at, 2);
  if (second < 0 || second > 60) return std::nullopt;
  int thousandths = 0;
  if (skip(text, at, '.')) {
    int scale = 100;
    const std::size_t first = at;
    for (; at < text.size() && text[at] >= '0' && text[at] <= '9'; ++at, scale /= 10)
      thousandths += (text[at] - '0') * scale;
    if (at == first) return std::nullopt;
  }
  int offset = 0;
  if (at < text.size() && (text[at] == '+' || text[at] == '-')) {
    const int sign = text[at++] == '+' ? 1 : -1;
    const int hours = digits_at(text, at, 2);
    if (hours < 0 || hours > 14 || !skip(text, at, ':')) return std::nullopt;
    const int minutes = digits_at(text, at, 2);
    if (minutes < 0 || minutes > 59) return std::nullopt;
    offset = sign * (hours * 60 + minutes);
  } else if (!skip(text, at, 'Z')) {
    return std::nullopt;
  }
  const std::chrono::year_month_day date{std::chrono::year{year},
                                         std::chrono::month{static_cast<unsigned>(month)},
                                         std::chrono::day{static_cast<unsigned>(day)}};
  if (at != text.size() || !date.ok()) return std::nullopt;
  const std::int64_t days = std::chrono::sys_days{date}.time_since_epoch().count();
  const std::int64_t seconds = ((days * 24 + hour) * 60 + minute - offset) * 60 + second;
  return seconds * 1000 + thousandths;
}

EntryKey::EntryKey(std::int64_t when, std::string name)
    : milliseconds(when), id(std::move(name)), number(whole_number(id)) {}

bool operator<(const EntryKey& a, const EntryKey& b) {
  if (a.milliseconds != b.milliseconds) return a.milliseconds < b.milliseconds;
  if ((a.number < 0) != (b.number < 0)) return a.number >= 0;
  if (a.number != b.number) return a.number < b.number;
  return a.id < b.id;
}

EntryKey Entry::key() const { return EntryKey{moment(at).value_or(0), id}; }

}  // namespace perrev
