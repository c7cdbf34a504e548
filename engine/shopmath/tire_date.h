// A tire's age from the last four figures of the long code on its side: week and year of making.
//
// Four figures since 2000 (common knowledge of the trade; 49 CFR 574.5 and UN R30 require them);
// three figures are older. The day to count to is the user's: nothing here reads a clock.
#pragma once

#include <string_view>

#include "engine/result.h"

namespace perrev {

struct Day {
  int year = 0, month = 0, day = 0;
};

// A day of the calendar from 2000 to 2099.
bool is_day(const Day& day);

struct MadeIn {
  int week = 0, year = 0;
};

// "2319": week 23 of 2019. Figures alone; blanks round them do not count.
Result<MadeIn> made_in(std::string_view figures);

// Years from the middle of the week of making, of which week 1 begins on 1 January. A problem where
// the tire would be made after the day, or the day is none.
Result<double> tire_age_years(const MadeIn& made, const Day& on);

}  // namespace perrev
