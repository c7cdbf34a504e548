// Moments: known dates, what is none, and the order of entries.
#include <doctest/doctest.h>

#include <cstdint>
#include <optional>
#include <string>

#include "engine/casefile/casefile.h"

using perrev::EntryKey;
using perrev::moment;

TEST_CASE("moments against known dates") {
  struct Row {
    std::string text;
    std::int64_t milliseconds;
    std::string source;
  };
  const std::string posix = "POSIX time, checked with date -u +%s";
  const Row rows[] = {
      {"1970-01-01T00:00:00Z", 0, "the epoch"},
      {"1969-12-31T23:59:59Z", -1000, posix},
      {"2000-02-29T12:00:00Z", 951825600000, posix + "; 2000 is a leap year"},
      {"2000-03-01T00:00:00Z", 951868800000, posix},
      {"2024-02-29T00:00:00Z", 1709164800000, posix},
      {"2026-05-04T09:12:00Z", 1777885920000, posix},
      {"2026-05-04T09:12:00.5Z", 1777885920500, "the same and half a second"},
      {"2026-05-04T09:12:00.0429Z", 1777885920042, "digits beyond milliseconds are cut"},
      {"2026-05-04T11:12:00+02:00", 1777885920000, "the same moment, ISO 8601"},
      {"2026-05-03T23:42:00-09:30", 1777885920000, "the same moment, ISO 8601"},
      {"2026-05-04T09:12:00+00:00", 1777885920000, "the same moment, ISO 8601"},
      {"2016-12-31T23:59:60Z", 1483228800000, "a leap second that was; as the next second"},
      {"1600-02-29T00:00:00Z", -11670998400000, posix + "; 1600 is a leap year"},
      {"9999-12-31T23:59:59Z", 253402300799000, posix},
  };
  for (const Row& row : rows) {
    CAPTURE(row.text);
    CAPTURE(row.source);
    CHECK(moment(row.text) == std::optional<std::int64_t>(row.milliseconds));
  }
}

TEST_CASE("what is no moment") {
  for (const std::string text : {"",
                                 "2026",
                                 "2026-05-04",
                                 "2026-05-04T09:12",
                                 "2026-05-04T09:12Z",
                                 "2026-05-04T09:12:00",
                                 "2026-05-04 09:12:00Z",
                                 "2026-5-4T9:12:00Z",
                                 "2026-13-01T00:00:00Z",
                                 "2026-00-01T00:00:00Z",
                                 "2026-04-31T00:00:00Z",
                                 "2026-04-00T00:00:00Z",
                                 "2026-02-29T00:00:00Z",
                                 "1900-02-29T00:00:00Z",
                                 "2026-05-04T24:00:00Z",
                                 "2026-05-04T09:60:00Z",
                                 "2026-05-04T09:12:61Z",
                                 "2026-05-04T09:12:00.Z",
                                 "2026-05-04T09:12:00+2:00",
                                 "2026-05-04T09:12:00+15:00",
                                 "2026-05-04T09:12:00+02:60",
                                 "2026-05-04T09:12:00+02:00Z",
                                 "2026-05-04T09:12:00Z ",
                                 "2026-05-04T09:12:00ZZ",
                                 "-026-05-04T09:12:00Z",
                                 "yesterday",
                                 "2026-05-04T09:12:0\xC3\xA9Z"}) {
    CAPTURE(text);
    CHECK_FALSE(moment(text).has_value());
  }
}

// Counting days one by one by the rules of the calendar, from 1600 on.
TEST_CASE("every day of nine centuries is one day after the day before") {
  constexpr std::int64_t kDay = 86400000;
  std::int64_t expected = -11676096000000;  // 1600-01-01, POSIX
  const auto two = [](int n) { return std::to_string(100 + n).substr(1); };
  for (int year = 1600; year < 2500; ++year) {
    const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    const int lengths[] = {31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    for (int month = 1; month <= 12; ++month) {
      const std::string start = std::to_string(year) + "-" + two(month) + "-";
      for (int day = 1; day <= lengths[month - 1]; ++day, expected += kDay)
        REQUIRE(moment(start + two(day) + "T00:00:00Z") == std::optional<std::int64_t>(expected));
      REQUIRE_FALSE(moment(start + two(lengths[month - 1] + 1) + "T00:00:00Z").has_value());
    }
  }
}

TEST_CASE("entries are ordered by moment, then by id: numbers as numbers, before all others") {
  const EntryKey ascending[] = {
      {-1, "z"},
      {0, "2"},
      {0, "007"},
      {0, "7"},
      {0, "10"},
      {0, "123456789012345678"},
      // Too long for a number: ids as text.
      {0, "1000000000000000000000"},
      {0, "2a"},
      {0, "a10"},
      {0, "a2"},
      {1, "1"},
  };
  for (std::size_t i = 0; i < std::size(ascending); ++i)
    for (std::size_t j = 0; j < std::size(ascending); ++j) {
      CAPTURE(ascending[i].id);
      CAPTURE(ascending[j].id);
      CHECK((ascending[i] < ascending[j]) == (i < j));
    }
}
