#include "engine/recording/evidence.h"

#include <algorithm>
#include <cmath>

namespace perrev {
namespace {

constexpr double kMost = 8.0;
// Behind a line that is judged: segments, and their part of those of others.
constexpr double kLeastSegments = 6.0, kLeastPart = 0.25;
// The scatter of the surroundings, 2 x 10 lines of exponential noise, adds to that of the line:
// F(2, 40) has 1.117 times the relative variance of an exponential.
constexpr double kOfSurroundings = 1.2;
constexpr double kTail = 0.8;
constexpr double kOverlap = 1.0 + 2.0 / 36.0;  // Hann windows by half
constexpr double kStays = 4.0;                 // steps

std::size_t index(Domain domain) { return static_cast<std::size_t>(domain); }

void leave_out(Usable& usable, double from, double to, double step) {
  const double reach = static_cast<double>(kSpread);
  const double first = std::max(0.0, std::ceil(from / step - reach));
  const double end =
      std::min(static_cast<double>(usable.size()), std::floor(to / step + reach) + 1.0);
  for (double k = first; k < end; k += 1.0) usable[static_cast<std::size_t>(k)] = 0;
}

// What one segment can tell of, at all of its speeds: kJudged between the ends of what is judged,
// kCounted below, where it only tells of the surroundings.
constexpr char kCounted = 1, kJudged = 2;
constexpr double kCountedFrom = 0.5;  // of the lowest that is judged: the body's motion is below
Usable lines_in(const EvidenceTerms& terms, const Segment& segment, std::size_t lines) {
  const Span& seconds = segment.rates[index(Domain::time)];
  Usable usable(lines, 0);
  const double first =
      std::max(terms.lowest_hz * seconds.high / terms.step, terms.lowest / terms.step);
  const double end = std::min(static_cast<double>(lines),
                              std::floor(terms.highest_hz * seconds.low / terms.step) + 1.0);
  for (double k = std::ceil(kCountedFrom * first); k < end; k += 1.0)
    usable[static_cast<std::size_t>(k)] = k < first ? kCounted : kJudged;
  return usable;
}

// Those of `known` that this domain has to make room for.
struct Known {
  std::vector<double> here;
  std::vector<KnownLine> passing;
};

Known sorted_out(const EvidenceTerms& terms, const std::vector<Segment>& segments,
                 const std::vector<KnownLine>& known) {
  Known out;
  for (const KnownLine& line : known) {
    if (line.domain == terms.domain)
      out.here.push_back(line.at);
    else if (!line.echo && !stays(path_of(line, segments), terms.step))
      out.passing.push_back(line);
  }
  return out;
}

double part_of(const std::vector<double>& sorted, double part) {
  return sorted[static_cast<std::size_t>(part * static_cast<double>(sorted.size() - 1))];
}

// Gamma of mean one to normal (E. B. Wilson and M. M. Hilferty, Proc. Nat. Acad. Sci. 17 (1931)
// 684).
double score_of(double ratio, double shape) {
  const double part = 1.0 / (9.0 * shape);
  return (std::cbrt(ratio) - 1.0 + part) / std::sqrt(part);
}

// One axis, all segments.
class AxisSums {
 public:
  AxisSums(const EvidenceTerms& terms, const std::vector<Segment>& segments, const Known& known)
      : terms_(terms), segments_(segments), known_(known) {}

  void add(std::size_t axis, Evidence& evidence, std::vector<double>& weight) const {
    const std::size_t lines = segments_.front().density[axis].size();
    std::vector<double> sum(lines), ratio(lines);
    std::vector<double>& floor = evidence.floor[axis];
    Evidence::Series& series = evidence.series[axis];
    series.steady.assign(lines, 0.0);
    series.whole.assign(lines, 0.0);
    weight.assign(lines, 0.0);
    for (const Segment& segment : segments_) {
      const Usable usable = counted_in(segment, lines);
      for (std::size_t k = 0; k < lines; ++k)
        if (usable[k]) {
          sum[k] += segment.many * static_cast<double>(segment.density[axis][k]);
          weight[k] += segment.many;
        }
    }
    Usable under(lines);
    for (std::size_t k = 0; k < lines; ++k) {
      under[k] = static_cast<char>(weight[k] > 0.0);
      if (under[k]) sum[k] /= weight[k];
    }
    for (const double at : known_.here) leave_out(under, at, at, terms_.step);
    floor = noise_floor(sum, under);
    std::fill(weight.begin(), weight.end(), 0.0);
    for (const Segment& segment : segments_) {
      const Usable usable = counted_in(segment, lines);
      Usable quiet = usable;
      for (const double at : known_.here) leave_out(quiet, at, at, terms_.step);
      for (std::size_t k = 0; k < lines; ++k) {
        if (!(floor[k] > 0.0)) quiet[k] = 0;
        ratio[k] = floor[k] > 0.0 ? static_cast<double>(segment.density[axis][k]) / floor[k] : 0.0;
      }
      const std::vector<double> noise = surroundings(ratio, quiet);
      for (std::size_t k = 0; k < lines; ++k) {
        if (usable[k] != kJudged || !(floor[k] > 0.0) || !(noise[k] > 0.0)) continue;
        const double over = ratio[k] / noise[k];
        series.steady[k] += segment.many * std::min(over, kMost);
        series.whole[k] += segment.many * over;
        weight[k] += segment.many;
      }
    }
    for (std::size_t k = 0; k < lines; ++k) {
      const double part = weight[k] > 0.0 ? 1.0 / weight[k] : 0.0;
      series.steady[k] *= part;
      series.whole[k] *= part;
    }
  }

