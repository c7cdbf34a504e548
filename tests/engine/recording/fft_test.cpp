#include "engine/recording/fft.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "engine/random.h"

using namespace perrev;

TEST_CASE("the transform is the sum that its header says") {
  for (const std::size_t points : {2U, 10U, 48U, 90U, 250U}) {
    Random random(points);
    std::vector<double> values;
    for (std::size_t i = 0; i < points; ++i) values.push_back(random.normal());
    RealFft fft(points);
    const auto& lines = fft.forward(values);
    REQUIRE(lines.size() == points / 2 + 1);
    for (std::size_t k = 0; k < lines.size(); ++k) {
      std::complex<double> sum;
      for (std::size_t n = 0; n < points; ++n)
        sum += values[n] * std::polar(1.0, -2.0 * std::numbers::pi * static_cast<double>(k * n) /
                                               static_cast<double>(points));
      CHECK(std::abs(lines[k] - sum) < 1e-12 * static_cast<double>(points));
    }
  }
}

TEST_CASE("quick lengths are even, have no large factors and are the next from there") {
  const std::size_t rows[][2] = {{1, 2},     {2, 2},       {400, 400},
                                 {401, 432}, {3990, 4000}, {4001, 4050}};
  for (const auto& [asked, due] : rows) CHECK(quick_length(asked) == due);
}
