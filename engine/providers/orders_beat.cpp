#include "engine/providers/orders_beat.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "engine/normal.h"
#include "engine/vehicle/beating.h"

namespace perrev {

namespace {

// From memory. Where it comes and goes, so many swell as two wheels do: of tires that are known not
// to be of one size, of other faults that turn with a wheel, and of two parts with lines in reach.
constexpr double kBySize = 0.85, kByWheels = 0.5, kByParts = 0.5;
constexpr double kLeastDifference = 0.001, kMostDifference = 0.02;
// Where the wheels were measured, so often that is the difference at work.
constexpr double kMeasuredRight = 0.8;
// Of circumferences compared by tape, relative.
constexpr double kTapeSd = 0.0015;
// Of ratios within one train, relative: they are written down to two or three digits.
constexpr double kRatioSd = 0.003;

// That |x| is above `least`.
double beyond(double least, const Estimate& x) {
  return 1.0 - normal_below((least - x.mean) / x.sd) + normal_below((-least - x.mean) / x.sd);
}

// Adds `share` of a distribution to the bands; `within` is the probability of a period below each
// of their edges. Returns how much of it can be answered.
double add_bands(double share, const std::vector<double>& within, std::vector<double>& bands) {
  for (std::size_t b = 0; b < bands.size(); ++b)
    bands[b] += share * std::max(0.0, within[b + 1] - within[b]);
  return share * std::max(0.0, within.back() - within.front());
}

constexpr double kOutOfReach = 1e-12;
// What is so many standard deviations away is certain, as far as 53 bits can tell.
constexpr double kCertain = 8.5;

}  // namespace

std::size_t BeatFact::band_of(double period) const {
  const auto above = std::upper_bound(edges.begin() + 1, edges.end() - 1, period);
  return static_cast<std::size_t>(above - edges.begin()) - 1;
}

BeatFact BeatFact::around(double period) const {
  BeatFact out{fact, {}, {}, {}};
  const std::size_t band = band_of(period);
  for (std::size_t e = 0; e < edges.size(); ++e) {
    const bool kept = e == 0 || e == band || e == band + 1 || e + 1 == edges.size();
    if (kept) {
      out.edges.push_back(edges[e]);
      out.log_edges.push_back(log_edges[e]);
      if (e < base.size()) out.base.push_back(0.0);
    }
    if (e < base.size()) out.base.back() += base[e];
  }
  return out;
}

BeatFact beat_fact(const RuleBase& base) {
  BeatFact out;
  const int fact = base.fact_index("beat_period");
  if (fact < 0) return out;
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  if (of.kind != FactKind::number || of.unit != Dimension::time || of.cumulative.size() < 2)
    return out;
  for (std::size_t i = 0; i < of.cumulative.size(); ++i) {
    out.edges.push_back(of.cumulative[i].first);
    out.log_edges.push_back(std::log(of.cumulative[i].first));
    if (i > 0) out.base.push_back(of.cumulative[i].second - of.cumulative[i - 1].second);
  }
  out.fact = fact;
  return out;
}

std::vector<Estimate> wheel_differences(const RuleBase& base, const CaseFacts& facts,
                                        std::size_t round) {
  const RoundFacts& seen = facts.rounds[round];
  const auto reading = [&](const char* id, int place) -> const Reading* {
    const int fact = base.fact_index(id);
    const Reading* found = fact < 0 ? nullptr : seen.find(fact, place);
    return found && !found->unsure ? found : nullptr;
  };
  const auto number = [&](const char* id, int place) -> std::optional<double> {
    const Reading* found = reading(id, place);
    return found && !found->numbers.empty() ? std::optional<double>(found->number) : std::nullopt;
  };
  if (const auto compared = number("circumference_difference", -1)) return {{*compared, kTapeSd}};
  struct Wheel {
    Tire tire;
    TireState state;
  };
  std::vector<Wheel> wheels;
  for (int place = 0; place < static_cast<int>(places_of(Per::wheel).size()); ++place) {
    const Reading* size = reading("tire_size", place);
    auto tire = size ? parse_tire(size->text) : Result<Tire>(Problem{});
    if (!tire) continue;
    Wheel wheel{std::move(tire).value(), {}};
    wheel.state.tread_depth = number("tread_depth", place);
    wheel.state.pressure = number("pressure_found", place);
    wheels.push_back(std::move(wheel));
  }
  std::vector<Estimate> out;
  for (std::size_t i = 0; i < wheels.size(); ++i)
    for (std::size_t j = i + 1; j < wheels.size(); ++j) {
      const Wheel &a = wheels[i], &b = wheels[j];
      if (can_be_compared(a.tire, a.state, b.tire, b.state))
        out.push_back(circumference_difference(a.tire, a.state, b.tire, b.state));
    }
  return out;
}

std::vector<double> BeatModel::of_wheels(double order) const {
  std::vector<double> out(fact_.base.size(), 0.0), within(fact_.edges.size());
  double total = 0.0;
  const double span = std::log(kMostDifference / kLeastDifference);
  const double measured = differences_.empty() ? 0.0 : kMeasuredRight;
  for (const FeltMoment& moment : moments_) {
    const double hz = order * moment.wheel.value;
    if (!(hz > 0.0)) continue;
    const double log_most = std::log(kMostDifference * hz);
    for (std::size_t e = 0; e < within.size(); ++e)
      within[e] = std::clamp((log_most + fact_.log_edges[e]) / span, 0.0, 1.0);
    total += add_bands((1.0 - measured) * moment.share, within, out);
    for (const Estimate& difference : differences_) {
      for (std::size_t e = 0; e < within.size(); ++e)
        within[e] = beyond(1.0 / (hz * fact_.edges[e]), difference);
      total += add_bands(measured / static_cast<double>(differences_.size()) * moment.share, within,
                         out);
    }
  }
  if (total <= kOutOfReach) return fact_.base;
  for (double& p : out) p /= total;
  return out;
}

// `reach`: how likely some other line swells with this one in a time that can be counted.
std::vector<double> BeatModel::of_parts(const CauseLine& line, double& reach) const {
  std::vector<double> out(fact_.base.size(), 0.0), within(fact_.edges.size());
  double total = 0.0;
  if (line.hz)
    for (const OrderLine& other : round_.lines) {
      if (other.source == line.source) continue;
      const double apart = other.hz.mean - line.hz->mean;
      const bool one_train = is_engines(other.source) == is_engines(line.source);
      const double sd =
          one_train ? sd_of_sum(apart * line.hz->sd / line.hz->mean, kRatioSd * line.hz->mean)
                    : sd_of_sum(line.hz->sd, other.hz.sd);
      if (std::abs(apart) > 1.0 / fact_.edges.front() + kCertain * sd) continue;
      const Estimate difference{apart, sd};
      for (std::size_t e = 0; e < within.size(); ++e)
        within[e] = beyond(1.0 / fact_.edges[e], difference);
      total += add_bands(1.0, within, out);
    }
  reach = std::min(1.0, total);
  if (total <= kOutOfReach) return fact_.base;
  for (double& p : out) p /= total;
  return out;
}

std::vector<double> BeatModel::bands(const CauseLine& line, bool by_size) const {
  double share = by_size ? kBySize : kByWheels, reach = 1.0;
  const bool wheels = line.source == "tire";
  const std::vector<double> made = wheels ? of_wheels(line.order) : of_parts(line, reach);
  if (!wheels) share = kByParts * reach;
  std::vector<double> out = fact_.base;
  for (std::size_t b = 0; b < out.size(); ++b) out[b] = (1.0 - share) * out[b] + share * made[b];
  return out;
}

}  // namespace perrev
