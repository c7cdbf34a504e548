#include "engine/shopmath/influence.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/least_squares.h"

namespace perrev {

namespace {

using Matrix = Eigen::MatrixXcd;
using Column = Eigen::VectorXcd;

constexpr double kWeakChange = 0.3, kWeakTurn = 30.0 * kDegree;
// Largest over smallest singular value, planes brought to one size.
constexpr double kAlike = 20.0, kSame = 1e6;

std::optional<Problem> runs_problem(const std::vector<PhaseRun>& runs) {
  if (runs.empty() || runs.front().weights.empty() || runs.front().readings.empty())
    return problem("there are no runs with weights and readings",
                   "a run without weights, and one with a trial weight for each plane");
  const PhaseRun& first = runs.front();
  for (const PhaseRun& run : runs)
    if (run.weights.size() != first.weights.size() || run.readings.size() != first.readings.size())
      return problem("runs differ in their planes or readings",
                     "each run with the same planes, pickups and speeds");
  if (first.readings.size() < first.weights.size())
    return problem("there are fewer readings in a run than planes",
                   "a pickup or a speed more, or one plane less");
  return std::nullopt;
}

// Of one pickup at one speed: its two rows for each run.
Result<LinearFit> reading_fit(const std::vector<PhaseRun>& runs, std::size_t reading) {
  std::vector<std::vector<double>> rows;
  std::vector<double> readings;
  for (const PhaseRun& run : runs) {
    std::vector<double> x{1.0, 0.0}, y{0.0, 1.0};
    for (const Vector& weight : run.weights) {
      x.insert(x.end(), {weight.real(), -weight.imag()});
      y.insert(y.end(), {weight.imag(), weight.real()});
    }
    rows.push_back(x);
    rows.push_back(y);
    readings.push_back(run.readings[reading].real());
    readings.push_back(run.readings[reading].imag());
  }
  auto fit = least_squares(rows, readings);
  if (!fit.ok())
    return problem("the runs do not tell the planes apart",
                   "a run without weights and, for each plane, one with a trial weight there");
  return fit;
}

struct Fits {
  std::vector<LinearFit> of;  // each reading
  Matrix influence;
  Column before;
  std::optional<Scatter> scatter;
};

Result<Fits> fits_of(const std::vector<PhaseRun>& runs, const std::optional<double>& sd) {
  const auto readings = static_cast<Eigen::Index>(runs.front().readings.size());
  const auto planes = static_cast<Eigen::Index>(runs.front().weights.size());
  Fits out{{}, Matrix(readings, planes), Column(readings), std::nullopt};
  double squares = 0.0, freedom = 0.0;
  for (Eigen::Index k = 0; k < readings; ++k) {
    auto fit = reading_fit(runs, static_cast<std::size_t>(k));
    if (!fit.ok()) return fit.error();
    const std::vector<double>& v = fit->values;
    out.before(k) = {v[0], v[1]};
    for (Eigen::Index p = 0; p < planes; ++p) {
      const auto at = static_cast<std::size_t>(2 + 2 * p);
      out.influence(k, p) = {v[at], v[at + 1]};
    }
    squares += fit->rms * fit->rms * fit->freedom;
    freedom += fit->freedom;
    out.of.push_back(*fit);
  }
  if (sd)
    out.scatter = Scatter{*sd, std::nullopt};
  else if (freedom > 0.0)
    out.scatter = Scatter{std::sqrt(squares / freedom), freedom};
  return out;
}

// Readings a trial weight of usual size changes by.
Column changes(const std::vector<PhaseRun>& runs, const Fits& fits, Eigen::Index plane) {
  double largest = 0.0;
  for (const PhaseRun& run : runs)
    largest = std::max(largest, std::abs(run.weights[static_cast<std::size_t>(plane)]));
  return fits.influence.col(plane) * largest;
}

bool nothing_changed(const Column& change, const Fits& fits) {
  const double most = change.cwiseAbs().maxCoeff();
  if (fits.scatter) return most <= 2.0 * fits.scatter->sd;
  return most <= 0.02 * fits.before.cwiseAbs().maxCoeff();
}

bool weak(const Column& change, const Column& before) {
  for (Eigen::Index k = 0; k < change.size(); ++k) {
    const double was = std::abs(before(k)), is = std::abs(before(k) + change(k));
    const double turned = std::abs(std::arg((before(k) + change(k)) * std::conj(before(k))));
    if (std::abs(is - was) >= kWeakChange * was || turned >= kWeakTurn) return false;
  }
  return true;
}

// How the weights move when reading k's start and influences do: real slopes to its values.
Eigen::MatrixXd slopes(const Fits& fits, const Matrix& inverse, const Column& weights,
                       const Column& left, Eigen::Index k) {
  const Eigen::Index planes = weights.size();
  Eigen::MatrixXd out(2 * planes, 2 + 2 * planes);
  for (Eigen::Index value = 0; value < 2 + 2 * planes; ++value) {
    const Vector unit = value % 2 == 0 ? Vector(1.0, 0.0) : Vector(0.0, 1.0);
    // d weights = -(A* A)^-1 (A* (d before + d A weights) + d A* left)
    Column moved = fits.influence.row(k).adjoint() * unit;
    if (value >= 2) {
      const Eigen::Index plane = (value - 2) / 2;
      moved *= weights(plane);
      moved(plane) += std::conj(unit) * left(k);
    }
    moved = -inverse * moved;
    for (Eigen::Index p = 0; p < planes; ++p) {
      out(2 * p, value) = moved(p).real();
      out(2 * p + 1, value) = moved(p).imag();
    }
  }
  return out;
}

Eigen::MatrixXd covariance_of(const Fits& fits, const Matrix& inverse, const Column& weights,
                              const Column& left) {
  Eigen::MatrixXd out = Eigen::MatrixXd::Zero(2 * weights.size(), 2 * weights.size());
  for (Eigen::Index k = 0; k < left.size(); ++k) {
    const auto& of = fits.of[static_cast<std::size_t>(k)].covariance;
    const auto n = static_cast<Eigen::Index>(of.size());
    Eigen::MatrixXd own(n, n);
    for (Eigen::Index i = 0; i < n; ++i)
      for (Eigen::Index j = 0; j < n; ++j)
        own(i, j) = of[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)];
    const Eigen::MatrixXd slope = slopes(fits, inverse, weights, left, k);
    out += slope * own * slope.transpose();
  }
  return out;
}

std::vector<Vector> as_vectors(const Column& of) { return {of.data(), of.data() + of.size()}; }

}  // namespace

