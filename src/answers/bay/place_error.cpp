#include "src/answers/bay/place_error.h"

#include <cmath>
#include <numbers>

namespace perrev {

BayField place_sd_field() {
  return quantity_field(
      {"place_sd", "How far a place may be off", Dimension::angle, 0.0, std::numbers::pi / 6.0},
      "One standard deviation: by eye a place is read to about 5 deg either way.", false,
      "2.5 deg");
}

VectorEstimate vector_read(double amount, double place, double amount_sd, double place_sd) {
  const double along = amount_sd * amount_sd, across = std::pow(amount * place_sd, 2);
  const double x = std::cos(place), y = std::sin(place);
  return {vector_at(amount, place), along * x * x + across * y * y, (along - across) * x * y,
          along * y * y + across * x * x, Scatter{1.0, std::nullopt}};
}

Scatter with_places(double sd, const std::vector<TurnedReading>& readings, double place_sd) {
  double squares = 0.0;
  for (const TurnedReading& reading : readings) squares += std::norm(reading.read);
  const double amount = std::sqrt(squares / static_cast<double>(readings.size()));
  return {std::hypot(sd, amount * place_sd), std::nullopt};
}

}  // namespace perrev
