#include "engine/recording/segment_store.h"

#include <algorithm>
#include <utility>

namespace perrev {
namespace {

std::size_t values_in(const Segment& segment) {
  std::size_t count = 0;
  for (const auto& axis : segment.density) count += axis.size();
  return count;
}

void add_to(Segment& into, const Segment& other) {
  const double many = into.many + other.many;
  const auto old = static_cast<float>(into.many / many),
             fresh = static_cast<float>(other.many / many);
  for (std::size_t axis = 0; axis < kAxes; ++axis)
    for (std::size_t k = 0; k < into.density[axis].size(); ++k)
      into.density[axis][k] = old * into.density[axis][k] + fresh * other.density[axis][k];
  into.speed = (into.many * into.speed + other.many * other.speed) / many;
  for (std::size_t d = 0; d < kDomains; ++d) {
    into.rates[d].low = std::min(into.rates[d].low, other.rates[d].low);
    into.rates[d].high = std::max(into.rates[d].high, other.rates[d].high);
  }
  into.many = many;
}

}  // namespace

void SegmentStore::take(const Segment& segment) {
  if (!segments_.empty() && segments_.back().many < each_) {
    add_to(segments_.back(), segment);
    return;
  }
  if ((segments_.size() + 1) * values_in(segment) > most_ && segments_.size() > 1) halve();
  segments_.push_back(segment);
}

void SegmentStore::halve() {
  std::vector<Segment> kept;
  for (std::size_t i = 0; i < segments_.size(); i += 2) {
    kept.push_back(std::move(segments_[i]));
    if (i + 1 < segments_.size()) add_to(kept.back(), segments_[i + 1]);
  }
  segments_ = std::move(kept);
  each_ *= 2.0;
}

}  // namespace perrev