 private:
  Usable counted_in(const Segment& segment, std::size_t lines) const {
    Usable usable = lines_in(terms_, segment, lines);
    for (const KnownLine& line : known_.passing) {
      const Span& rate = segment.rates[index(line.domain)];
      leave_out(usable, line.at * rate.low, line.at * rate.high, terms_.step);
    }
    return usable;
  }

  const EvidenceTerms& terms_;
  const std::vector<Segment>& segments_;
  const Known& known_;
};

// Scores, by the scatter that averages should leave or by the one there is.
void judge(Evidence& evidence, std::size_t which, const std::vector<double>& weight, double shapes,
           const Usable& quiet) {
  Evidence::Series& series = evidence.series[which];
  const std::size_t lines = series.steady.size();
  const double full = *std::max_element(weight.begin(), weight.end());
  series.score.assign(lines, 0.0);
  std::vector<double> plain;
  for (std::size_t k = 0; k < lines; ++k)
    if (quiet[k] && weight[k] > 0.5 * full) plain.push_back(series.steady[k]);
  if (plain.empty()) return;
  std::sort(plain.begin(), plain.end());
  const double should = shapes * full / (kOverlap * kOfSurroundings);
  // The median of a gamma distribution lies below its mean; two thirds lie within a deviation.
  const double mean = part_of(plain, 0.5) / std::pow(1.0 - 1.0 / (9.0 * should), 3);
  const double scatter = 0.5 * (part_of(plain, 0.8413) - part_of(plain, 0.1587)) / mean;
  const double shape = kTail * std::min(should, scatter > 0.0 ? 1.0 / (scatter * scatter) : should);
  for (std::size_t k = 0; k < lines; ++k) {
    if (weight[k] < std::max(kLeastSegments, kLeastPart * full)) continue;
    series.score[k] = score_of(series.steady[k] / mean, shape * weight[k] / full);
    evidence.judged += 1.0;
  }
}

}  // namespace

Span path_of(const KnownLine& line, const std::vector<Segment>& segments) {
  Span path;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    const Span& rate = segments[i].rates[index(line.domain)];
    path.low = i == 0 ? rate.low : std::min(path.low, rate.low);
    path.high = i == 0 ? rate.high : std::max(path.high, rate.high);
  }
  return {line.at * path.low, line.at * path.high};
}

bool stays(const Span& path, double step) { return path.high - path.low <= kStays * step; }

Evidence evidence_of(const EvidenceTerms& terms, const SegmentStore& store,
                     const std::vector<KnownLine>& known) {
  Evidence evidence;
  const std::vector<Segment>& segments = store.segments();
  if (segments.empty()) return evidence;
  const Known room = sorted_out(terms, segments, known);
  const AxisSums sums(terms, segments, room);
  Evidence::Series& all = evidence.series[kAllAxes];
  std::vector<double> weight;
  Usable quiet;
  double axes = 0.0;
  for (std::size_t axis = 0; axis < kAxes; ++axis) {
    const std::size_t lines = segments.front().density[axis].size();
    if (lines == 0) continue;
    sums.add(axis, evidence, weight);
    quiet.assign(lines, 1);
    for (const double at : room.here) leave_out(quiet, at, at, terms.step);
    judge(evidence, axis, weight, 1.0, quiet);
    all.steady.resize(lines);
    all.whole.resize(lines);
    for (std::size_t k = 0; k < lines; ++k) {
      all.steady[k] += evidence.series[axis].steady[k];
      all.whole[k] += evidence.series[axis].whole[k];
    }
    axes += 1.0;
  }
  if (axes < 2.0) {
    all = {};
    return evidence;
  }
  for (double& value : all.steady) value /= axes;
  for (double& value : all.whole) value /= axes;
  judge(evidence, kAllAxes, weight, axes, quiet);
  return evidence;
}

}  // namespace perrev
