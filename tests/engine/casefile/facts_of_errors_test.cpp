// Entries that say something wrong: each told with its place and what would be right, all at once;
// and the law that the order of entries in the file means nothing.
#include <doctest/doctest.h>

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "engine/casefile/vehicle_of.h"
#include "tests/engine/casefile/tiny_base.h"

using perrev::CaseFacts;
using perrev::tiny::base;
using perrev::tiny::case_text;
using perrev::tiny::in_force;
using perrev::tiny::parsed;
using perrev::tiny::repaired;
using perrev::tiny::retract;
using perrev::tiny::said;
using perrev::tiny::told;
using perrev::tiny::unsure;

namespace {

// Numbers that are the same on every machine (Knuth's MMIX constants).
class Lcg {
 public:
  explicit Lcg(std::uint64_t seed) : state_(seed) {}
  std::size_t below(std::size_t count) {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<std::size_t>(state_ >> 33) % count;
  }
  template <class T>
  const T& any(const std::vector<T>& of) {
    return of[below(of.size())];
  }

 private:
  std::uint64_t state_;
};

// Few moments and few ids to retract, so that ties and chains come up all the time.
std::string random_entry(Lcg& random, std::size_t id, std::size_t count) {
  static const std::vector<std::string> sources = {"write_up", "road", "bay"};
  static const std::vector<std::pair<std::string, std::vector<std::string>>> answers = {
      {"pull", {"\"yes\"", "\"no\""}},
      {"felt_at", {"[]", "[\"seat\"]", "[\"seat\", \"floor\"]"}},
      {"worst_speed", {"\"40 mph\"", "\"65 mph\"", "[\"65 mph\", \"80 mph\"]"}},
      {"wheel_type", {"\"alloy\"", "\"steel\""}},
      {"shaft_speed", {"\"slow\"", "\"fast\""}},
      {"nuts_loose", {"\"yes\"", "\"no\""}},
      {"nuts_sound", {"\"yes\"", "\"no\""}}};
  static const std::vector<std::string> wheels = {"left_front", "right_rear", "front_axle", "all"};
  const std::string head = "\"id\": \"" + std::to_string(id) + "\", \"at\": \"2026-05-04T09:0" +
                           std::to_string(random.below(5)) + ":00Z\", ";
  const std::string by = random.any(sources);
  switch (random.below(8)) {
    case 0:
      // Only of entries before it, so that there are no circles.
      if (id > 1) return head + retract(std::to_string(1 + random.below(id - 1)));
      break;
    case 1:
      if (random.below(count) < 4) return head + repaired(random.below(2) ? "tighten" : "new_rim");
      break;
    case 2:
      return head + unsure(by, random.any(answers).first);
    case 3:
      return head + said(by, "rim_radial_runout", random.below(2) ? "\"0.9 mm\"" : "\"0.3 mm\"",
                         "\"place\": \"" + random.any(wheels) + "\"");
    default:
      break;
  }
  const auto& answer = random.any(answers);
  return head + said(by, answer.first, random.any(answer.second));
}

// Everything that counts, in a string; entries by their id, as their place in the file differs.
std::string summary(const std::vector<std::string>& entries) {
  const perrev::CaseFile file = parsed(case_text(entries));
  const auto facts = facts_of(file, base());
  REQUIRE(facts.ok());
  const auto id = [&](std::size_t entry) { return file.entries()[entry].id; };
  std::string out;
  for (std::size_t r = 0; r < facts->rounds.size(); ++r) {
    out += in_force(*facts, r) + " [";
    for (const perrev::Reading& reading : facts->rounds[r].readings) out += id(reading.entry) + " ";
    for (const int answer : facts->rounds[r].answers) out += std::to_string(answer);
    for (const int repair : facts->rounds[r].opened_by) out += " after " + std::to_string(repair);
    out += "]\n";
  }
  for (const perrev::StopState& stop : facts->stops)
    out += "stop by " + id(stop.entry) + (stop.lifted ? " lifted\n" : "\n");
  for (const int cause : facts->verdicts) out += "verdict " + std::to_string(cause) + "\n";
  return out;
}

}  // namespace

