#include "engine/shopmath/indexing.h"

#include <boost/math/distributions/chi_squared.hpp>
#include <cmath>

#include "engine/shopmath/repeated_readings.h"

namespace perrev {

Interval Indexing::half_turn_change(CountedFrom from) const {
  const Interval part = (from == CountedFrom::staying ? wheel() : mounting()).amount();
  return {2.0 * part.value, 2.0 * part.low, 2.0 * part.high};
}

Result<Indexing> index_wheel(const std::vector<Mounting>& mountings, CountedFrom from,
                             const std::optional<Scatter>& known) {
  std::vector<TurnedReading> readings;
  for (const Mounting& mounting : mountings)
    readings.push_back(
        {mounting.turn, mounting.read, mounting.one_flange ? kOneFlangeWidening : 1.0});
  auto parts = split_turned(readings, from, known);
  if (!parts.ok()) return std::move(parts).error();
  Indexing out;
  out.parts = std::move(parts).value();
  for (const Mounting& mounting : mountings)
    out.changes.push_back(std::abs(mounting.read - mountings.front().read));
  return out;
}

Result<SeatingSpread> seating_spread(const std::vector<Vector>& readings) {
  const auto mean = mean_of_vectors(readings);
  if (!mean.ok()) return mean.error();
  const double sd = mean->scatter.sd, freedom = *mean->scatter.freedom;
  const boost::math::chi_squared spread(freedom);
  const double squares = freedom * sd * sd;
  return SeatingSpread{*mean,
                       {sd, std::sqrt(squares / boost::math::quantile(spread, 0.975)),
                        std::sqrt(squares / boost::math::quantile(spread, 0.025))}};
}

}  // namespace perrev
