// Moments as loggers write them: ISO 8601, "2026-05-04T09:12:00.123Z", "2026-05-04 09:12:00",
// "09:12:00.123", and with the day ahead as DIN 5008 has it, "04.05.2026 9:12:00". Dates with
// slashes that end with the year are not read: which of the two is the month nobody knows.
#pragma once

#include <optional>
#include <string_view>

namespace perrev {

// Seconds since 1970, or since midnight where there is no date; without Z or an offset as if UTC.
// Fractions by point or comma, of any length.
std::optional<double> read_stamp(std::string_view text);

}  // namespace perrev
