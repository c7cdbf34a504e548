// Recordings that the tests of `perrev recording` make up.
#pragma once

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "engine/random.h"
#include "tests/src/run_perrev.h"

namespace perrev::test {

inline constexpr double kTurn = 6.283185307179586;

// One g of gravity, a tone that turns with a wheel of 2.03 m, noise.
inline std::string phone_csv(double speed, double seconds) {
  perrev::Random random(5);
  std::string out = "Time (ms),Acc X (g),Acc Y (g),Acc Z (g)\n";
  for (int i = 0; i < static_cast<int>(100.0 * seconds); ++i) {
    const double time = i / 100.0;
    const double z = 9.80665 + 0.2 * std::sin(kTurn * speed / 2.03 * time) + 0.3 * random.normal();
    char line[96];
    std::snprintf(line, sizeof line, "%.0f,%.5f,%.5f,%.5f\n", 1e3 * time, 0.015 * random.normal(),
                  0.015 * random.normal(), z / 9.80665);
    out += line;
  }
  return out;
}

// The same from a logger whose names say little, and speeds beside it.
inline std::string logger_csv(double speed, double seconds) {
  const std::string text = phone_csv(speed, seconds);
  std::string out = "Clock;Channel 1;Channel 2;Channel 3\n";
  for (std::size_t at = text.find('\n') + 1; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    std::string row = text.substr(at, end - at);
    std::replace(row.begin(), row.end(), ',', ';');
    out += row.insert(row.find(';'), "e-3") + "\n";  // ms to s
    at = end + 1;
  }
  return out;
}
inline std::string speeds_csv(double speed, double seconds) {
  std::string out = "t_s;v\n";
  for (int i = 0; i <= static_cast<int>(seconds); ++i)
    out += std::to_string(i) + ";" + std::to_string(3.6 * speed) + "\n";
  return out;
}

// What the command prints with --json.
inline nlohmann::ordered_json json_of(std::vector<std::string> arguments) {
  arguments.push_back("--json");
  const Ran ran = run_perrev(arguments);
  CHECK(ran.err.empty());
  REQUIRE(ran.code == 0);
  return nlohmann::ordered_json::parse(ran.out);
}

}  // namespace perrev::test
