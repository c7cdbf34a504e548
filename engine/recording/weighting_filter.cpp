#include "engine/recording/weighting_filter.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace perrev {

namespace {

using Complex = std::complex<double>;

constexpr double kBlock = 32.0;  // s
// s. The slowest part of the response falls by e in 0.56 s: what is cut off is under a millionth.
constexpr double kMemory = 8.0;
// s. The sharp end at half the rate rings ahead as well as behind.
constexpr double kAhead = 1.0;

std::size_t samples_in(double seconds, double rate) {
  return static_cast<std::size_t>(std::ceil(seconds * rate));
}

// The next number without prime factors above five: what the transform is quick for.
std::size_t quick_length(std::size_t least) {
  for (std::size_t length = std::max<std::size_t>(least, 8);; ++length) {
    std::size_t rest = length;
    for (const std::size_t prime : {2U, 3U, 5U})
      while (rest % prime == 0) rest /= prime;
    if (rest == 1) return length;
  }
}

}  // namespace

WeightingFilter::WeightingFilter(Weighting weighting, double rate)
    : half_(quick_length(samples_in(kBlock / 2.0, rate))),
      memory_(samples_in(kMemory, rate)),
      ahead_(samples_in(kAhead, rate)),
      filled_(memory_),
      block_(2 * half_),
      response_(half_ + 1),
      lines_(half_ + 1),
      folded_(half_),
      turns_(half_),
      forward_(half_, false),
      back_(half_, true) {
  const double all = static_cast<double>(2 * half_);
  for (std::size_t k = 1; k <= half_; ++k)
    response_[k] = weighting_response(weighting, static_cast<double>(k) * rate / all) / all;
  // A real signal has but a real line at half the rate.
  response_[half_] = response_[half_].real();
  for (std::size_t k = 0; k < half_; ++k)
    turns_[k] = std::polar(1.0, std::numbers::pi * static_cast<double>(k) / (all / 2.0));
}

void WeightingFilter::take(const std::vector<double>& samples, std::vector<double>& out) {
  for (std::size_t done = 0; done < samples.size();) {
    const std::size_t some = std::min(block_.size() - filled_, samples.size() - done);
    std::copy_n(samples.data() + done, some, block_.data() + filled_);
    filled_ += some;
    done += some;
    if (filled_ == block_.size()) filter(out);
  }
}

void WeightingFilter::finish(std::vector<double>& out) {
  const std::size_t end = out.size() + filled_ - memory_;
  const double last = block_[filled_ - 1];
  while (out.size() < end) {
    std::fill(block_.begin() + static_cast<std::ptrdiff_t>(filled_), block_.end(), last);
    filter(out);
  }
  out.resize(end);
  restart();
}

void WeightingFilter::restart() {
  filled_ = memory_;
  fresh_ = true;
}

void WeightingFilter::filter(std::vector<double>& out) {
  const auto first = block_.begin() + static_cast<std::ptrdiff_t>(memory_);
  if (fresh_) {
    const auto end = block_.begin() + static_cast<std::ptrdiff_t>(filled_);
    const double mean = std::accumulate(first, end, 0.0) / static_cast<double>(end - first);
    std::fill(block_.begin(), first, mean);
    fresh_ = false;
  }
  forward_.transform_real(block_.data(), lines_.data());
  const double highest = lines_[0].imag();  // where the transform packs the line at half the rate
  lines_[half_] = highest * response_[half_];
  lines_[0] = 0.0;
  for (std::size_t k = 1; k < half_; ++k) lines_[k] *= response_[k];
  // Back to pairs of real samples by one complex transform of half the length.
  for (std::size_t k = 0; k < half_; ++k) {
    const Complex a = lines_[k], b = std::conj(lines_[half_ - k]);
    folded_[k] = a + b + Complex(0.0, 1.0) * turns_[k] * (a - b);
  }
  back_.transform(folded_.data(), lines_.data());
  const std::size_t known = block_.size() - ahead_;
  const auto* samples =
      reinterpret_cast<const double*>(lines_.data());  // as [complex.numbers] says
  out.insert(out.end(), samples + memory_, samples + known);
  std::copy(block_.end() - static_cast<std::ptrdiff_t>(memory_ + ahead_), block_.end(),
            block_.begin());
  filled_ = memory_ + ahead_;
}

}  // namespace perrev
