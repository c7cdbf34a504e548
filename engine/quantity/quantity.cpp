// Text with units to SI.
#include "engine/quantity/quantity.h"

#include <array>
#include <cmath>
#include <cstddef>
#include <limits>

#include "engine/quantity/text.h"
#include "engine/quantity/units.h"

namespace perrev {

namespace {

constexpr std::string_view kRangeDots = "..";

// A text cut into its number ("62,5", "1 1/2") and what follows it.
struct Cut {
  std::string number;
  std::string fraction;  // "1/2", apart from the whole number before it
  std::string unit;
};

std::size_t end_of(std::string_view text, std::size_t at, bool (*belongs)(char)) {
  while (at < text.size() && belongs(text[at])) ++at;
  return at;
}

bool is_numeral(char c) { return is_digit(c) || c == '.' || c == ','; }

// Where a fraction "3/32" that starts at `at` ends, or `at` if there is none.
std::size_t end_of_fraction(std::string_view text, std::size_t at) {
  const std::size_t slash = end_of(text, at, is_digit);
  if (slash == at || slash >= text.size() || text[slash] != '/') return at;
  const std::size_t end = end_of(text, slash + 1, is_digit);
  return end == slash + 1 ? at : end;
}

Cut cut(std::string_view text) {
  Cut out;
  const std::size_t sign = !text.empty() && (text[0] == '-' || text[0] == '+') ? 1 : 0;
  std::size_t at = end_of_fraction(text, sign);
  if (at != sign) {
    out.number = text.substr(0, sign);
    out.fraction = text.substr(sign, at - sign);
  } else {
    at = end_of(text, sign, is_numeral);
    out.number = text.substr(0, at);
    // "1 1/2" and "1-1/2"; in "750 1/min" the second number is part of the unit.
    if (at > sign && at < text.size() && (text[at] == ' ' || text[at] == '-')) {
      const std::size_t end = end_of_fraction(text, at + 1);
      if (end != at + 1) {
        out.fraction = text.substr(at + 1, end - at - 1);
        at = end;
      }
    }
  }
  out.unit = trimmed(text.substr(at));
  return out;
}

std::string example(Dimension due) {
  switch (due) {
    case Dimension::count:
    case Dimension::ratio:
      return "3.73";
    case Dimension::length:
      return "0.030 in";
    default:
      return "65 " + std::string(usual_unit(due, Units::us));
  }
}

std::string write_it_like(Dimension due) { return "write it like " + quoted(example(due)); }

bool takes_fractions(Dimension due) {
  return due == Dimension::length || due == Dimension::mass || due == Dimension::moment;
}

bool may_be_negative(Dimension due) {
  return due == Dimension::angle || due == Dimension::temperature_difference;
}

Problem not_a_number(const std::string& text, const Cut& parts, Dimension due) {
  if (parts.number.find(',') != std::string::npos) {
    return problem(quoted(text) + " may hold a thousands separator",
                   "leave it out, and write decimals with a point");
  }
  return problem(quoted(text) + " is not a plain decimal number", write_it_like(due));
}

// The size of the fraction part, such as 1/2 in "1 1/2"; nothing if it is no proper one.
std::optional<double> fraction_value(const std::string& fraction, bool after_whole) {
  const std::size_t slash = fraction.find('/');
  const auto above = parse_decimal(std::string_view(fraction).substr(0, slash));
  const auto below = parse_decimal(std::string_view(fraction).substr(slash + 1));
  if (!above || !below || *below == 0.0 || (after_whole && *above >= *below)) return std::nullopt;
  return *above / *below;
}

Result<double> number_value(const std::string& text, const Cut& parts, Dimension due) {
  if (parts.fraction.empty()) {
    const auto value = parse_decimal(parts.number);
    return value ? Result<double>(*value) : Result<double>(not_a_number(text, parts, due));
  }
  if (!takes_fractions(due)) {
    return problem(quoted(text) + " is a fraction, and " + with_article(due) + " takes none",
                   write_it_like(due));
  }
  const bool negative = parts.number.substr(0, 1) == "-";
  const std::string whole = parts.number.substr(negative || parts.number[0] == '+' ? 1 : 0);
  const auto fraction = fraction_value(parts.fraction, !whole.empty());
  const auto before = whole.empty() ? std::optional<double>(0.0) : parse_decimal(whole);
  if (!fraction || !before || whole.find_first_of(".,") != std::string::npos) {
    return problem(quoted(text) + " is not a proper fraction",
                   "write it like \"3/32 in\" or \"1 1/2 in\"");
  }
  return negative ? -(*before + *fraction) : *before + *fraction;
}

// A letter run with a digit after it ("e999 mph", "x10 mm") is a mistyped number, not a unit.
bool looks_like_a_number(const std::string& unit) {
  const std::size_t first = unit.find_first_of("0123456789");
  return first == 1 || (first == 2 && (unit[1] == '+' || unit[1] == '-'));
}

Problem wrong_unit(const std::string& text, const Cut& parts, Dimension due) {
  if (parts.unit.empty()) {
    return problem(quoted(text) + " has no unit",
                   with_article(due) + " needs one of " + listed_units(due));
  }
  if (parts.unit[0] == '-' || parts.unit.substr(0, 3) == "\xE2\x80\x93") {
    return problem(quoted(text) + " is not one number with a unit",
                   "a range is written with two dots, like \"55..75 mph\"");
  }
  if (looks_like_a_number(parts.unit)) {
    return problem(quoted(text) + " is not a plain decimal number", write_it_like(due));
  }
  if (due == Dimension::count) {
    return problem(quoted(text) + " has a unit, and a count takes none", "write the bare number");
  }
  const std::string right = "units of " + with_article(due) + " are " + listed_units(due);
  if (const auto other = dimension_of_unit(parts.unit); other && *other != due) {
    return problem(quoted(text) + " is " + with_article(*other) + ", not " + with_article(due),
                   right);
  }
  const auto near = nearest(parts.unit, unit_names(due));
  return problem(quoted(text) + " has an unknown unit " + quoted(parts.unit),
                 near ? "did you mean " + quoted(*near) + "?" : right);
}

Result<double> quantity_of(const std::string& text, const Cut& parts, Dimension due) {
  if (parts.fraction.empty() && parts.number.find_first_of("0123456789") == std::string::npos) {
    return problem(quoted(text) + " does not begin with a number", write_it_like(due));
  }
  Result<double> number = number_value(text, parts, due);
  if (!number) return number;
  const Unit* unit = find_unit(parts.unit, due);
  if (unit == nullptr) return wrong_unit(text, parts, due);
  if (*number < 0.0 && !may_be_negative(due)) {
    return problem(quoted(text) + " is negative", with_article(due) + " cannot be below zero");
  }
  return *number * unit->size;
}

struct Ends {
  std::string low, high;
};

Result<Ends> ends_of(const std::string& text, Dimension due) {
  const std::size_t dots = text.find(kRangeDots);
  const std::string right = "write it like \"55..75 mph\", \"..40 mph\" or \"75 mph..\"";
  if (dots == std::string::npos) {
    return problem(quoted(text) + " is not a range of " + with_article(due), right);
  }
  const std::size_t after = dots + kRangeDots.size();
  const bool more_dots = text.find(kRangeDots, dots + 1) != std::string::npos;
  Ends ends{std::string(trimmed(std::string_view(text).substr(0, dots))),
            std::string(trimmed(std::string_view(text).substr(after)))};
  if (more_dots || (ends.low.empty() && ends.high.empty())) {
    return problem(quoted(text) + " is not a range", right);
  }
  return ends;
}

}  // namespace

Result<double> parse_quantity(std::string_view raw, Dimension due) {
  const std::string text = with_plain_blanks(raw);
  if (text.empty()) return problem("nothing is written", write_it_like(due));
  if (text.find(kRangeDots) != std::string::npos) {
    return problem(quoted(text) + " is a range, and one value is due", write_it_like(due));
  }
  return quantity_of(text, cut(text), due);
}

Result<double> parse_quantity_in(std::string_view raw, Dimension due, std::string_view shown_unit) {
  const std::string text = with_plain_blanks(raw);
  Cut parts = cut(text);
  const bool bare = !text.empty() && parts.unit.empty();
  if (!bare) return parse_quantity(raw, due);
  parts.unit = shown_unit;
  return quantity_of(text, parts, due);
}

Result<QuantityRange> parse_quantity_range(std::string_view raw, Dimension due) {
  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  const std::string text = with_plain_blanks(raw);
  const Result<Ends> ends = ends_of(text, due);
  if (!ends) return ends.error();
  QuantityRange range{-kInfinity, kInfinity};
  const Cut high = cut(ends->high);
  if (!ends->high.empty()) {
    const Result<double> value = quantity_of(ends->high, high, due);
    if (!value) return value.error();
    range.high = *value;
  }
  if (!ends->low.empty()) {
    Cut low = cut(ends->low);
    if (!ends->high.empty() && high.unit.empty() && !low.unit.empty()) {
      return problem(quoted(text) + " has a unit at its low end only",
                     "write the unit at the high end, or at both");
    }
    if (low.unit.empty()) low.unit = high.unit;
    const Result<double> value = quantity_of(ends->low, low, due);
    if (!value) return value.error();
    range.low = *value;
  }
  if (range.low >= range.high) {
    return problem(quoted(text) + " does not rise", "the low end must lie below the high end");
  }
  return range;
}

}  // namespace perrev
