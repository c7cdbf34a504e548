// Trimming after a check spin as a tool of the bay.
#include <cmath>
#include <complex>

#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::at_degrees, test::number_of, test::reckoned, test::refused, test::says;
using Json = nlohmann::ordered_json;

namespace {

std::string angle_text(std::complex<double> of) {
  const double degrees = std::arg(of) / kDegree;
  return std::to_string(degrees < 0.0 ? degrees + 360.0 : degrees) + " deg";
}

}  // namespace

TEST_CASE("a check spin within the limit is left alone, one beyond is trimmed as it says") {
  const Json answer = reckoned("trim",
                               {{"planes",
                                 {{"40 g", "100 deg", "40 g", "100 deg", "3 g", "200 deg"},
                                  {"40 g", "300 deg", "40 g", "300 deg", "8 g", "30 deg"}}},
                                {"step", "5 g"}},
                               "", "other");
  CHECK(says(answer, "Inner: 3 g is left (7 g may be); it passes, leave it."));
  CHECK(says(answer, "Outer: 8 g is left (7 g may be); it does not pass."));
  const auto whole = at_degrees(40, 300) + at_degrees(8, 30);
  // At right angles: by Pythagoras 40.79 g.
  CHECK(number_of(answer, "outer_replaced_g") ==
        doctest::Approx(std::sqrt(1600.0 + 64.0)).epsilon(1e-5));
  CHECK(number_of(answer, "outer_add_g") == doctest::Approx(8.0));
  CHECK(number_of(answer, "outer_add_at_deg") == doctest::Approx(30.0));
  CHECK(std::abs(whole) == doctest::Approx(number_of(answer, "outer_replaced_g")).epsilon(1e-5));
  CHECK(says(answer, "Outer: add 10 g at 30 deg"));
  // 40 g where 40.79 g is wanted leaves 0.79 g.
  CHECK(says(answer, "or put as much as is on, 40 g, at 311 deg"));
  CHECK(says(answer, "which leaves 0.79 g"));
  CHECK(says(answer, "it reads true"));
}

TEST_CASE("a balancer that reads turned is found out, and the trim goes by what the weight did") {
  // Shows 90 % of it, 40 deg beyond. The wheel wants 40 g at 100 deg; it shows 36 g at 140 deg;
  // that is put on.
  const auto response = at_degrees(0.9, 40);
  const auto wants = at_degrees(40, 100), shown = response * wants, put_on = shown;
  const auto after = response * (wants - put_on);
  const Json answer = reckoned("trim",
                               {{"planes",
                                 {{std::to_string(std::abs(shown)) + " g", angle_text(shown),
                                   std::to_string(std::abs(put_on)) + " g", angle_text(put_on),
                                   std::to_string(std::abs(after)) + " g", angle_text(after)}}}},
                               "", "other");
  CHECK(number_of(answer, "inner_response_ratio") == doctest::Approx(0.9).epsilon(1e-4));
  CHECK(number_of(answer, "inner_lag_deg") == doctest::Approx(40.0).epsilon(1e-4));
  CHECK(says(answer, "does not read true"));
  CHECK(number_of(answer, "inner_replaced_g") == doctest::Approx(40.0).epsilon(1e-4));
  CHECK(number_of(answer, "inner_replaced_at_deg") == doctest::Approx(100.0).epsilon(1e-4));
}

TEST_CASE("a weight that changed nothing is told, and a reading without a place refused") {
  const Json answer =
      reckoned("trim", {{"planes", {{"40 g", "100 deg", "40 g", "100 deg", "40 g", "101 deg"}}}});
  CHECK(says(answer, "changed nothing that the balancer can tell"));
  // More of a weight that did nothing is no advice.
  CHECK(!says(answer, "add "));
  CHECK(refused("trim", {{"planes", {{"40 g", "100 deg", "40 g", "", "3 g", "101 deg"}}}}) ==
        "/given/planes/0/3: the place of a mass is not told\n");
}
