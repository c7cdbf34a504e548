#include "engine/shopmath/indexing.h"

#include <boost/math/distributions/chi_squared.hpp>
#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/least_squares.h"

namespace perrev {

namespace {

constexpr double kRoundedBy = kTurn / 240.0;  // 1.5 degrees

std::string degrees_listed(const std::vector<double>& turns) {
  std::string out;
  for (std::size_t i = 0; i < turns.size(); ++i) {
    if (i > 0) out += i + 1 < turns.size() ? ", " : " or ";
    out += std::to_string(static_cast<int>(std::lround(turns[i] * 360.0 / kTurn)));
  }
  return out;
}

}  // namespace

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

Result<std::vector<double>> stud_turns(int studs) {
  if (studs < kFewestStuds || studs > kMostStuds)
    return problem("a wheel with that many studs is not known", "3 to 12 studs");
  std::vector<double> out;
  for (int i = 1; i < studs; ++i) out.push_back(kTurn * i / studs);
  return out;
}

Result<double> stud_turn(int studs, double turn) {
  const auto turns = stud_turns(studs);
  if (!turns.ok()) return turns.error();
  if (std::abs(turn) >= kTurn)
    return problem("a wheel is said to be turned by a whole turn or more",
                   "angles of less than a turn");
  const double step = kTurn / studs, nearest = step * std::round(turn / step);
  if (std::abs(turn - nearest) > kRoundedBy)
    return problem(std::to_string(studs) + " studs do not let the wheel turn by that angle",
                   degrees_listed(*turns) + " degrees");
  const double forward = nearest < 0.0 ? nearest + kTurn : nearest;
  return forward > kTurn - 0.5 * step ? 0.0 : forward;
}

Result<StudPlace> best_stud_place(const TurnedParts& parts, int studs) {
  const auto turns = stud_turns(studs);
  if (!turns.ok()) return turns.error();
  StudPlace best{0.0, parts.sum_at(0.0).amount()};
  for (const double turn : *turns) {
    const Interval amount = parts.sum_at(turn).amount();
    // The earlier of two that are alike: rounding must not choose.
    if (amount.value < best.amount.value * (1.0 - 1e-9)) best = {turn, amount};
  }
  return best;
}

Scatter SeatingSpread::scatter() const { return {sd.value, static_cast<double>(freedom)}; }

Result<SeatingSpread> seating_spread(const std::vector<Vector>& readings) {
  if (readings.size() < 2)
    return problem("one seating does not say how far seatings differ", "two or more, better five");
  std::vector<std::vector<double>> rows;
  std::vector<double> read;
  for (const Vector reading : readings) {
    rows.push_back({1.0, 0.0});
    rows.push_back({0.0, 1.0});
    read.push_back(reading.real());
    read.push_back(reading.imag());
  }
  const auto fit = least_squares(rows, read);
  if (!fit.ok()) return fit.error();
  const boost::math::chi_squared spread(fit->freedom);
  const double squares = fit->freedom * fit->rms * fit->rms;
  SeatingSpread out;
  out.mean = fit->vector(0, 1, *fit->scatter(std::nullopt));
  out.sd = {fit->rms, std::sqrt(squares / boost::math::quantile(spread, 0.975)),
            std::sqrt(squares / boost::math::quantile(spread, 0.025))};
  out.freedom = fit->freedom;
  return out;
}

}  // namespace perrev
