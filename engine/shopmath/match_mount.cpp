#include "engine/shopmath/match_mount.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/quantity/angle.h"

namespace perrev {

namespace {

double trace_of(const TurnedParts& parts) {
  double sum = 0.0;
  for (std::size_t i = 0; i < 4; ++i) sum += parts.covariance[i][i];
  return sum;
}

// What is left at the best turn over the whole range of the stiffness.
Interval left_by_stiffness(const TurnedParts& force, const MatchTerms& terms) {
  const double tire = std::abs(force.turns), rim = std::abs(force.stays);
  const double value = std::abs(tire - rim);
  if (terms.read == MatchRead::forces) return {value, value, value};
  const double low = terms.stiffness.low / terms.stiffness.value,
               high = terms.stiffness.high / terms.stiffness.value;
  if (terms.read == MatchRead::both_runout) return {value, value * low, value * high};
  const double at_low = tire - low * rim, at_high = tire - high * rim;
  const bool meets = at_low * at_high <= 0.0;
  return {value, meets ? 0.0 : std::min(std::abs(at_low), std::abs(at_high)),
          std::max(std::abs(at_low), std::abs(at_high))};
}

MatchWorth worth_of(const Match& match, const MatchTerms& terms) {
  if (match.now.value <= terms.limit) return MatchWorth::not_needed;
  if (standing(match.best, terms.limit) == Standing::beyond) return MatchWorth::falls_short;
  if (match.gain <= terms.interaction) return MatchWorth::drowned;
  return match.afterwards.high <= terms.limit ? MatchWorth::will_help : MatchWorth::may_help;
}

}  // namespace

TurnedParts as_force(const TurnedParts& read, const MatchTerms& terms) {
  if (terms.read == MatchRead::forces) return read;
  const double by = terms.stiffness.value;
  const double relative =
      (terms.stiffness.high - terms.stiffness.low) / (2.0 * Scatter{1.0}.half_width() * by);
  const bool both = terms.read == MatchRead::both_runout;
  TurnedParts out = read;
  out.stays *= by;
  if (both) out.turns *= by;
  const TurnedParts::Gradient scale{by, by, both ? by : 1.0, both ? by : 1.0};
  const TurnedParts::Gradient moves{out.stays.real(), out.stays.imag(),
                                    both ? out.turns.real() : 0.0, both ? out.turns.imag() : 0.0};
  const double own = read.scatter.sd * read.scatter.sd;
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < 4; ++j) out.covariance[i][j] *= own * scale[i] * scale[j];
  const double of_readings = trace_of(out);
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < 4; ++j)
      out.covariance[i][j] += relative * relative * moves[i] * moves[j];
  out.scatter = {1.0, std::nullopt};
  // Welch and Satterthwaite: the stiffness is known beforehand, the readings need not be.
  if (read.scatter.freedom && of_readings > 0.0)
    out.scatter.freedom = *read.scatter.freedom * std::pow(trace_of(out) / of_readings, 2);
  return out;
}

Scatter mounting_scatter(double interaction, double reading) {
  return {std::hypot(interaction / std::numbers::sqrt2, reading), std::nullopt};
}

Match match_mount(const TurnedParts& read, const MatchTerms& terms) {
  const TurnedParts force = as_force(read, terms);
  Match out;
  out.now = terms.read_now ? *terms.read_now : force.sum_at(terms.mounted_at).amount();
  out.best = force.least();
  out.worst = force.most();
  out.turn = std::remainder(force.turn_of_least() - terms.mounted_at, kTurn);
  out.turn_half_width = force.turn_half_width();
  out.gain = out.now.value - out.best.value;
  out.afterwards = {std::hypot(out.best.value, terms.interaction),
                    std::max(0.0, out.best.low - terms.interaction),
                    out.best.high + terms.interaction};
  out.by_stiffness = left_by_stiffness(force, terms);
  out.worth = worth_of(out, terms);
  return out;
}

}  // namespace perrev
