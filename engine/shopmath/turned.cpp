#include "engine/shopmath/turned.h"

#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <cmath>
#include <numbers>

#include "engine/quantity/angle.h"
#include "engine/shopmath/least_squares.h"

namespace perrev {

namespace {

constexpr double kSameTurn = kDegree;  // nearer than this is one and the same
constexpr double kTornPoint = 0.99;

double half_of(const TurnedParts& parts, const TurnedParts::Gradient& gradient) {
  double variance = 0.0;
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < 4; ++j)
      variance += gradient[i] * parts.covariance[i][j] * gradient[j];
  return parts.scatter.half_width() * std::sqrt(std::max(0.0, variance));
}

// Of variances: one seen with `freedom` degrees to the one known.
double tearing_ratio(double freedom, const Scatter& known) {
  if (known.freedom)
    return boost::math::quantile(boost::math::fisher_f(freedom, *known.freedom), kTornPoint);
  return boost::math::quantile(boost::math::chi_squared(freedom), kTornPoint) / freedom;
}

std::optional<Problem> turns_wrong(const std::vector<TurnedReading>& readings) {
  if (readings.size() < 2)
    return problem("one reading does not tell two parts apart", "two or more, at different turns");
  double apart = 0.0;
  for (const TurnedReading& reading : readings) {
    if (std::abs(reading.turn) >= kTurn)
      return problem("a part is said to be turned by a whole turn or more",
                     "angles of less than a turn");
    apart = std::max(
        apart, std::abs(vector_at(1.0, reading.turn) - vector_at(1.0, readings.front().turn)));
  }
  if (apart < kSameTurn)
    return problem("all readings are at one turn: they do not tell two parts apart",
                   "one more, with the one turned on the other");
  return std::nullopt;
}

}  // namespace

VectorEstimate TurnedParts::staying() const {
  return {stays, covariance[0][0], covariance[0][1], covariance[1][1], scatter};
}

VectorEstimate TurnedParts::turning() const {
  return {turns, covariance[2][2], covariance[2][3], covariance[3][3], scatter};
}

VectorEstimate TurnedParts::sum_at(double turn) const {
  const double c = std::cos(turn), s = std::sin(turn);
  const Gradient to_x{1.0, 0.0, c, -s}, to_y{0.0, 1.0, s, c};
  VectorEstimate out{stays + turns * vector_at(1.0, turn), 0.0, 0.0, 0.0, scatter};
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < 4; ++j) {
      out.xx += to_x[i] * covariance[i][j] * to_x[j];
      out.xy += to_x[i] * covariance[i][j] * to_y[j];
      out.yy += to_y[i] * covariance[i][j] * to_y[j];
    }
  return out;
}

Interval TurnedParts::most() const {
  const Vector a = direction_of(stays), b = direction_of(turns);
  const double half = half_of(*this, {a.real(), a.imag(), b.real(), b.imag()});
  const double sum = std::abs(stays) + std::abs(turns);
  return {sum, std::max(0.0, sum - half), sum + half};
}

Interval TurnedParts::least() const {
  const Vector a = direction_of(stays), b = direction_of(turns);
  const double half = half_of(*this, {a.real(), a.imag(), -b.real(), -b.imag()});
  const double left = std::abs(std::abs(stays) - std::abs(turns));
  return {left, std::max(0.0, left - half), left + half};
}

double TurnedParts::turn_of_least() const {
  return std::arg(-direction_of(stays) * std::conj(direction_of(turns)));
}

double TurnedParts::turn_half_width() const {
  for (const VectorEstimate& part : {staying(), turning()})
    if (part.angle_half_width() >= std::numbers::pi) return std::numbers::pi;
  // A small move across a vector turns it by move / size.
  const Vector a = direction_of(stays) / std::abs(stays), b = direction_of(turns) / std::abs(turns);
  return std::min(std::numbers::pi, half_of(*this, {-a.imag(), a.real(), b.imag(), -b.real()}));
}

Result<TurnedParts> split_turned(const std::vector<TurnedReading>& readings, CountedFrom from,
                                 const std::optional<Scatter>& known) {
  if (auto wrong = turns_wrong(readings)) return *wrong;
  std::vector<std::vector<double>> rows;
  std::vector<double> read;
  for (const TurnedReading& reading : readings) {
    const Vector turn = vector_at(1.0, reading.turn);
    const Vector seen = from == CountedFrom::turning ? reading.read * turn : reading.read;
    const double weight = 1.0 / reading.widening, c = weight * turn.real(),
                 s = weight * turn.imag();
    rows.push_back({weight, 0.0, c, -s});
    rows.push_back({0.0, weight, s, c});
    read.push_back(weight * seen.real());
    read.push_back(weight * seen.imag());
  }
  const auto fit = least_squares(rows, read);
  if (!fit.ok()) return fit.error();
  const auto scatter = known ? known : fit->scatter(std::nullopt);
  if (!scatter)
    return problem("two readings do not say how far they scatter",
                   "the scatter of a mounting, or a third reading");
  TurnedParts out;
  out.stays = {fit->values[0], fit->values[1]};
  out.turns = {fit->values[2], fit->values[3]};
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < 4; ++j) out.covariance[i][j] = fit->covariance[i][j];
  out.scatter = *scatter;
  out.freedom = fit->freedom;
  out.rms = fit->rms;
  out.torn = known && fit->freedom > 0 &&
             fit->rms * fit->rms > known->sd * known->sd * tearing_ratio(fit->freedom, *known);
  return out;
}

TurnedParts parts_read_apart(const VectorEstimate& stays, const VectorEstimate& turns) {
  // What a difference of the two scatters as is what both scatter as.
  const Scatter shared = difference(stays, turns).scatter;
  TurnedParts out;
  out.stays = stays.value;
  out.turns = turns.value;
  out.scatter = {1.0, shared.freedom};
  std::size_t at = 0;
  for (const VectorEstimate* part : {&stays, &turns}) {
    const double own = part->scatter.sd * part->scatter.sd;
    out.covariance[at][at] = own * part->xx;
    out.covariance[at][at + 1] = out.covariance[at + 1][at] = own * part->xy;
    out.covariance[at + 1][at + 1] = own * part->yy;
    at += 2;
  }
  return out;
}

}  // namespace perrev