TEST_CASE("what is wrong in an entry") {
  struct Row {
    std::string entry, problem;  // the problem without "a.json:/entries/0"
  };
  const std::string wheel = ", \"place\": \"left_front\"";
  const std::string speeds = "mph, km/h, m/s";
  const Row rows[] = {
      {said("bay", "pul", "\"yes\""), "/fact: error: unknown fact \"pul\"; did you mean 'pull'?"},
      {said("bay", "colour", "\"red\""),
       "/fact: error: unknown fact \"colour\"; a fact of the rule base"},
      {said("bay", "pu\\nll", "\"yes\""),
       "/fact: error: unknown fact \"pu?ll\"; did you mean 'pull'?"},
      {said("bay", "pull", "\"yess\""),
       "/value: error: \"yess\" is no answer of 'pull'; did you mean 'yes'?"},
      {said("bay", "pull", "\"perhaps\""),
       "/value: error: \"perhaps\" is no answer of 'pull'; one of no, yes"},
      {said("bay", "pull", "[\"yes\", \"no\"]"),
       "/value: error: 'pull' takes one answer, not 2; one value"},
      {said("bay", "pull", "[]"), "/value: error: 'pull' takes one answer, not 0; one value"},
      {said("bay", "wheel_type", "\"wood\""),
       "/value: error: \"wood\" is no answer of 'wheel_type'; one of alloy, steel"},
      {said("bay", "felt_at", "[\"seat\", \"flor\"]"),
       "/value: error: \"flor\" is no answer of 'felt_at'; did you mean 'floor'?"},
      {said("bay", "worst_speed", "\"65\""),
       "/value: error: \"65\" has no unit; a speed needs one of " + speeds},
      {said("bay", "worst_speed", "65"),
       "/value: error: \"65\" has no unit; a speed needs one of " + speeds},
      {said("bay", "worst_speed", "\"65 mphh\""),
       "/value: error: \"65 mphh\" has an unknown unit \"mphh\"; did you mean \"mph\"?"},
      {said("bay", "worst_speed", "\"250 km/h\""),
       "/value: error: \"250 km/h\" lies outside what 'worst_speed' can be; from 0 mph to 124 "
       "mph"},
      {said("bay", "worst_speed", "[\"65 mph\", \"300 mph\"]"),
       "/value: error: \"300 mph\" lies outside what 'worst_speed' can be; from 0 mph to 124 "
       "mph"},
      {said("bay", "worst_speed", "[]"),
       "/value: error: 'worst_speed' has no reading; a number with its unit"},
      {said("bay", "axle_ratio", "\"1.4\""),
       "/value: error: \"1.4\" lies outside what 'axle_ratio' can be; from 1.5 to 10"},
      {said("bay", "rim_radial_runout", "\"0.8 mm\""),
       ": error: 'rim_radial_runout' needs a place; one of all, front_axle, rear_axle, left_front, "
       "right_front, left_rear, right_rear"},
      {said("bay", "rim_radial_runout", "\"0.8 mm\"", "\"place\": \"left\""),
       "/place: error: \"left\" is no place of 'rim_radial_runout'; one of all, front_axle, "
       "rear_axle, left_front, right_front, left_rear, right_rear"},
      {said("bay", "brake_drags", "\"yes\"") + wheel,
       "/place: error: \"left_front\" is no place of 'brake_drags'; one of all, front_axle, "
       "rear_axle"},
      {said("bay", "pull", "\"yes\"") + wheel,
       "/place: error: 'pull' has no place; leave 'place' out"},
      {unsure("bay", "rim_radial_runout"),
       ": error: 'rim_radial_runout' needs a place; one of all, front_axle, rear_axle, left_front, "
       "right_front, left_rear, right_rear"},
      {said("bay", "tire_size", "\"225/600R16\""),
       "/value: error: \"225/600R16\": no tire has the aspect ratio 600; it is 25 to 100 in steps "
       "of 5, as in 225/60R16"},
      {said("bay", "measured_frequency", "\"14 Hz\"", "\"with\": {\"by\": \"radar\"}"),
       "/with/by: error: \"radar\" shows no speed; speedometer or gps"},
      {said("bay", "measured_frequency", "\"14 Hz\"",
            "\"with\": {\"speed\": 62, \"rpm\": \"9 mph\"}"),
       "/with/rpm: error: \"9 mph\" is a speed, not a frequency; units of a frequency are Hz, rpm, "
       "1/min, 1/s\n"
       "/with/speed: error: \"62\" has no unit; a speed needs one of " +
           speeds},
      {retract("9"), "/retracts: error: unknown entry \"9\"; did you mean '1'?"},
      {retract("the first"),
       "/retracts: error: unknown entry \"the first\"; the id of another entry"},
      {retract("1"),
       "/retracts: error: entries retract each other in a circle; retract an earlier entry"},
      {repaired("rebalanse"),
       "/repair: error: unknown repair \"rebalanse\"; did you mean 'rebalance'?"},
      {"\"by\": \"bay\", \"check\": \"drove\", \"answer\": \"not_possible\"",
       "/check: error: unknown check \"drove\"; did you mean 'drive'?"},
      {"\"by\": \"bay\", \"closes\": [\"bent_rim\", \"bent_tim\", \"moon\"], \"proof\": \"gone\"",
       "/closes/1: error: unknown cause \"bent_tim\"; did you mean 'bent_rim'?\n"
       "/closes/2: error: unknown cause \"moon\"; a cause of the rule base"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.entry);
    std::string expected = "a.json:/entries/0" + row.problem;
    for (std::size_t at = 0; (at = expected.find('\n', at)) != std::string::npos;)
      expected.insert(++at, "a.json:/entries/0");
    CHECK(told(case_text({row.entry})) == expected);
  }
}

