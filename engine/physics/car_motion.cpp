// Steps of a quarter car in time: the exponential of its equations of motion.
#include <cmath>
#include <cstddef>

#include "engine/physics/quarter_car.h"

namespace perrev {
namespace {

// The car's state, then road and force, then what these gain over a step.
constexpr std::size_t kState = 4, kInputs = 2, kAll = kState + 2 * kInputs;
using Square = std::array<std::array<double, kAll>, kAll>;

Square product(const Square& left, const Square& right) {
  Square result{};
  for (std::size_t i = 0; i < kAll; ++i)
    for (std::size_t k = 0; k < kAll; ++k)
      for (std::size_t j = 0; j < kAll; ++j) result[i][j] += left[i][k] * right[k][j];
  return result;
}

double largest_row_sum(const Square& matrix) {
  double largest = 0.0;
  for (const auto& row : matrix) {
    double sum = 0.0;
    for (const double value : row) sum += std::abs(value);
    largest = std::fmax(largest, sum);
  }
  return largest;
}

// exp(matrix) by scaling and squaring.
Square exponential(Square matrix) {
  int halvings = 0;
  for (double size = largest_row_sum(matrix); size > 0.5; size /= 2.0) ++halvings;
  for (auto& row : matrix)
    for (double& value : row) value = std::ldexp(value, -halvings);
  Square sum{}, term{};
  for (std::size_t i = 0; i < kAll; ++i) sum[i][i] = term[i][i] = 1.0;
  constexpr int kTerms = 16;  // 0.5^17 / 17! is below 1e-19
  for (int n = 1; n <= kTerms; ++n) {
    term = product(term, matrix);
    for (std::size_t i = 0; i < kAll; ++i)
      for (std::size_t j = 0; j < kAll; ++j) sum[i][j] += term[i][j] /= n;
  }
  for (int n = 0; n < halvings; ++n) sum = product(sum, sum);
  return sum;
}

}  // namespace

CarMotion::CarMotion(const QuarterCar& car, double step) : car_(car) {
  const double body_spring = car.spring / car.sprung, body_damper = car.damper / car.sprung;
  const double spring = car.spring / car.unsprung, damper = car.damper / car.unsprung;
  const double tire = car.tire / car.unsprung;
  Square rates{};
  rates[0] = {0.0, 1.0};
  rates[1] = {-body_spring, -body_damper, body_spring, body_damper};
  rates[2] = {0.0, 0.0, 0.0, 1.0};
  rates[3] = {spring, damper, -spring - tire, -damper, tire, 1.0 / car.unsprung};
  for (auto& row : rates)
    for (double& value : row) value *= step;
  for (std::size_t i = 0; i < kInputs; ++i) rates[kState + i][kState + kInputs + i] = 1.0;
  const Square over = exponential(rates);
  for (std::size_t i = 0; i < kState; ++i) {
    for (std::size_t j = 0; j < kState; ++j) transition_[i][j] = over[i][j];
    road_after_[i] = over[i][kState + kInputs];
    road_before_[i] = over[i][kState] - road_after_[i];
    force_after_[i] = over[i][kState + kInputs + 1];
    force_before_[i] = over[i][kState + 1] - force_after_[i];
  }
}

CarState CarMotion::advance(const CarState& state, double road_before, double road_after,
                            double force_before, double force_after) const {
  CarState next{};
  for (std::size_t i = 0; i < kState; ++i) {
    next[i] = road_before_[i] * road_before + road_after_[i] * road_after +
              force_before_[i] * force_before + force_after_[i] * force_after;
    for (std::size_t j = 0; j < kState; ++j) next[i] += transition_[i][j] * state[j];
  }
  return next;
}

double CarMotion::body_acceleration(const CarState& state) const {
  return (car_.spring * (state[2] - state[0]) + car_.damper * (state[3] - state[1])) / car_.sprung;
}

}  // namespace perrev
