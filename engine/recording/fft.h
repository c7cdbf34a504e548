// Fourier transform of real values: kissfft, one plan for one length.
//
// X[k] = sum over n of x[n] exp(-2 pi i k n / points), for k from 0 to points / 2.
#pragma once

#include <complex>
#include <cstddef>
#include <memory>
#include <vector>

namespace perrev {

class RealFft {
 public:
  explicit RealFft(std::size_t points);  // even, above 0
  ~RealFft();
  std::size_t points() const { return points_; }
  // `values` has `points` of them.
  const std::vector<std::complex<double>>& forward(const std::vector<double>& values);

 private:
  struct Plan;
  std::size_t points_;
  std::unique_ptr<Plan> plan_;
  std::vector<std::complex<double>> lines_;
};

// The least even length from `points` on that is quick to transform: half of it has no prime
// factors but 2, 3 and 5.
std::size_t quick_length(std::size_t points);

}  // namespace perrev
