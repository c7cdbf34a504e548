#include "engine/providers/recorded_lines.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "engine/normal.h"
#include "engine/physics/weighting.h"
#include "engine/providers/orders_lines.h"
#include "engine/providers/orders_peaks.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

constexpr int kShifts = 161;          // of the wheels' turns per metre that are summed over,
constexpr double kShiftsReach = 4.0;  // this many standard deviations to either side
// How well a line can sit where its part turns: slip, and a speed that lags, from memory.
constexpr double kOwnSpread = 0.002, kEngineSpread = 0.003;
// Domains whose line stands out alike by this much leave open which one it hangs on; beyond that
// each decibel speaks for the higher one by two decibans. Set by simulated recordings.
constexpr double kAlikeDb = 1.0, kMostDb = 20.0;
// An engine whose speed was not recorded leaves a line against the road while the speed changes by
// more than kHeld only in one gear and without slip: that it does, from memory.
constexpr double kHeld = 0.1, kOneGear = 0.5;
constexpr double kMayBeIt = 0.15;  // of the probability: a meaning that has to be named
constexpr double kWorthTelling = 1e-3;
constexpr double kSharper = 0.7;  // of what the tire's size leaves open: a circumference told

struct Candidate {
  std::string source;
  double order = 1.0;
  Domain domain = Domain::road;
  double at = 0.0;      // in units of the domain
  double own = 0.0;     // sd of ln(at), its own
  bool shared = false;  // and has the wheels' error too
  double prior = 0.0;
  bool usual = false;
};

// What the recording was driven at; 0 where it does not know.
struct Driven {
  double speed = 0.0, engine_hz = 0.0;
  double range = 0.0;  // of speeds, relative
};

double per_unit(Domain domain, const Driven& driven) {
  return domain == Domain::time ? 1.0 : domain == Domain::road ? driven.speed : driven.engine_hz;
}

std::vector<Candidate> candidates_of(const RuleBase& base, const RoundLines& round,
                                     const Driven& driven) {
  std::map<std::tuple<std::string, double, double>, Candidate> out;
  double all = 0.0;
  const double wheels = round.moment ? round.moment->wheel.spread : 0.0;
  const ShakeBook book(base);
  std::vector<double> usual(book.lines.size(), 0.0);  // complaints of each line
  for (std::size_t c = 0; c < base.causes.size(); ++c)
    for (const ShakeBook::Part& part : book.mixes[book.mix_of[c]])
      usual[part.line] += base.causes[c].usual * part.share;
  std::vector<CauseLine> lines;
  for (std::size_t l = 0; l < usual.size(); ++l) add_lines(book.lines[l], usual[l], round, lines);
  for (const CauseLine& line : lines) {
    if (!line.hz || line.hz->mean <= 0.0) continue;
    const bool engine = is_engines(line.source);
    Candidate made{line.source, line.order};
    made.domain = engine && driven.engine_hz > 0.0 ? Domain::engine : Domain::road;
    if (per_unit(made.domain, driven) <= 0.0) continue;
    made.at = line.hz->mean / per_unit(made.domain, driven);
    const double spread = line.hz->sd / line.hz->mean;
    made.shared = made.domain == Domain::road && (!engine || round.moment->engine_by_road);
    made.own = made.shared ? std::sqrt(std::max(0.0, spread * spread - wheels * wheels)) : spread;
    made.own = std::hypot(made.own, made.domain == Domain::engine ? kEngineSpread : kOwnSpread);
    made.usual = line.usual;
    Candidate& kept = out.try_emplace({line.source, line.order, made.at}, made).first->second;
    const bool by_gear = engine && made.domain == Domain::road && driven.range > kHeld;
    kept.prior += line.share * (by_gear ? kOneGear : 1.0);
    all += line.share;
  }
  std::vector<Candidate> list;
  for (auto& [key, candidate] : out) {
    candidate.prior *= (1.0 - kSomethingElse) / all;
    list.push_back(std::move(candidate));
  }
  return list;
}

// One vibration: the lines that are it, by domain.
struct Seen {
  std::array<const FoundLine*, kDomains> in{};
  const FoundLine* best = nullptr;