Result<ShaftCorrection> balance_shaft(const std::vector<PhaseRun>& runs,
                                      const std::optional<double>& sd) {
  if (const auto wrong = runs_problem(runs)) return *wrong;
  const auto found = fits_of(runs, sd);
  if (!found.ok()) return found.error();
  const Fits& fits = *found;
  ShaftCorrection out;
  const Eigen::Index planes = fits.influence.cols();
  Matrix brought = fits.influence;
  for (Eigen::Index p = 0; p < planes; ++p) {
    const Column change = changes(runs, fits, p);
    if (nothing_changed(change, fits))
      return problem("a trial weight changed nothing",
                     "a heavier trial weight, at the plane it is told for, at the same speed");
    if (weak(change, fits.before)) out.weak_planes.push_back(static_cast<std::size_t>(p));
    brought.col(p) /= brought.col(p).norm();
  }
  const Eigen::JacobiSVD<Matrix> svd(brought);
  const double spread = svd.singularValues()(0) / svd.singularValues()(planes - 1);
  if (!(spread < kSame))
    return problem("both planes act on the readings alike", "one plane, or a second pickup");
  out.planes_alike = spread > kAlike;
  const Column weights = fits.influence.colPivHouseholderQr().solve(-fits.before);
  const Column left = fits.before + fits.influence * weights;
  const Matrix square = fits.influence.adjoint() * fits.influence;
  const Matrix inverse = square.ldlt().solve(Matrix::Identity(planes, planes));
  const Eigen::MatrixXd covariance = covariance_of(fits, inverse, weights, left);
  out.scatter_known = fits.scatter.has_value();
  for (Eigen::Index p = 0; p < planes; ++p)
    out.weights.push_back({weights(p), covariance(2 * p, 2 * p), covariance(2 * p, 2 * p + 1),
                           covariance(2 * p + 1, 2 * p + 1), fits.scatter.value_or(Scatter{})});
  for (Eigen::Index k = 0; k < left.size(); ++k)
    out.influence.push_back(as_vectors(fits.influence.row(k).transpose()));
  out.before = as_vectors(fits.before);
  out.after = as_vectors(left);
  return out;
}

}  // namespace perrev
