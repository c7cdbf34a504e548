#include "engine/shopmath/amplitude_runs.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "engine/shopmath/least_squares.h"

namespace perrev {

namespace {

// Squares are linear in (gain^2 |w|^2, gain^2 w, gain^2), w what is there: of four unknowns one
// hangs on the others.
constexpr int kUnknown = 4;
// Singular values below this share of the largest say nothing.
constexpr double kSaysNothing = 1e-6;
constexpr double kLeastChange = 0.05;  // of the mean amplitude, where scatter is not known

struct State {
  double x = 0.0, y = 0.0, gain = 0.0;  // what is there, in units of the largest trial weight
  double amplitude(Vector weight) const { return gain * std::abs(Vector(x, y) + weight); }
};

struct Scaled {
  std::vector<AmplitudeRun> runs;
  double unit = 0.0;  // kg m
};

std::optional<Problem> amplitudes_problem(const std::vector<AmplitudeRun>& runs,
                                          const std::optional<double>& sd) {
  double lowest = 0.0, highest = 0.0, sum = 0.0, heaviest = 0.0;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    if (!(runs[i].amplitude >= 0.0))
      return problem("an amplitude is negative", "amplitudes of zero or more");
    lowest = i == 0 ? runs[i].amplitude : std::min(lowest, runs[i].amplitude);
    highest = std::max(highest, runs[i].amplitude);
    sum += runs[i].amplitude;
    heaviest = std::max(heaviest, std::abs(runs[i].weight));
  }
  if (runs.size() < 3)
    return problem("two runs do not tell the place",
                   "a run without weight and the trial weight at three places");
  if (!(heaviest > 0.0))
    return problem("no run has a trial weight", "a trial weight and its place");
  const double told = sd ? 3.0 * *sd : kLeastChange * sum / static_cast<double>(runs.size());
  if (!(highest - lowest > told))
    return problem("the trial weight changed nothing", "a heavier trial weight");
  return std::nullopt;
}

// Unknowns of the squares to where the search starts.
std::optional<State> state_of(const Eigen::Vector4d& of) {
  if (!(of(3) > 0.0)) return std::nullopt;
  return State{of(1) / of(3), of(2) / of(3), std::sqrt(of(3))};
}

// Of a t^2 + b t + c; where scatter leaves none, where it comes nearest to zero.
std::vector<double> roots_of(double a, double b, double c) {
  if (std::abs(a) < 1e-12) return b == 0.0 ? std::vector<double>{} : std::vector<double>{-c / b};
  const double root = std::sqrt(std::max(0.0, b * b - 4.0 * a * c));
  return {(-b + root) / (2.0 * a), (-b - root) / (2.0 * a)};
}

// One start where the squares settle all; two where they leave a line and the tie between the
// unknowns, (gain |w|)^2 gain^2 = |gain^2 w|^2, cuts it.
std::vector<State> starts(const std::vector<AmplitudeRun>& runs) {
  const auto n = static_cast<Eigen::Index>(runs.size());
  Eigen::MatrixXd rows(n, kUnknown);
  Eigen::VectorXd squares(n);
  double highest = 0.0;
  for (const AmplitudeRun& run : runs) highest = std::max(highest, run.amplitude);
  for (Eigen::Index i = 0; i < n; ++i) {
    const AmplitudeRun& run = runs[static_cast<std::size_t>(i)];
    const double weigh = 1.0 / std::max(run.amplitude, 0.05 * highest);
    const Vector at = run.weight;
    rows.row(i) << weigh, 2.0 * weigh * at.real(), 2.0 * weigh * at.imag(), weigh * std::norm(at);
    squares(i) = weigh * run.amplitude * run.amplitude;
  }
  Eigen::JacobiSVD<Eigen::MatrixXd> svd(rows, Eigen::ComputeThinU | Eigen::ComputeFullV);
  svd.setThreshold(kSaysNothing);
  std::vector<State> out;
  if (svd.rank() < 3) return out;
  const Eigen::Vector4d base = svd.solve(squares);
  if (svd.rank() == kUnknown) {
    if (const auto found = state_of(base)) out.push_back(*found);
    return out;
  }
  const Eigen::Vector4d line = svd.matrixV().col(3);
  const double a = line(0) * line(3) - line(1) * line(1) - line(2) * line(2);
  const double b =
      base(0) * line(3) + base(3) * line(0) - 2.0 * base(1) * line(1) - 2.0 * base(2) * line(2);
  const double c = base(0) * base(3) - base(1) * base(1) - base(2) * base(2);
  for (const double along : roots_of(a, b, c))
    if (const auto found = state_of(base + along * line)) out.push_back(*found);
  return out;
}

// Slopes of each amplitude to x, y, gain; rows for least_squares.
std::vector<std::vector<double>> slopes_at(const State& at, const std::vector<AmplitudeRun>& runs) {
  std::vector<std::vector<double>> rows;
  for (const AmplitudeRun& run : runs) {
    const Vector whole = Vector(at.x, at.y) + run.weight;
    const double size = std::max(std::abs(whole), 1e-9);
    rows.push_back({at.gain * whole.real() / size, at.gain * whole.imag() / size, size});
  }
  return rows;
}

double misfit_of(const State& at, const std::vector<AmplitudeRun>& runs) {
  double out = 0.0;
  for (const AmplitudeRun& run : runs) out += std::pow(run.amplitude - at.amplitude(run.weight), 2);
  return out;
}

// Gauss and Newton's steps, halved where they overshoot.
struct Settled {
  State at;
  LinearFit fit;
};
std::optional<Settled> settle(State at, const std::vector<AmplitudeRun>& runs) {
  for (int round = 0; round < 60; ++round) {
    std::vector<double> left;
    for (const AmplitudeRun& run : runs) left.push_back(run.amplitude - at.amplitude(run.weight));
    auto fit = least_squares(slopes_at(at, runs), left);
    if (!fit.ok()) return std::nullopt;
    const std::vector<double>& step = fit->values;
    const double before = misfit_of(at, runs);
    double share = 1.0;
    State next;
    for (int half = 0; half < 30; ++half, share *= 0.5) {
      next = {at.x + share * step[0], at.y + share * step[1], at.gain + share * step[2]};
      if (next.gain > 0.0 && misfit_of(next, runs) <= before) break;
    }
    const double moved = std::hypot(next.x - at.x, next.y - at.y);
    if (next.gain > 0.0 && misfit_of(next, runs) <= before) at = next;
    if (moved < 1e-12 || round == 59) return Settled{at, *fit};
  }
  return std::nullopt;
}

AmplitudeAnswer answer_of(const Settled& of, const Scaled& scaled,
                          const std::optional<Scatter>& scatter) {
  AmplitudeAnswer out;
  VectorEstimate there = of.fit.vector(0, 1, scatter.value_or(Scatter{}));
  there.value = {of.at.x, of.at.y};
  out.weight = times(there, -scaled.unit);
  out.gain = of.at.gain / scaled.unit;
  out.misfit = std::sqrt(misfit_of(of.at, scaled.runs) / static_cast<double>(scaled.runs.size()));
  return out;
}

// Of two answers that are the same, one.
bool same(const Settled& one, const Settled& other) {
  return std::hypot(one.at.x - other.at.x, one.at.y - other.at.y) <
         1e-6 * (1.0 + std::hypot(one.at.x, one.at.y));
}

Scaled scaled_of(const std::vector<AmplitudeRun>& runs) {
  Scaled out{runs, 0.0};
  for (const AmplitudeRun& run : runs) out.unit = std::max(out.unit, std::abs(run.weight));
  for (AmplitudeRun& run : out.runs) run.weight /= out.unit;
  return out;
}

}  // namespace