  const FoundLine* line(Domain domain) const { return in[static_cast<std::size_t>(domain)]; }
};

double hz_of(const FoundLine& line, const Driven& driven) {
  return line.at * per_unit(line.domain, driven);
}

double resolution_hz(const Analysis& analysis, Domain domain, const Driven& driven) {
  for (const Spectrum& spectrum : analysis.spectra)
    if (spectrum.domain == domain) return spectrum.bandwidth * per_unit(domain, driven);
  return 0.0;
}

// Whether `other` is what `best` looks like in its own domain.
bool same_vibration(const FoundLine& best, const FoundLine& other, const Analysis& analysis,
                    const Driven& driven) {
  if (best.domain == other.domain) return false;
  const double width =
      resolution_hz(analysis, best.domain, driven) + resolution_hz(analysis, other.domain, driven);
  const double one = hz_of(best, driven), two = hz_of(other, driven);
  // Against time a line that follows the road is smeared over all that was driven, and the other
  // way round.
  const bool smears = best.domain == Domain::time || other.domain == Domain::time;
  double low = one, high = one;
  if (smears && driven.speed > 0.0) {
    low *= analysis.lowest_speed / driven.speed;
    high *= analysis.highest_speed / driven.speed;
  }
  return two >= low - width && two <= high + width;
}

std::vector<Seen> vibrations_of(const Analysis& analysis, const Driven& driven) {
  std::vector<const FoundLine*> left;
  for (const FoundLine& line : analysis.lines) left.push_back(&line);
  const auto rank = [](const FoundLine* line) {
    return std::tuple(-std::llround(1e6 * line->over_floor_db), line->domain, line->at);
  };
  std::sort(left.begin(), left.end(),
            [&](const FoundLine* a, const FoundLine* b) { return rank(a) < rank(b); });
  std::vector<Seen> out;
  while (!left.empty()) {
    Seen seen;
    seen.best = left.front();
    seen.in[static_cast<std::size_t>(seen.best->domain)] = seen.best;
    std::vector<const FoundLine*> others;
    for (std::size_t i = 1; i < left.size(); ++i) {
      const bool same = same_vibration(*seen.best, *left[i], analysis, driven);
      const FoundLine*& place = seen.in[static_cast<std::size_t>(left[i]->domain)];
      if (same && !place) place = left[i];
      if (!same) others.push_back(left[i]);
    }
    out.push_back(seen);
    left = std::move(others);
  }
  return out;
}

// How much less it stands out in this domain, as a factor on what hangs on it.
double domain_factor(const Seen& seen, Domain domain) {
  const FoundLine* line = seen.line(domain);
  const double less = seen.best->over_floor_db - (line ? line->over_floor_db : 0.0);
  return std::pow(10.0, -std::clamp(less - kAlikeDb, 0.0, kMostDb) / 5.0);
}

// Where it lies in a domain, with the standard deviation of its logarithm.
Rate lies_at(const Seen& seen, Domain domain, const Analysis& analysis, const Driven& driven) {
  if (const FoundLine* line = seen.line(domain)) return {line->at, line->sd / line->at};
  const double hz = hz_of(*seen.best, driven);
  const double width = resolution_hz(analysis, seen.best->domain, driven) / hz;
  return {hz / per_unit(domain, driven), std::hypot(driven.range, width) / std::sqrt(12.0)};
}

// Densities of every meaning of every vibration for one error of the wheels; the last is that of
// anything else.
class Meanings {
 public:
  Meanings(const std::vector<Seen>& seen, const std::vector<Candidate>& candidates,
           const Analysis& analysis, const Driven& driven)
      : seen_(seen), candidates_(candidates) {
    for (const Seen& one : seen) {
      std::array<Rate, kDomains> at{};
      for (std::size_t d = 0; d < kDomains; ++d)
        if (per_unit(static_cast<Domain>(d), driven) > 0.0)
          at[d] = lies_at(one, static_cast<Domain>(d), analysis, driven);
      at_.push_back(at);
    }
  }

