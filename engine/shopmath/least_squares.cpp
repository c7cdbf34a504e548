#include "engine/shopmath/least_squares.h"

#include <Eigen/Dense>
#include <cmath>

namespace perrev {

std::optional<Scatter> LinearFit::scatter(const std::optional<double>& known_sd) const {
  if (known_sd) return Scatter{*known_sd, std::nullopt};
  if (freedom < 1) return std::nullopt;
  return Scatter{rms, static_cast<double>(freedom)};
}

VectorEstimate LinearFit::vector(std::size_t x, std::size_t y, const Scatter& scatter) const {
  return {Vector(values[x], values[y]), covariance[x][x], covariance[x][y], covariance[y][y],
          scatter};
}

Result<LinearFit> least_squares(const std::vector<std::vector<double>>& rows,
                                const std::vector<double>& readings) {
  const auto n = static_cast<Eigen::Index>(rows.size());
  const auto k = static_cast<Eigen::Index>(rows.empty() ? 0 : rows.front().size());
  if (n < k || k == 0) return problem("there are too few readings for what is looked for");
  Eigen::MatrixXd factors(n, k);
  Eigen::VectorXd read(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    for (Eigen::Index j = 0; j < k; ++j)
      factors(i, j) = rows[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)];
    read(i) = readings[static_cast<std::size_t>(i)];
  }
  const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(factors);
  if (qr.rank() < k)
    return problem("the readings do not settle what is looked for: they say the same again");
  const Eigen::VectorXd found = qr.solve(read);
  const Eigen::MatrixXd inverse =
      (factors.transpose() * factors).ldlt().solve(Eigen::MatrixXd::Identity(k, k));
  const Eigen::VectorXd left = read - factors * found;
  const Eigen::MatrixXd hat = factors * inverse;
  LinearFit out;
  out.values.assign(found.data(), found.data() + k);
  out.residuals.assign(left.data(), left.data() + n);
  for (Eigen::Index i = 0; i < n; ++i) out.leverage.push_back(hat.row(i).dot(factors.row(i)));
  for (Eigen::Index i = 0; i < k; ++i) {
    out.covariance.emplace_back();
    for (Eigen::Index j = 0; j < k; ++j) out.covariance.back().push_back(inverse(i, j));
  }
  out.freedom = static_cast<int>(n - k);
  if (out.freedom > 0) out.rms = std::sqrt(left.squaredNorm() / out.freedom);
  return out;
}

}  // namespace perrev
