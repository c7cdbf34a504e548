// Plain decimals in and out, whatever the locale of the program around us.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <locale>
#include <sstream>
#include <string>

#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

// No reading has more digits; the bound also keeps every value finite after scaling to SI.
constexpr std::size_t kLongestNumber = 40;
constexpr int kDigits = 6;
constexpr std::size_t kExactDigits = 15;  // below 2^53, whatever they are

// "1,234": a decimal comma to one reader and a thousands separator to the next.
bool comma_is_ambiguous(std::string_view digits) {
  const std::size_t comma = digits.find(',');
  return comma != std::string_view::npos && comma >= 1 && comma <= 3 &&
         digits.size() - comma - 1 == 3 && digits[0] != '0';
}

std::string printed(double value, bool fixed, int precision) {
  std::ostringstream out;
  out.imbue(std::locale::classic());
  if (fixed) out << std::fixed;
  out.precision(precision);
  out << value;
  return out.str();
}

// Digits with a point among them: below 2^53 and by a power of ten below 10^22, both of which a
// double holds exactly, so that the one division rounds as it should.
double exactly(std::string_view digits) {
  std::int64_t number = 0;
  double scale = 1.0;
  bool fraction = false;
  for (const char c : digits) {
    if (c == '.') {
      fraction = true;
      continue;
    }
    number = 10 * number + (c - '0');
    if (fraction) scale *= 10.0;
  }
  return static_cast<double>(number) / scale;
}

// Not a number where it is none.
double streamed(const std::string& digits) {
  std::istringstream in(digits);
  in.imbue(std::locale::classic());
  double value = 0.0;
  in >> value;
  return in.fail() ? std::numeric_limits<double>::quiet_NaN() : value;
}

std::string without_trailing_zeros(std::string text) {
  if (text.find('.') == std::string::npos) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

}  // namespace

std::optional<double> parse_decimal(std::string_view text) {
  if (text.empty() || text.size() > kLongestNumber) return std::nullopt;
  const bool negative = text[0] == '-';
  std::string digits(text.substr(negative || text[0] == '+' ? 1 : 0));
  if (digits.empty() || !is_digit(digits.back()) || comma_is_ambiguous(digits)) {
    return std::nullopt;
  }
  int points = 0;
  for (char& c : digits) {
    if (c == ',') c = '.';
    if (c == '.') ++points;
    if (c != '.' && !is_digit(c)) return std::nullopt;
  }
  if (points > 1) return std::nullopt;
  const double value = digits.size() <= kExactDigits ? exactly(digits) : streamed(digits);
  if (!std::isfinite(value)) return std::nullopt;
  return negative && value != 0.0 ? -value : value;
}

std::string show_number(double value) {
  constexpr double kLargest = 1e15, kSmallest = 1e-9;  // beyond these, powers of ten read better
  if (std::isnan(value)) return "not a number";
  if (std::isinf(value)) return value > 0 ? "infinite" : "-infinite";
  if (value == 0.0) return "0";
  const double size = std::fabs(value);
  if (size < 999999.5 && value == std::trunc(value)) return std::to_string(static_cast<int>(value));
  if (size >= kLargest || size < kSmallest) return printed(value, false, kDigits);
  if (size >= 1e-4 && size < 999999.5) return printed(value, false, kDigits);
  const int exponent = static_cast<int>(std::floor(std::log10(size)));
  if (size < 1.0) return without_trailing_zeros(printed(value, true, kDigits - 1 - exponent));
  const double step = std::pow(10.0, exponent - (kDigits - 1));
  return printed(std::round(value / step) * step, true, 0);
}

}  // namespace perrev
