#include "engine/recording/fft.h"

#include <kissfft/kissfft.hh>

namespace perrev {
namespace {

bool is_quick(std::size_t points) {
  for (const std::size_t prime : {2U, 3U, 5U})
    while (points % prime == 0) points /= prime;
  return points == 1;
}

}  // namespace

struct RealFft::Plan {
  kissfft<double> half;
};

RealFft::RealFft(std::size_t points)
    : points_(points),
      plan_(new Plan{kissfft<double>(points / 2, false)}),
      lines_(points / 2 + 1) {}

RealFft::~RealFft() = default;

const std::vector<std::complex<double>>& RealFft::forward(const std::vector<double>& values) {
  plan_->half.transform_real(values.data(), lines_.data());
  lines_.back() = lines_.front().imag();  // kissfft packs the last line there
  lines_.front() = lines_.front().real();
  return lines_;
}

std::size_t quick_length(std::size_t points) {
  std::size_t half = (points + 1) / 2;
  while (half == 0 || !is_quick(half)) ++half;
  return 2 * half;
}

}  // namespace perrev
