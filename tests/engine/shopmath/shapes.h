// Shapes round a turn and readings of them.
#pragma once

#include <cmath>
#include <vector>

#include "engine/quantity/angle.h"
#include "engine/shopmath/vectors.h"
#include "tests/engine/shopmath/trials.h"

namespace perrev::testing {

// Angles that are nowhere nearer than a tenth of the even distance.
inline std::vector<double> uneven_places(Trials& random, std::size_t count) {
  std::vector<double> out;
  for (std::size_t i = 0; i < count; ++i)
    out.push_back(kTurn * (static_cast<double>(i) + random.even(0.05, 0.95)) /
                  static_cast<double>(count));
  return out;
}

// A mean and harmonics of amplitude `amount` over the order, at random places.
struct Shape {
  double mean = 0.0;
  std::vector<Vector> harmonics;

  double at(double angle) const {
    double out = mean;
    for (std::size_t k = 0; k < harmonics.size(); ++k)
      out += std::real(harmonics[k] * vector_at(1.0, -static_cast<double>(k + 1) * angle));
    return out;
  }
};

inline Shape random_shape(Trials& random, double amount, std::size_t harmonics) {
  Shape out{random.even(-1.0, 1.0), {}};
  for (std::size_t k = 1; k <= harmonics; ++k)
    out.harmonics.push_back(vector_at(amount / static_cast<double>(k), random.even(0.0, kTurn)));
  return out;
}

inline std::vector<double> even_places(std::size_t count) {
  std::vector<double> out;
  for (std::size_t i = 0; i < count; ++i)
    out.push_back(kTurn * static_cast<double>(i) / static_cast<double>(count));
  return out;
}

inline std::vector<double> readings_of(const Shape& shape, const std::vector<double>& angles,
                                       Trials& random, double sd) {
  std::vector<double> out;
  for (const double angle : angles) out.push_back(shape.at(angle) + random.normal(sd));
  return out;
}

}  // namespace perrev::testing
