#include "engine/recording/stamp.h"

#include <chrono>
#include <cstdint>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

// Takes what it reads off the front of a text.
class Front {
 public:
  explicit Front(std::string_view text) : text_(text) {}
  bool empty() const { return text_.empty(); }
  bool skip(std::string_view any) {
    if (text_.empty() || any.find(text_.front()) == std::string_view::npos) return false;
    text_.remove_prefix(1);
    return true;
  }
  // Exactly so many digits; -1 where there are fewer.
  int digits(std::size_t count) {
    if (text_.size() < count) return -1;
    int value = 0;
    for (std::size_t i = 0; i < count; ++i) {
      if (!is_digit(text_[i])) return -1;
      value = value * 10 + (text_[i] - '0');
    }
    text_.remove_prefix(count);
    return value;
  }
  double fraction() {
    double value = 0.0, scale = 1.0;
    for (; !text_.empty() && is_digit(text_.front()); text_.remove_prefix(1)) {
      if (scale > 1e15) continue;
      value = value * 10.0 + (text_.front() - '0');
      scale *= 10.0;
    }
    return value / scale;
  }
  // One or two.
  int digits() { return digits(text_.size() > 1 && is_digit(text_[1]) ? 2 : 1); }
  bool has_date() const { return has(4, '-') || has(4, '/'); }
  bool has_day_first() const { return has(1, '.') || has(2, '.'); }
  char front() const { return text_.empty() ? '\0' : text_.front(); }

 private:
  bool has(std::size_t at, char mark) const { return text_.size() > at && text_[at] == mark; }
  std::string_view text_;
};

std::optional<std::int64_t> days_of(int year, int month, int day) {
  const std::chrono::year_month_day date{std::chrono::year{year},
                                         std::chrono::month{static_cast<unsigned>(month)},
                                         std::chrono::day{static_cast<unsigned>(day)}};
  if (!date.ok()) return std::nullopt;
  return std::chrono::sys_days{date}.time_since_epoch().count();
}

std::optional<std::int64_t> read_days(Front& text) {
  const int year = text.digits(4);
  if (year < 0 || !text.skip("-/")) return std::nullopt;
  const int month = text.digits(2);
  if (month < 0 || !text.skip("-/")) return std::nullopt;
  const int day = text.digits(2);
  if (day < 0 || !text.skip("T ")) return std::nullopt;
  return days_of(year, month, day);
}

std::optional<std::int64_t> read_days_backward(Front& text) {
  const int day = text.digits();
  if (day < 0 || !text.skip(".")) return std::nullopt;
  const int month = text.digits();
  if (month < 0 || !text.skip(".")) return std::nullopt;
  const int year = text.digits(4);
  if (year < 0 || !text.skip("T ")) return std::nullopt;
  return days_of(year, month, day);
}

// Seconds east of UTC.
std::optional<int> read_zone(Front& text) {
  if (text.empty() || text.skip("Z")) return 0;
  const int sign = text.front() == '-' ? -1 : 1;
  if (!text.skip("+-")) return std::nullopt;
  const int hours = text.digits(2);
  text.skip(":");
  const int minutes = text.empty() ? 0 : text.digits(2);
  if (hours < 0 || hours > 14 || minutes < 0 || minutes > 59) return std::nullopt;
  return sign * (hours * 3600 + minutes * 60);
}

}  // namespace

std::optional<double> read_stamp(std::string_view written) {
  Front text(trimmed(written));
  std::int64_t days = 0;
  if (text.has_date() || text.has_day_first()) {
    const auto read = text.has_date() ? read_days(text) : read_days_backward(text);
    if (!read) return std::nullopt;
    days = *read;
  }
  const int hour = text.digits();
  if (hour < 0 || hour > 23 || !text.skip(":")) return std::nullopt;
  const int minute = text.digits(2);
  if (minute < 0 || minute > 59 || !text.skip(":")) return std::nullopt;
  const int second = text.digits(2);
  if (second < 0 || second > 60) return std::nullopt;
  const double fraction = text.skip(".,") ? text.fraction() : 0.0;
  const auto zone = read_zone(text);
  if (!zone || !text.empty()) return std::nullopt;
  return static_cast<double>(((days * 24 + hour) * 60 + minute) * 60 + second - *zone) + fraction;
}

}  // namespace perrev
