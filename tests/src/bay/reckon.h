// A tool of the bay with its readings, as the page asks it.
#pragma once

#include <doctest/doctest.h>

#include <complex>
#include <nlohmann/json.hpp>
#include <string>

#include "engine/quantity/angle.h"
#include "src/answers/bay/bay_answer.h"
#include "tests/src/shipped.h"

namespace perrev::test {

// With the shipped rules and no case; metric words. Fails the test where it is refused.
inline nlohmann::ordered_json reckoned(const std::string& tool, const nlohmann::ordered_json& given,
                                       const std::string& place = "",
                                       const std::string& limit_class = "") {
  const BayTool* of = bay_tool(tool);
  REQUIRE(of);
  const BayContext context{shipped_rules(), nullptr, Units::metric, place, limit_class};
  const auto answer = bay_answer(*of, given, context);
  if (!answer)
    for (const Problem& problem : answer.error())
      FAIL_CHECK(problem.place.pointer << ": " << problem.what << "; " << problem.right);
  REQUIRE(answer.ok());
  return to_json(*of, *answer, context);
}

// "/given/readings/3: what is wrong", one on a line; empty where it is taken.
inline std::string refused(const std::string& tool, const nlohmann::ordered_json& given) {
  const BayTool* of = bay_tool(tool);
  REQUIRE(of);
  const auto answer = bay_answer(*of, given, {shipped_rules(), nullptr, Units::metric, {}, {}});
  std::string out;
  if (!answer)
    for (const Problem& problem : answer.error())
      out += problem.place.pointer + ": " + problem.what + "\n";
  return out;
}

// The value of one number by its id with the unit, of reckoned().
inline double number_of(const nlohmann::ordered_json& answer, const std::string& id) {
  for (const auto& number : answer["numbers"])
    if (number["id"] == id) return number["value"].get<double>();
  FAIL("there is no number " << id);
  return 0.0;
}

inline bool stands_in(const nlohmann::ordered_json& texts, const std::string& words) {
  for (const auto& text : texts)
    if (text.get<std::string>().find(words) != std::string::npos) return true;
  return false;
}
inline bool says(const nlohmann::ordered_json& answer, const std::string& words) {
  return stands_in(answer["sentences"], words);
}
inline bool notes(const nlohmann::ordered_json& answer, const std::string& words) {
  return stands_in(answer["notes"], words);
}
inline bool warns(const nlohmann::ordered_json& answer, const std::string& words) {
  return stands_in(answer["cautions"], words);
}

// The value that goes into the case for a fact; empty where none does.
inline std::string kept(const nlohmann::ordered_json& answer, const std::string& fact) {
  for (const auto& entry : answer["entries"])
    if (entry["fact"] == fact) return entry["value"];
  return {};
}

// One row: an amount with its place.
inline nlohmann::ordered_json one_row(const char* amount, const char* place) {
  return nlohmann::ordered_json::array({nlohmann::ordered_json{amount, place}});
}

// As a mass or any other amount stands round the turn.
inline std::complex<double> at_degrees(double amount, double degrees) {
  return std::polar(amount, degrees * kDegree);
}

}  // namespace perrev::test
