#include "engine/recording/line_finder.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <tuple>

#include "engine/normal.h"

namespace perrev {
namespace {

constexpr int kRounds = 5;              // of making room for what was found
constexpr std::size_t kMostLines = 24;  // of one domain
constexpr double kSpreadMargin = 4.0;   // over what a window spreads
// Over the noise in one bandwidth; less is not told however sure, as no floor is known that well
// between the resonances of a car.
constexpr double kLeastOver = 1.4;
// Scatter of `at`: variance over the Cramer-Rao bound (0.1 of a step squared for one look at a tone
// as strong as the noise), and what is left of strong tones, in steps squared; both measured over
// 100 tones each of 6 and 20 dB (tests/engine/recording/analysis_test.cpp).
constexpr double kOfBound = 2.0, kPlaced = 6e-5;
constexpr double kLobe = 2.0;  // lines to each side that hold the power of a tone

struct Candidate {
  std::size_t domain = 0, line = 0, series = 0;
  double at = 0.0, over = 0.0, score = 0.0;
  bool echo = false;  // a stronger one of another domain is here all along
};

// Height of the main lobe of Hann's window in power, `x` lines from its top.
double lobe(double x) {
  if (std::abs(x) < 1e-9) return 1.0;
  if (std::abs(std::abs(x) - 1.0) < 1e-9) return 0.25;
  const double angle = std::numbers::pi * x;
  const double height = std::sin(angle) / (angle * (1.0 - x * x));
  return height * height;
}

// How much further from the middle line a parabola sees the top of Hann's main lobe than it is.
double parabola_error(double x) {
  const double left = std::log(lobe(1.0 + x)), middle = std::log(lobe(x)),
               right = std::log(lobe(1.0 - x));
  return 0.5 * (right - left) / (2.0 * middle - left - right) - x;
}

// Where the top is, in lines from `k`, by a parabola through logarithms.
double top_of(const std::vector<double>& values, std::size_t k) {
  if (k == 0 || k + 1 >= values.size()) return 0.0;
  if (!(values[k - 1] > 0.0 && values[k] > 0.0 && values[k + 1] > 0.0)) return 0.0;
  const double left = std::log(values[k - 1]), middle = std::log(values[k]),
               right = std::log(values[k + 1]);
  const double bend = 2.0 * middle - left - right;
  if (!(bend > 0.0)) return 0.0;
  const double top = std::clamp(0.5 * (right - left) / bend, -0.5, 0.5);
  return std::clamp(top - parabola_error(top), -0.5, 0.5);
}

bool highest_near(const std::vector<double>& values, std::size_t k) {
  const std::size_t end = std::min(values.size(), k + 3);
  for (std::size_t i = k - std::min<std::size_t>(k, 2); i < end; ++i)
    if (values[i] > values[k] || (values[i] == values[k] && i < k)) return false;
  return true;
}

// The series in which line `k` stands out most; kSeries where it does not in any.
std::size_t best_series(const Evidence& evidence, std::size_t k) {
  std::size_t best = kSeries;
  double score = -1e9;
  for (std::size_t s = kSeries; s-- > 0;) {  // all together where it is as good
    const Evidence::Series& series = evidence.series[s];
    if (series.score.empty() || series.whole[k] < 1.0 + kLeastOver) continue;
    if (!(series.score[k] > score)) continue;
    score = series.score[k];
    best = s;
  }
  return best;
}

// Where the top near line `k` is, in lines: by what was recorded, as the slope of the noise moves
// that of the ratio. Of all axes, that which shows most.
double top_near(const Evidence& evidence, std::size_t series, std::size_t k) {
  std::size_t axis = series;
  if (series == kAllAxes)
    for (std::size_t a = axis = 0; a < kAxes; ++a) {
      const std::vector<double>& whole = evidence.series[a].whole;
      const std::vector<double>& best = evidence.series[axis].whole;
      if (!whole.empty() && (best.empty() || whole[k] > best[k])) axis = a;
    }
  std::vector<double> near;
  for (std::size_t i = k - 2; i <= k + 2; ++i)
    near.push_back(evidence.series[axis].whole[i] * evidence.floor[axis][i]);
  const auto highest =
      static_cast<std::size_t>(std::max_element(near.begin() + 1, near.end() - 1) - near.begin());
  return static_cast<double>(k - 2 + highest) + top_of(near, highest);
}

class Search {
 public:
  Search(const std::vector<SearchedDomain>& domains, double false_alarm)
      : domains_(domains), false_alarm_(false_alarm) {}

  std::vector<FoundLine> lines() {
    std::vector<Candidate> found;
    for (int round = 0; round < kRounds; ++round) {
      look(known_of(found));
      const std::vector<Candidate> next = strongest_of(candidates());
      const bool same = same_as(found, next);
      found = next;
      if (same) break;
    }
    std::vector<FoundLine> out;
    for (const Candidate& candidate : found) out.push_back(line_of(candidate));
    std::sort(out.begin(), out.end(), [](const FoundLine& a, const FoundLine& b) {
      return std::tuple(a.domain, -a.over_floor_db, a.at) <
             std::tuple(b.domain, -b.over_floor_db, b.at);
    });
    return out;
  }

 private:
  std::vector<KnownLine> known_of(const std::vector<Candidate>& found) const {
    std::vector<KnownLine> known;
    for (const Candidate& candidate : found)
      known.push_back({domains_[candidate.domain].terms.domain, candidate.at, candidate.echo});
    return known;
  }

