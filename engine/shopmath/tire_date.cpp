#include "engine/shopmath/tire_date.h"

#include <algorithm>
#include <chrono>

namespace perrev {
namespace {

constexpr double kDaysOfYear = 365.2425;  // mean of the calendar

using DayCount = std::chrono::sys_days;

std::chrono::year_month_day date_of(const Day& day) {
  return {std::chrono::year(day.year), std::chrono::month(static_cast<unsigned>(day.month)),
          std::chrono::day(static_cast<unsigned>(day.day))};
}

bool is_figure(char letter) { return letter >= '0' && letter <= '9'; }

}  // namespace

bool is_day(const Day& day) {
  return day.month >= 1 && day.month <= 12 && day.day >= 1 && day.day <= 31 && day.year >= 2000 &&
         day.year <= 2099 && date_of(day).ok();
}

Result<MadeIn> made_in(std::string_view figures) {
  while (!figures.empty() && figures.front() == ' ') figures.remove_prefix(1);
  while (!figures.empty() && figures.back() == ' ') figures.remove_suffix(1);
  const bool all = std::all_of(figures.begin(), figures.end(), is_figure);
  if (all && figures.size() == 3)
    return problem("three figures: the tire was made before 2000 and is far too old to use",
                   "four figures, week and year, as 2319");
  if (!all || figures.size() != 4)
    return problem("the date of making is four figures", "week and year, as 2319");
  const auto two = [&](std::size_t at) {
    return 10 * (figures[at] - '0') + (figures[at + 1] - '0');
  };
  if (two(0) < 1 || two(0) > 53)
    return problem("a year has no such week", "01 to 53, then the year");
  return MadeIn{two(0), 2000 + two(2)};
}

Result<double> tire_age_years(const MadeIn& made, const Day& on) {
  using std::chrono::year, std::chrono::month, std::chrono::day;
  if (!is_day(on))
    return problem("the day of the check is no day of the calendar", "a day from 2000 to 2099");
  const DayCount first{year(made.year) / month(1) / day(1)};
  const auto begins = first + std::chrono::days(7 * (made.week - 1));
  const auto since = (DayCount(date_of(on)) - begins).count();
  if (since < 0)
    return problem("the tire would be made after the day of the check",
                   "the last four figures of the long code, and the day of the check");
  return std::max(0.0, static_cast<double>(since) - 3.5) / kDaysOfYear;
}

}  // namespace perrev
