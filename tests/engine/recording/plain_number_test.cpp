// Numbers against strtod, to the last bit.
#include "engine/recording/plain_number.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <string>

#include "engine/random.h"

using perrev::Random;
using perrev::read_number;

namespace {

std::string digits(Random& random, std::size_t count) {
  std::string out;
  for (std::size_t i = 0; i < count; ++i) out += static_cast<char>('0' + random.below(10));
  return out;
}

std::string random_number(Random& random, std::size_t most_digits) {
  const std::size_t before = random.below(most_digits), after = random.below(most_digits - before);
  std::string out = random.below(3) == 0 ? "-" : random.below(8) == 0 ? "+" : "";
  out += digits(random, before + 1);
  if (after > 0) out += "." + digits(random, after);
  if (random.below(3) == 0) {
    static const char* const kSigns[] = {"e", "E-", "e+"};
    out += kSigns[random.below(3)];
    out += std::to_string(random.below(30));
  }
  return out;
}

}  // namespace

TEST_CASE("a number of up to 19 digits is the double that strtod finds, to the last bit") {
  Random random(8);
  for (int i = 0; i < 300'000; ++i) {
    const std::string text = random_number(random, 19) + "\n";
    double value = 0.0;
    const char* const end = read_number(text.c_str(), '.', value);
    INFO(text);
    REQUIRE(end == text.c_str() + text.size() - 1);
    REQUIRE(value == std::strtod(text.c_str(), nullptr));
  }
}

TEST_CASE("of a longer number what lies past the nineteenth digit moves at most the last bit") {
  Random random(9);
  for (int i = 0; i < 50'000; ++i) {
    const std::string text = random_number(random, 60) + "\n";
    double value = 0.0;
    const char* const end = read_number(text.c_str(), '.', value);
    const double right = std::strtod(text.c_str(), nullptr);
    INFO(text);
    REQUIRE(end == text.c_str() + text.size() - 1);
    REQUIRE(std::fabs(value - right) <= 2.3e-16 * std::fabs(right));
  }
}

TEST_CASE("what a number is, and where it ends") {
  struct RowOfTable {
    const char* text;
    char comma;
    std::size_t read;  // bytes
    double value;
  };
  const RowOfTable rows[] = {
      {"12", '.', 2, 12.0},
      {"-0.5,3", '.', 4, -0.5},
      {"0,5;3", ',', 3, 0.5},
      {".5 ", '.', 2, 0.5},
      {"5.;", '.', 2, 5.0},
      {"1e3x", '.', 3, 1000.0},
      {"1e,2", '.', 1, 1.0},
      {"1E-3", '.', 4, 0.001},
      {"+7", '.', 2, 7.0},
      {"1.2.3", '.', 3, 1.2},
      {"0x10", '.', 1, 0.0},
      {"nan", '.', 0, 0.0},
      {"-", '.', 0, 0.0},
      {".", '.', 0, 0.0},
      {"", '.', 0, 0.0},
      {"e5", '.', 0, 0.0},
      {"1e999", '.', 5, INFINITY},
      {"1e-999", '.', 6, 0.0},
      {"1e99999999999", '.', 13, INFINITY},
      {"0.0000000000000000000000012345", '.', 30, 1.2345e-24},
      {"1714814000123456789", '.', 19, 1714814000123456789.0},
      {"9.806650161743164", '.', 17, 9.806650161743164},
  };
  for (const RowOfTable& row : rows) {
    const std::string text = std::string(row.text) + "\n";
    double value = 0.0;
    INFO(std::string(row.text));
    CHECK(static_cast<std::size_t>(read_number(text.c_str(), row.comma, value) - text.c_str()) ==
          row.read);
    CHECK(value == row.value);
  }
}
