// Recordings made up for tests, with faults put into them.
#pragma once

#include <cmath>
#include <cstddef>
#include <functional>
#include <numbers>

#include "engine/random.h"
#include "engine/recording/samples.h"

namespace perrev::recorded {

// A tone of 1 m/s2 on z, gravity under it, a little noise on x; rows from 0 s on; names in line 1.
struct MadeUp {
  double rate = 100.0, seconds = 20.0, hz = 12.0, noise = 1e-3;
  std::uint64_t seed = 1;

  double z(double time) const { return 9.81 + std::sin(2.0 * std::numbers::pi * hz * time); }
  Samples rows() const {
    Samples out;
    Random random(seed);
    out.first_line = 2;
    const std::size_t count = static_cast<std::size_t>(rate * seconds);
    for (std::size_t i = 0; i < count; ++i) add(out, static_cast<double>(i) / rate, random);
    return out;
  }
  void add(Samples& out, double time, Random& random) const {
    out.time.push_back(time);
    out.acceleration[0].push_back(noise * random.normal());
    out.acceleration[2].push_back(z(time));
  }
  // The same with each moment moved: by what `moved` makes of it.
  Samples rows(const std::function<double(double)>& measured,
               const std::function<double(double)>& stamped) const {
    Samples out = rows();
    for (std::size_t i = 0; i < out.size(); ++i) {
      const double time = measured(out.time[i]);
      out.acceleration[2][i] = z(time);
      out.time[i] = stamped(time);
    }
    return out;
  }
};

inline void set_z(Samples& rows, std::size_t from, std::size_t to, double value) {
  for (std::size_t i = from; i < to; ++i) rows.acceleration[2][i] = value;
}

inline void erase_rows(Samples& rows, std::size_t from, std::size_t to) {
  const auto cut = [&](std::vector<double>& column) {
    if (!column.empty())
      column.erase(column.begin() + static_cast<std::ptrdiff_t>(from),
                   column.begin() + static_cast<std::ptrdiff_t>(to));
  };
  cut(rows.time);
  for (std::vector<double>& axis : rows.acceleration) cut(axis);
  cut(rows.speed);
  cut(rows.engine_hz);
}

}  // namespace perrev::recorded
