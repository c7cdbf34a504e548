#include "tests/fuzz/quantity_law.h"

#include <cmath>
#include <limits>

#include "engine/quantity/quantity.h"
#include "tests/engine/knowledge/badly_told.h"

namespace perrev::fuzz {

namespace {

// Six significant digits and three: half a unit of the last one, and what rounding adds.
constexpr double kSixDigits = 5.0001e-6, kThreeDigits = 5.0001e-3;

std::string broken_quantity_refusal(const Problem& problem) {
  return problem.right.empty() ? "it is not said what would be right"
                               : small::badly_worded(problem);
}

// Well within what is shown without powers of ten, whichever unit that takes.
bool is_shown_plainly(double value, Dimension due) {
  for (const Units units : {Units::us, Units::metric}) {
    const double size = std::fabs(in_usual_unit(value, due, units));
    if (size != 0.0 && (size < 1e-8 || size > 1e14)) return false;
  }
  return true;
}

std::string broken_showing(double value, const std::string& shown, Dimension due, double within) {
  const auto again = parse_quantity(shown, due);
  if (!again) return "it cannot be read as it is shown: " + again.error().text();
  return std::fabs(*again - value) <= within * std::fabs(value) ? "" : "it is shown as " + shown;
}

std::string broken_value(double value, Dimension due) {
  if (!std::isfinite(value)) return "it is no number";
  const bool signs = due == Dimension::angle || due == Dimension::temperature_difference;
  if (value < 0.0 && !signs) return "it is below zero";
  if (!is_shown_plainly(value, due)) return "";
  for (const Units units : {Units::us, Units::metric}) {
    if (auto wrong = broken_showing(value, show(value, due, units), due, kSixDigits);
        !wrong.empty())
      return wrong;
    if (auto wrong = broken_showing(value, show_rounded(value, due, units), due, kThreeDigits);
        !wrong.empty())
      return wrong;
  }
  return "";
}

std::string broken_result(const Result<double>& read, Dimension due) {
  return read ? broken_value(*read, due) : broken_quantity_refusal(read.error());
}

std::string broken_range(std::string_view text, Dimension due) {
  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  const auto range = parse_quantity_range(text, due);
  if (!range) return broken_quantity_refusal(range.error());
  if (!(range->low < range->high)) return "it does not rise";
  for (const double end : {range->low, range->high})
    if (std::fabs(end) != kInfinity)
      if (auto wrong = broken_value(end, due); !wrong.empty()) return wrong;
  return range->low == -kInfinity && range->high == kInfinity ? "it has no end" : "";
}

std::string broken_as(std::string_view text, Dimension due) {
  const auto read = parse_quantity(text, due);
  if (auto wrong = broken_result(read, due); !wrong.empty()) return wrong;
  for (const Units units : {Units::us, Units::metric}) {
    const auto at_prompt = parse_quantity_in(text, due, usual_unit(due, units));
    if (auto wrong = broken_result(at_prompt, due); !wrong.empty()) return "prompt: " + wrong;
    if (read && (!at_prompt || *at_prompt != *read)) return "a prompt reads its unit otherwise";
  }
  if (auto wrong = broken_range(text, due); !wrong.empty()) return "range: " + wrong;
  return "";
}

}  // namespace

std::string broken_quantity_law(std::string_view text) {
  for (const std::string& name : dimension_names())
    if (auto wrong = broken_as(text, *dimension_named(name)); !wrong.empty())
      return name + ": " + wrong;
  return "";
}

bool quantity_comes_through(std::string_view text) {
  for (const std::string& name : dimension_names())
    if (parse_quantity(text, *dimension_named(name))) return true;
  return false;
}

}  // namespace perrev::fuzz