Result<AmplitudeCorrection> balance_by_amplitudes(const std::vector<AmplitudeRun>& runs,
                                                  const std::optional<double>& sd) {
  if (const auto wrong = amplitudes_problem(runs, sd)) return *wrong;
  const Scaled scaled = scaled_of(runs);
  std::vector<Settled> settled;
  for (const State& start : starts(scaled.runs))
    if (auto found = settle(start, scaled.runs))
      if (settled.empty() || !same(settled.front(), *found)) settled.push_back(std::move(*found));
  if (settled.empty())
    return problem("no unbalance fits these amplitudes, or the runs say the same again",
                   "a run without weight and the trial weight at three places, at one speed");
  AmplitudeCorrection out;
  const auto scatter = settled.front().fit.scatter(sd);
  out.scatter_known = scatter.has_value();
  std::sort(settled.begin(), settled.end(), [](const Settled& one, const Settled& other) {
    return std::round(1e9 * std::hypot(one.at.x, one.at.y)) <
           std::round(1e9 * std::hypot(other.at.x, other.at.y));
  });
  for (const Settled& one : settled)
    out.answers.push_back(answer_of(one, scaled, one.fit.scatter(sd)));
  return out;
}

double expected_amplitude(const AmplitudeAnswer& answer, Vector weight) {
  return answer.gain * std::abs(weight - answer.weight.value);
}

}  // namespace perrev
