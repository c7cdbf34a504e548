// What a customer is shown of severity.
#include "src/answers/recording/severity_words.h"

#include <doctest/doctest.h>

#include <string>
#include <vector>

using namespace perrev;
using Speeds = SeverityChange::Speeds;

namespace {

SeverityChange repaired() {
  SeverityChange out;
  out.speeds = Speeds::alike;
  out.shared = 0.9;
  out.before_speed = 29.0, out.after_speed = 13.4112;
  out.before = 0.42, out.after = 0.11;
  out.factor = 0.262, out.decibels = -11.64;
  out.factor_range = SeverityChange::Range{0.221, 0.31};
  out.other_words = true;
  return out;
}

}  // namespace

TEST_CASE("before and after in a few sentences") {
  const auto told = change_sentences(repaired(), "Shake on the seat", Units::us);
  REQUIRE(told.size() == 4);
  CHECK(told[0] == "Shake on the seat: 0.42 m/s\u00B2 before, 0.11 after.");
  CHECK(told[1] ==
        "People find that a little uncomfortable before and not uncomfortable after (ISO 2631-1).");
  CHECK(told[2] ==
        "Now it is 26 % of what it was (11.6 dB less), 22 % to 31 % by how much the level changed "
        "during the recordings.");
  CHECK(told[3] == "Compared at the speeds that both drove; the road must have been the same one.");
}

TEST_CASE("what the figures are not worth is said") {
  SeverityChange change = repaired();
  change.after = 0.4, change.factor = 0.95, change.decibels = -0.4, change.other_words = false;
  change.factor_range = SeverityChange::Range{0.8, 1.13};
  change.speeds = Speeds::partly;
  change.shared = 0.4;
  auto told = change_sentences(change, "Shake on the seat", Units::us);
  CHECK(told[1] == "People find both a little uncomfortable (ISO 2631-1).");
  CHECK(told[2].rfind("The two can't be told apart: it is 95 % of what it was, and 80 % to 113 %",
                      0) == 0);
  CHECK(told[3].rfind("Compared is only what both drove, 40 % of one", 0) == 0);

  SeverityChange same = repaired();
  same.factor = 1.0, same.decibels = 0.0;
  same.factor_range = {};
  CHECK(change_sentences(same, "Shake on the seat", Units::us)[2] == "It is what it was.");

  change.speeds = Speeds::apart;
  told = change_sentences(change, "Shake on the seat", Units::us);
  REQUIRE(told.size() == 3);  // no factor
  CHECK(told[2].find("no speed in common, 64.9 mph before and 30 mph after") != std::string::npos);
  CHECK(told[2].find("says nothing about the repair") != std::string::npos);
  CHECK(change_sentences(change, "Shake on the seat", Units::metric)[2].find("104 km/h before") !=
        std::string::npos);

  change.speeds = Speeds::unknown;
  change.factor_range.reset();
  told = change_sentences(change, "Shake on the seat", Units::us);
  CHECK(told[2] == "Now it is 95 % of what it was (0.4 dB less).");
  CHECK(told[3].rfind("No speed was recorded", 0) == 0);
}

TEST_CASE("one recording alone") {
  Severity severity;
  CHECK(severity_sentences(severity, "Shake on the seat").empty());
  severity.total = 0.55, severity.highest_running = 0.8, severity.crest = 4.0;
  auto told = severity_sentences(severity, "Shake on the floor");
  REQUIRE(told.size() == 2);
  CHECK(told[0] ==
        "Shake on the floor: 0.55 m/s\u00B2, which people find a little to fairly "
        "uncomfortable (ISO 2631-1).");
  CHECK(told[1] == "Its worst second has 0.80 m/s\u00B2.");
  severity.total = 0.0123, severity.crest = 12.3;
  told = severity_sentences(severity, "Shake on the floor");
  REQUIRE(told.size() == 3);
  CHECK(told[0].find("0.012 m/s") != std::string::npos);
  CHECK(told[2].find("crest factor 12") != std::string::npos);
}