  static bool same_as(const std::vector<Candidate>& a, const std::vector<Candidate>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](const Candidate& one, const Candidate& other) {
                        return one.domain == other.domain && one.line == other.line;
                      });
  }

  void look(const std::vector<KnownLine>& known) {
    evidence_.clear();
    judged_ = 0.0;
    for (const SearchedDomain& domain : domains_) {
      evidence_.push_back(evidence_of(domain.terms, *domain.store, known));
      judged_ += evidence_.back().judged;
    }
  }

  // Where nothing can be judged nothing stands out.
  double by_chance(double score) const {
    return judged_ > 0.0 ? std::min(1.0, judged_ * normal_below(-score)) : 1.0;
  }

  std::vector<Candidate> candidates() const {
    std::vector<Candidate> out;
    for (std::size_t d = 0; d < domains_.size(); ++d) {
      const Evidence& evidence = evidence_[d];
      std::size_t lines = 0;
      for (const Evidence::Series& series : evidence.series)
        lines = std::max(lines, series.score.size());
      for (std::size_t k = 2; k + 2 < lines; ++k) {
        const std::size_t s = best_series(evidence, k);
        if (s == kSeries) continue;
        const Evidence::Series& series = evidence.series[s];
        if (by_chance(series.score[k]) > false_alarm_) continue;
        if (!highest_near(series.whole, k)) continue;
        const double at = top_near(evidence, s, k) * domains_[d].terms.step;
        const auto top = static_cast<std::size_t>(std::lround(at / domains_[d].terms.step));
        out.push_back(
            {d, top, s, at, std::max(kLeastOver, series.whole[top] - 1.0), series.score[k]});
      }
    }
    std::sort(out.begin(), out.end(), [](const Candidate& a, const Candidate& b) {
      return std::tuple(-a.over, a.domain, a.line) < std::tuple(-b.over, b.domain, b.line);
    });
    return out;
  }

  std::vector<Candidate> strongest_of(const std::vector<Candidate>& all) const {
    std::vector<Candidate> out;
    std::vector<std::size_t> count(domains_.size(), 0);
    for (Candidate candidate : all) {
      bool explained = count[candidate.domain] >= kMostLines;
      for (const Candidate& stronger : out) {
        if (stronger.domain == candidate.domain)
          explained = explained || spreads_to(stronger, candidate);
        else if (passes(stronger, candidate))
          (stays_in(stronger, candidate.domain) ? candidate.echo : explained) = true;
      }
      if (explained) continue;
      ++count[candidate.domain];
      out.push_back(candidate);
    }
    return out;
  }

  bool spreads_to(const Candidate& stronger, const Candidate& weaker) const {
    const double apart = std::abs(stronger.at - weaker.at) / domains_[weaker.domain].terms.step;
    if (apart <= static_cast<double>(kSpread)) return true;
    const double side = 1.0 / (std::numbers::pi * apart * (apart * apart - 1.0));
    return weaker.over < kSpreadMargin * stronger.over * side * side;
  }

  Span path(const Candidate& of, std::size_t domain) const {
    return path_of({domains_[of.domain].terms.domain, of.at}, domains_[domain].store->segments());
  }

  bool stays_in(const Candidate& line, std::size_t domain) const {
    return stays(path(line, domain), domains_[domain].terms.step);
  }

  bool passes(const Candidate& stronger, const Candidate& weaker) const {
    const Span passed = path(stronger, weaker.domain);
    const double reach = static_cast<double>(kSpread) * domains_[weaker.domain].terms.step;
    return weaker.at >= passed.low - reach && weaker.at <= passed.high + reach;
  }

  FoundLine line_of(const Candidate& candidate) const {
    const SearchedDomain& domain = domains_[candidate.domain];
    const Evidence& evidence = evidence_[candidate.domain];
    const double step = domain.terms.step;
    FoundLine line;
    line.domain = domain.terms.domain;
    line.at = candidate.at;
    line.series = candidate.series;
    const double off = candidate.at / step - static_cast<double>(candidate.line);
    const double over = candidate.over / lobe(off);
    line.over_floor_db = 10.0 * std::log10(over);
    line.by_chance = by_chance(candidate.score);
    const double looks = std::max(1.0, 0.5 * domain.spectrum.averages);
    line.sd = step * std::sqrt(kOfBound * 0.1 * (1.0 + 1.0 / over) / (over * looks) + kPlaced);
    for (std::size_t axis = 0; axis < kAxes; ++axis)
      line.amplitude[axis] = amplitude_of(domain.spectrum.density[axis], evidence.floor[axis],
                                          candidate.at / step, step);
    return line;
  }

  static double amplitude_of(const std::vector<double>& density, const std::vector<double>& floor,
                             double at, double step) {
    double power = 0.0;
    for (double k = std::ceil(at - kLobe); k <= std::floor(at + kLobe); k += 1.0) {
      const auto i = static_cast<std::size_t>(k);
      if (k >= 0.0 && i < floor.size()) power += (density[i] - floor[i]) * step;
    }
    return std::sqrt(2.0 * std::max(0.0, power));
  }

  const std::vector<SearchedDomain>& domains_;
  double false_alarm_;
  std::vector<Evidence> evidence_;
  double judged_ = 0.0;
};

}  // namespace

std::vector<FoundLine> find_lines(const std::vector<SearchedDomain>& domains, double false_alarm) {
  return Search(domains, false_alarm).lines();
}

}  // namespace perrev