  std::vector<double> of(std::size_t vibration, double shift) const {
    std::vector<double> out;
    for (const Candidate& candidate : candidates_) {
      const Rate& at = at_[vibration][static_cast<std::size_t>(candidate.domain)];
      const double off = std::log(at.value / candidate.at) - (candidate.shared ? shift : 0.0);
      out.push_back(candidate.prior * domain_factor(seen_[vibration], candidate.domain) *
                    normal_density(off, 0.0, std::hypot(candidate.own, at.spread)));
    }
    out.push_back(kSomethingElse / std::log(kHighestHz / kLowestHz));
    return out;
  }

 private:
  const std::vector<Seen>& seen_;
  const std::vector<Candidate>& candidates_;
  std::vector<std::array<Rate, kDomains>> at_;
};

double sum(const std::vector<double>& of) {
  double out = 0.0;
  for (const double value : of) out += value;
  return out;
}

struct Explained {
  std::vector<std::vector<double>> by_vibration;  // probabilities, of candidates and anything else
  double shift = 0.0, shift_sd = 0.0;             // of ln(turns per metre)
};

Explained explain(const Meanings& meanings, std::size_t vibrations, std::size_t candidates,
                  double spread) {
  const int shifts = spread > 0.0 ? kShifts : 1;
  std::vector<double> weights;
  std::vector<std::vector<std::vector<double>>> parts;  // by shift and vibration
  for (int i = 0; i < shifts; ++i) {
    const double z = shifts == 1 ? 0.0 : kShiftsReach * (2.0 * i / (shifts - 1) - 1.0);
    double log_weight = -0.5 * z * z;
    parts.emplace_back();
    for (std::size_t v = 0; v < vibrations; ++v) {
      parts.back().push_back(meanings.of(v, z * spread));
      log_weight += std::log(sum(parts.back().back()));
    }
    weights.push_back(log_weight);
  }
  const double most = *std::max_element(weights.begin(), weights.end());
  for (double& weight : weights) weight = std::exp(weight - most);
  const double all = sum(weights);
  Explained out;
  out.by_vibration.assign(vibrations, std::vector<double>(candidates + 1, 0.0));
  double square = 0.0;
  for (int i = 0; i < shifts; ++i) {
    const double weight = weights[static_cast<std::size_t>(i)] / all;
    const double shift = shifts == 1 ? 0.0 : spread * kShiftsReach * (2.0 * i / (shifts - 1) - 1.0);
    out.shift += weight * shift;
    square += weight * shift * shift;
    for (std::size_t v = 0; v < vibrations; ++v) {
      const std::vector<double>& part = parts[static_cast<std::size_t>(i)][v];
      const double total = sum(part);
      for (std::size_t c = 0; c <= candidates; ++c)
        out.by_vibration[v][c] += weight * part[c] / total;
    }
  }
  out.shift_sd = std::sqrt(std::max(0.0, square - out.shift * out.shift));
  return out;
}

std::vector<RecordedMeaning> meanings_of(const std::vector<Candidate>& candidates,
                                         const std::vector<double>& probabilities) {
  std::vector<RecordedMeaning> out;
  for (std::size_t c = 0; c < candidates.size(); ++c) {
    const Candidate& of = candidates[c];
    const auto same = std::find_if(out.begin(), out.end(), [&](const RecordedMeaning& one) {
      return one.source == of.source && one.order == of.order;
    });
    if (same == out.end())
      out.push_back({of.source, of.order, probabilities[c], of.usual});
    else
      same->probability += probabilities[c];
  }
  std::erase_if(out, [](const RecordedMeaning& one) { return one.probability < kWorthTelling; });
  const auto rank = [](const RecordedMeaning& of) {
    return std::tuple(-std::llround(1e9 * of.probability), of.source, of.order);
  };
  std::sort(out.begin(), out.end(),
            [&](const RecordedMeaning& a, const RecordedMeaning& b) { return rank(a) < rank(b); });
  return out;
}

