// Moments as loggers write them: ISO 8601, "2026-05-04T09:12:00.123Z", "2026-05-04 09:12:00",
// "09:12:00.123".
#pragma once

#include <optional>
#include <string_view>

namespace perrev {

// Seconds since 1970, or since midnight where there is no date; without Z or an offset as if UTC.
// Fractions by point or comma, of any length.
std::optional<double> read_stamp(std::string_view text);

}  // namespace perrev
