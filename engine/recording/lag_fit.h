// How much of one series three others explain together, at every lag between them.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "engine/recording/samples.h"

namespace perrev {

// `wanted[i]` is held against `axes[..][i + lag]`. Every `stride`th value is taken.
class LagFit {
 public:
  LagFit(const std::array<std::vector<double>, kAxes>& axes, const std::vector<double>& wanted,
         std::size_t stride);

  std::size_t common(std::ptrdiff_t lag) const;  // values
  // R2 of the least squares without a constant, 0 to 1; 0 where nothing is in common.
  double explained(std::ptrdiff_t lag) const;

 private:
  struct Overlap {
    std::size_t from, to;  // of wanted
  };
  Overlap overlap(std::ptrdiff_t lag) const;

  const std::array<std::vector<double>, kAxes>& axes_;
  const std::vector<double>& wanted_;
  std::size_t stride_;
  // Running sums of products of two axes, and of squares of what is wanted.
  std::array<std::array<std::vector<double>, kAxes>, kAxes> products_;
  std::vector<double> squares_;
};

}  // namespace perrev