TEST_CASE("all that is wrong is told at once, and an entry that was retracted is not read") {
  const std::string wrong = said("bay", "pull", "\"ye\""), unknown = said("bay", "pul", "\"yes\"");
  CHECK(told(case_text({wrong, unknown, said("bay", "pull", "\"no\""), wrong})) ==
        "a.json:/entries/1/fact: error: unknown fact \"pul\"; did you mean 'pull'?\n"
        "a.json:/entries/0/value: error: \"ye\" is no answer of 'pull'; did you mean 'yes'?\n"
        "a.json:/entries/3/value: error: \"ye\" is no answer of 'pull'; did you mean 'yes'?");
  CHECK(told(case_text({wrong, unknown, retract("1"), retract("2")})).empty());
}

TEST_CASE("entries that retract each other in a circle") {
  const std::string circle =
      ": error: entries retract each other in a circle; retract an earlier entry";
  CHECK(told(case_text({retract("3"), said("bay", "pull", "\"yes\""), retract("1")})) ==
        "a.json:/entries/0/retracts" + circle);
  CHECK(told(case_text({said("bay", "pull", "\"yes\""), retract("3"), retract("4"),
                        retract("2")})) == "a.json:/entries/1/retracts" + circle);
}

TEST_CASE("a case has at most 200 rounds") {
  std::vector<std::string> entries;
  for (int i = 0; i < 199; ++i)
    entries.push_back("\"id\": \"" + std::to_string(i + 1) +
                      "\", \"at\": \"2026-05-04T09:00:00Z\", " + repaired("rebalance"));
  CHECK(told(case_text(entries)).empty());
  entries.push_back("\"id\": \"200\", \"at\": \"2026-05-04T09:00:00Z\", " + repaired("tighten"));
  CHECK(told(case_text(entries)) ==
        "a.json:/entries/199: error: more repairs than one case can have; a new case for the next "
        "visit");
}

TEST_CASE("a long chain of retractions is judged in no time, whichever way it runs") {
  constexpr int kLinks = 20000;
  for (const bool forwards : {true, false}) {
    std::vector<std::string> entries;
    for (int i = 1; i <= kLinks; ++i) {
      const int target = forwards ? i + 1 : i - 1;
      const std::string head =
          "\"id\": \"" + std::to_string(i) + "\", \"at\": \"2026-05-04T09:00:00Z\", ";
      const bool end = forwards ? i == kLinks : i == 1;
      entries.push_back(head +
                        (end ? said("bay", "pull", "\"yes\"") : retract(std::to_string(target))));
    }
    // Of a chain of an even number of entries the last, which is no retraction, is out of force.
    CHECK(in_force(entries).empty());
  }
}

TEST_CASE("the order of entries in the file changes nothing") {
  Lcg random(20260504);
  for (int round = 0; round < 400; ++round) {
    const std::size_t count = 1 + random.below(24);
    std::vector<std::string> entries;
    for (std::size_t i = 0; i < count; ++i) entries.push_back(random_entry(random, i + 1, count));
    const std::string expected = summary(entries);
    for (int shuffle = 0; shuffle < 5; ++shuffle) {
      for (std::size_t i = entries.size(); i > 1; --i)
        std::swap(entries[i - 1], entries[random.below(i)]);
      REQUIRE(summary(entries) == expected);
    }
  }
}

TEST_CASE("retracting an entry restores what was before") {
  Lcg random(7);
  for (int round = 0; round < 400; ++round) {
    const std::size_t count = 1 + random.below(24);
    std::vector<std::string> entries;
    for (std::size_t i = 0; i < count; ++i) entries.push_back(random_entry(random, i + 1, count));
    const std::string before = summary(entries);
    entries.push_back(random_entry(random, count + 1, count));
    entries.push_back("\"id\": \"" + std::to_string(count + 2) +
                      "\", \"at\": \"2026-05-04T09:09:00Z\", " +
                      retract(std::to_string(count + 1)));
    REQUIRE(summary(entries) == before);
  }
}
