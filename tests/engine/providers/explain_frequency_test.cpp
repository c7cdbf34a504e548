// Which line explains a frequency: probabilities over all lines and "unexplained".
#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "engine/providers/orders.h"
#include "tests/engine/reasoning/lcg.h"

using namespace perrev;
using perrev::testing::Lcg;

namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr double kLogSpan = 5.298317366548036;  // ln 200

OrderLine line_at(double hz, double sd, const std::string& source = "tire") {
  return {source, source, 1.0, {hz, sd}, source + " order 1"};
}

double density(double x, double mean, double sd) {
  return std::exp(-0.5 * (x - mean) * (x - mean) / (sd * sd)) / (sd * std::sqrt(2.0 * kPi));
}

}  // namespace

TEST_CASE("explanations sum to one, whatever was measured") {
  Lcg random(1);
  for (int i = 0; i < 2000; ++i) {
    std::vector<OrderLine> lines;
    const int count = random.between(0, 12);
    for (int k = 0; k < count; ++k)
      lines.push_back(line_at(random.real(1.0, 200.0), random.real(0.05, 5.0)));
    const double measured = random.real(1.0, 200.0);
    const Explanation found = explain_frequency(lines, measured, reading_sd(measured));
    REQUIRE(found.lines.size() == lines.size());
    double sum = found.unexplained;
    REQUIRE(found.unexplained > 0.0);
    for (std::size_t k = 0; k < lines.size(); ++k) {
      REQUIRE(found.lines[k].line.hz.mean == lines[k].hz.mean);  // in the order given
      REQUIRE(found.lines[k].probability >= 0.0);
      sum += found.lines[k].probability;
    }
    REQUIRE(std::abs(sum - 1.0) <= 1e-12);
  }
}

// Density of a line: normal with sd^2 = sd of the line^2 + sd of the reading^2; of anything else 1
// / (f ln 200).
TEST_CASE("explanations worked by hand") {
  SUBCASE("no line: nothing explains it") {
    const Explanation found = explain_frequency({}, 15.0, 0.3);
    CHECK(found.lines.empty());
    CHECK(found.unexplained == 1.0);
  }
  SUBCASE("one line exactly there: 0.3, 0.4 make 0.5 Hz") {
    const Explanation found = explain_frequency({line_at(15.0, 0.3)}, 15.0, 0.4);
    const double there = 1.0 / (0.5 * std::sqrt(2.0 * kPi)), other = 1.0 / (15.0 * kLogSpan);
    CHECK(found.lines[0].probability == doctest::Approx(there / (there + other)).epsilon(1e-12));
    CHECK(found.lines[0].probability == doctest::Approx(0.98447).epsilon(1e-4));
    CHECK(found.unexplained == doctest::Approx(other / (there + other)).epsilon(1e-12));
  }
  SUBCASE("two lines as far on either side are as likely") {
    const Explanation found =
        explain_frequency({line_at(14.0, 0.3), line_at(16.0, 0.3)}, 15.0, 0.4);
    CHECK(found.lines[0].probability == found.lines[1].probability);
    const double two = density(1.0, 0.0, 0.5), other = 1.0 / (15.0 * kLogSpan);
    CHECK(found.lines[0].probability == doctest::Approx(two / (2.0 * two + other)).epsilon(1e-12));
  }
  SUBCASE("two lines at the same place share") {
    const Explanation one = explain_frequency({line_at(15.0, 0.3)}, 15.2, 0.4);
    const Explanation two =
        explain_frequency({line_at(15.0, 0.3), line_at(15.0, 0.3, "driveshaft")}, 15.2, 0.4);
    CHECK(two.lines[0].probability == two.lines[1].probability);
    CHECK(two.unexplained < one.unexplained);
  }
  SUBCASE("far from every line it stays unexplained") {
    CHECK(explain_frequency({line_at(15.0, 0.3)}, 30.0, 0.4).unexplained > 0.999999);
  }
}

TEST_CASE("a reading is good to two percent, and to a fifth of a hertz at best") {
  CHECK(reading_sd(5.0) == 0.2);
  CHECK(reading_sd(10.0) == doctest::Approx(0.2));
  CHECK(reading_sd(50.0) == doctest::Approx(1.0));
}
