// How wide intervals are, against the tables.
#include "engine/shopmath/scatter.h"

#include <doctest/doctest.h>

using namespace perrev;

TEST_CASE("a 95 % interval is as wide as the tables of Student's t say") {
  struct Row {
    double freedom, quantile;
  };
  // Two-sided 5 %: W. S. Gosset's distribution as in any handbook; e.g. NIST/SEMATECH 1.3.6.7.2.
  for (const Row& row : {Row{1, 12.706}, {2, 4.303}, {5, 2.571}, {10, 2.228}, {30, 2.042}}) {
    CAPTURE(row.freedom);
    CHECK(Scatter{1.0, row.freedom}.half_width() == doctest::Approx(row.quantile).epsilon(2e-4));
  }
  CHECK(Scatter{2.0, std::nullopt}.half_width() == doctest::Approx(3.92).epsilon(1e-3));
}

TEST_CASE("other levels than 95 %") {
  // Student's t and the normal distribution as tabled, e.g. NIST/SEMATECH 1.3.6.7: 1 % two-sided.
  CHECK(half_width_outside({1.0, 5.0}, 0.01) == doctest::Approx(4.032).epsilon(2e-4));
  CHECK(half_width_outside({1.0, std::nullopt}, 0.01) == doctest::Approx(2.576).epsilon(2e-4));
  CHECK(half_width_outside({3.0, 7.0}, 0.05) ==
        doctest::Approx(Scatter{3.0, 7.0}.half_width()).epsilon(1e-12));
}
