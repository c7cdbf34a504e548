#include "engine/recording/lag_fit.h"

#include <Eigen/Dense>
#include <algorithm>

namespace perrev {

namespace {

std::vector<double> running_sums(const std::vector<double>& a, const std::vector<double>& b) {
  std::vector<double> out(a.size() + 1, 0.0);
  for (std::size_t i = 0; i < a.size(); ++i) out[i + 1] = out[i] + a[i] * b[i];
  return out;
}

}  // namespace

LagFit::LagFit(const std::array<std::vector<double>, kAxes>& axes,
               const std::vector<double>& wanted, std::size_t stride)
    : axes_(axes), wanted_(wanted), stride_(stride), squares_(running_sums(wanted, wanted)) {
  for (std::size_t a = 0; a < kAxes; ++a)
    for (std::size_t b = 0; b <= a; ++b) products_[a][b] = running_sums(axes[a], axes[b]);
}

LagFit::Overlap LagFit::overlap(std::ptrdiff_t lag) const {
  const auto size = [](const std::vector<double>& of) {
    return static_cast<std::ptrdiff_t>(of.size());
  };
  const std::ptrdiff_t from = std::max<std::ptrdiff_t>(0, -lag);
  const std::ptrdiff_t to = std::min(size(wanted_), size(axes_[0]) - lag);
  return {static_cast<std::size_t>(from), static_cast<std::size_t>(std::max(from, to))};
}

std::size_t LagFit::common(std::ptrdiff_t lag) const {
  const Overlap at = overlap(lag);
  return at.to - at.from;
}

double LagFit::explained(std::ptrdiff_t lag) const {
  const Overlap at = overlap(lag);
  const double all = squares_[at.to] - squares_[at.from];
  if (at.to == at.from || !(all > 0.0)) return 0.0;
  const auto moved = [&](std::size_t i) {
    return static_cast<std::size_t>(static_cast<std::ptrdiff_t>(i) + lag);
  };
  Eigen::Matrix3d products;
  Eigen::Vector3d with;
  for (std::size_t a = 0; a < kAxes; ++a) {
    double sum = 0.0;
    const double* const axis = axes_[a].data() + moved(at.from);
    for (std::size_t i = at.from; i < at.to; i += stride_) sum += axis[i - at.from] * wanted_[i];
    const auto row = static_cast<Eigen::Index>(a);
    with(row) = sum * static_cast<double>(stride_);
    for (std::size_t b = 0; b <= a; ++b) {
      const std::vector<double>& sums = products_[a][b];
      const auto column = static_cast<Eigen::Index>(b);
      products(row, column) = products(column, row) = sums[moved(at.to)] - sums[moved(at.from)];
    }
  }
  // An axis that is not there, or is another one, takes nothing away.
  products.diagonal().array() += 1e-9 * products.trace() + 1e-300;
  return std::clamp(with.dot(products.ldlt().solve(with)) / all, 0.0, 1.0);
}

}  // namespace perrev