double over_axes(const std::array<double, kAxes>& amplitude, double hz, bool weighted) {
  double squares = 0.0;
  for (std::size_t axis = 0; axis < kAxes; ++axis) {
    const double gain =
        weighted ? weighting_gain(axis == 2 ? Weighting::wk : Weighting::wd, hz) : 1.0;
    squares += gain * gain * amplitude[axis] * amplitude[axis];
  }
  return std::sqrt(squares);
}

// Where it is strongest.
void place(RecordedVibration& of, const Analysis& analysis, const Driven& driven) {
  of.speed = driven.speed;
  of.hz = hz_of(of.line, driven);
  std::array<double, kAxes> amplitude = of.line.amplitude;
  for (const Track& track : analysis.tracks)
    if (track.domain == of.line.domain && track.at == of.line.at) of.track = &track;
  if (of.track && !of.track->points.empty()) {
    const TrackPoint* most = &of.track->points.front();
    for (const TrackPoint& point : of.track->points)
      if (over_axes(point.amplitude, point.hz, false) > over_axes(most->amplitude, most->hz, false))
        most = &point;
    of.speed = most->speed;
    of.hz = most->hz;
    amplitude = most->amplitude;
  }
  of.hz_sd = of.line.sd / of.line.at * of.hz;
  of.amplitude = over_axes(amplitude, of.hz, false);
  of.felt = over_axes(amplitude, of.hz, true);
}

}  // namespace

std::string RecordedMeaning::about() const {
  return spaced(source) + " order " + show_number(order);
}

bool RecordedVibration::ambiguous() const {
  return meanings.size() > 1 && meanings[1].probability >= kMayBeIt;
}

Motion recorded_motion(const Analysis& analysis, SpeedSource by) {
  Motion out;
  if (analysis.metres > 0.0) out.speed = analysis.metres / analysis.seconds;
  if (analysis.engine_turns > 0.0) out.engine_hz = analysis.engine_turns / analysis.seconds;
  out.by = by;
  out.speed_reading_sd = out.engine_reading_sd = 0.0;  // kOwnSpread, kEngineSpread
  return out;
}

RecordedLines recorded_lines(const RuleBase& base, const VehicleFacts& vehicle,
                             const UsualTurns& usual, const Analysis& analysis, SpeedSource by) {
  const Motion motion = recorded_motion(analysis, by);
  Driven driven{motion.speed.value_or(0.0), motion.engine_hz.value_or(0.0)};
  if (driven.speed > 0.0)
    driven.range = (analysis.highest_speed - analysis.lowest_speed) / driven.speed;
  const RoundLines round = lines_at(vehicle, motion, usual);
  const std::vector<Candidate> candidates = candidates_of(base, round, driven);
  const std::vector<Seen> seen = vibrations_of(analysis, driven);
  const double spread = round.moment ? round.moment->wheel.spread : 0.0;
  const Explained explained =
      explain(Meanings(seen, candidates, analysis, driven), seen.size(), candidates.size(), spread);
  RecordedLines out;
  for (std::size_t v = 0; v < seen.size(); ++v) {
    RecordedVibration vibration;
    vibration.line = *seen[v].best;
    for (const FoundLine* line : seen[v].in)
      if (line && line != seen[v].best) vibration.also.push_back(*line);
    place(vibration, analysis, driven);
    vibration.meanings = meanings_of(candidates, explained.by_vibration[v]);
    vibration.unexplained = explained.by_vibration[v].back();
    out.vibrations.push_back(std::move(vibration));
  }
  const auto rank = [](const RecordedVibration& of) {
    return std::tuple(-std::llround(1e9 * of.felt), of.line.domain, of.line.at);
  };
  std::sort(
      out.vibrations.begin(), out.vibrations.end(),
      [&](const RecordedVibration& a, const RecordedVibration& b) { return rank(a) < rank(b); });
  if (vehicle.front_tire && by == SpeedSource::gps && spread > 0.0 &&
      explained.shift_sd < kSharper * spread) {
    const double rolled = rolling_circumference(*vehicle.front_tire, vehicle.front_state).mean;
    const double driven_on = rolled * std::exp(-explained.shift);
    out.circumference = Estimate{driven_on, driven_on * explained.shift_sd};
  }
  return out;
}

}  // namespace perrev
