#include "engine/recording/speed_map.h"

#include <algorithm>

namespace perrev {
namespace {

constexpr double kBand = 1.0;       // m/s
constexpr double kFastest = 150.0;  // m/s; faster is no vehicle on a road

}  // namespace

void SpeedSums::take(const Segment& segment) {
  if (!(segment.speed > 0.0 && segment.speed < kFastest)) return;
  const auto b = static_cast<std::size_t>(segment.speed / kBand);
  if (b >= bands_.size()) bands_.resize(b + 1);
  const Span& second = segment.rates[static_cast<std::size_t>(Domain::time)];
  const double seconds = 0.5 / step_ * 0.5 * (second.low + second.high);
  Band& band = bands_[b];
  for (const std::vector<float>& axis : segment.density) {
    band.density.resize(std::max(band.density.size(), axis.size()));
    for (std::size_t k = 0; k < axis.size(); ++k)
      band.density[k] += seconds * static_cast<double>(axis[k]);
  }
  band.seconds += seconds;
}

SpeedMap SpeedSums::map() const {
  SpeedMap out;
  out.domain = domain_;
  out.step = step_;
  out.band = kBand;
  std::size_t first = 0;
  while (first < bands_.size() && bands_[first].seconds == 0.0) ++first;
  out.first_speed = static_cast<double>(first) * kBand;
  for (std::size_t b = first; b < bands_.size(); ++b) {
    out.seconds.push_back(bands_[b].seconds);
    out.density.push_back(bands_[b].density);
    for (double& value : out.density.back()) value /= bands_[b].seconds;
  }
  return out;
}

}  // namespace perrev
