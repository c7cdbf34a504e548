#include "src/server/rate.h"

#include <algorithm>
#include <cmath>

namespace perrev {

namespace {

using Seconds = std::chrono::duration<double>;

constexpr std::size_t kMostPeers = 4096;
constexpr auto kForgotten = std::chrono::minutes(10);

}  // namespace

bool RateLimit::take(const std::string& peer, Clock::time_point now) {
  if (buckets_.size() >= kMostPeers) drop_full(now);
  const auto [found, fresh] = buckets_.try_emplace(peer, Bucket{burst_, now});
  Bucket& bucket = found->second;
  bucket.tokens = std::min(burst_, bucket.tokens + Seconds(now - bucket.at).count() * per_second_);
  bucket.at = now;
  if (bucket.tokens < 1.0) return false;
  bucket.tokens -= 1.0;
  return true;
}

void RateLimit::drop_full(Clock::time_point now) {
  for (auto at = buckets_.begin(); at != buckets_.end();)
    at = at->second.tokens + Seconds(now - at->second.at).count() * per_second_ >= burst_
             ? buckets_.erase(at)
             : std::next(at);
  if (buckets_.size() >= kMostPeers) buckets_.clear();
}

int Guesses::wait(const std::string& peer, Clock::time_point now) const {
  const auto found = failures_.find(peer);
  if (found == failures_.end()) return 0;
  constexpr int kLongest = 60;  // seconds: 1, 2, 4, ... 32, 60
  const int delay = found->second.count > 6 ? kLongest : 1 << (found->second.count - 1);
  const double left = delay - Seconds(now - found->second.last).count();
  return left <= 0.0 ? 0 : static_cast<int>(std::ceil(left));
}

void Guesses::failed(const std::string& peer, Clock::time_point now) {
  for (auto at = failures_.begin(); at != failures_.end();)
    at = now - at->second.last > kForgotten ? failures_.erase(at) : std::next(at);
  if (failures_.size() >= kMostPeers) failures_.clear();
  Failures& mine = failures_[peer];
  ++mine.count;
  mine.last = now;
}

}  // namespace perrev
