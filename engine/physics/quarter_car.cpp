#include "engine/physics/quarter_car.h"

#include <cmath>

#include "engine/quantity/angle.h"

namespace perrev {

QuarterCar quarter_car_of(const PhysicsBody& body) {
  return {body.sprung, body.unsprung, body.spring, body.tire, body.damper};
}

QuarterCar golden_car(double sprung) {
  return {sprung, 0.15 * sprung, 63.3 * sprung, 653.0 * sprung, 6.0 * sprung};
}

NaturalFrequencies natural_frequencies(const QuarterCar& car) {
  // m_s m_u w^4 - (m_s (k_s + k_t) + m_u k_s) w^2 + k_s k_t = 0
  const double a = car.sprung * car.unsprung;
  const double b = car.sprung * (car.spring + car.tire) + car.unsprung * car.spring;
  const double c = car.spring * car.tire;
  const double larger = (b + std::sqrt(b * b - 4.0 * a * c)) / (2.0 * a);
  return {std::sqrt(c / (a * larger)) / kTurn, std::sqrt(larger) / kTurn};
}

std::complex<double> body_per_road(const QuarterCar& car, double hz) {
  const std::complex<double> s(0.0, kTurn * hz);
  const std::complex<double> between = car.damper * s + car.spring;
  return car.tire * between /
         ((car.sprung * s * s + between) * (car.unsprung * s * s + between + car.tire) -
          between * between);
}

std::complex<double> body_per_force(const QuarterCar& car, double hz) {
  const double speed = kTurn * hz;
  return body_per_road(car, hz) * (-speed * speed / car.tire);
}

}  // namespace perrev
