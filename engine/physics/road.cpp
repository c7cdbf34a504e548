#include "engine/physics/road.h"

#include <cmath>
#include <complex>
#include <utility>

#include "engine/quantity/angle.h"
#include "engine/random.h"

namespace perrev {
namespace {

constexpr double kReference = 0.1;  // cycles/m

// sum over k of waves[k] e^(2 pi i j k / size), in place; `size` a power of two.
void add_waves(std::vector<std::complex<double>>& waves) {
  const std::size_t size = waves.size();
  for (std::size_t i = 1, j = 0; i < size; ++i) {  // into the order of reversed bits
    std::size_t bit = size / 2;
    for (; j & bit; bit /= 2) j ^= bit;
    j ^= bit;
    if (i < j) std::swap(waves[i], waves[j]);
  }
  for (std::size_t half = 1; half < size; half *= 2) {
    for (std::size_t k = 0; k < half; ++k) {
      const auto turned =
          std::polar(1.0, 0.5 * kTurn * static_cast<double>(k) / static_cast<double>(half));
      for (std::size_t i = k; i < size; i += 2 * half) {
        const auto other = turned * waves[i + half];
        waves[i + half] = waves[i] - other;
        waves[i] += other;
      }
    }
  }
}

}  // namespace

double roughness_of(RoadClass road) { return 16e-6 * std::pow(4.0, static_cast<int>(road)); }

double displacement_density(double roughness, double cycles_per_metre) {
  const double ratio = kReference / cycles_per_metre;
  return roughness * ratio * ratio;
}

double displacement_density_at(double roughness, double hz, double speed) {
  return displacement_density(roughness, hz / speed) / speed;
}

double acceleration_density_at(double roughness, double hz, double speed) {
  return std::pow(kTurn * hz, 4) * displacement_density_at(roughness, hz, speed);
}

std::vector<double> road_heights(double roughness, double step, std::size_t count,
                                 std::uint64_t seed, double longest) {
  std::size_t points = 2;
  while (points < count || static_cast<double>(points) * step < longest) points *= 2;
  const double spacing = 1.0 / (static_cast<double>(points) * step);  // of waves, cycles/m
  std::vector<std::complex<double>> waves(points);
  Random random(seed);
  for (std::size_t k = 1; k < points / 2; ++k) {
    const double phase = kTurn * random.real();
    const double cycles = static_cast<double>(k) * spacing;
    if (cycles * longest < 1.0) continue;
    waves[k] =
        std::polar(std::sqrt(2.0 * displacement_density(roughness, cycles) * spacing), phase);
  }
  add_waves(waves);
  std::vector<double> heights(count);
  for (std::size_t i = 0; i < count; ++i) heights[i] = waves[i].real();
  return heights;
}

}  // namespace perrev
