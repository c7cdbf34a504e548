// How often an address may do something. Not safe for several threads; the caller's clock.
#pragma once

#include <chrono>
#include <map>
#include <string>

namespace perrev {

using Clock = std::chrono::steady_clock;

// A bucket of tokens per address: `burst` at once, then `per_second`.
class RateLimit {
 public:
  RateLimit(double per_second, double burst) : per_second_(per_second), burst_(burst) {}
  bool take(const std::string& peer, Clock::time_point now);

 private:
  struct Bucket {
    double tokens;
    Clock::time_point at;
  };
  void drop_full(Clock::time_point now);

  double per_second_, burst_;
  std::map<std::string, Bucket> buckets_;
};

// After each failure the next try waits twice as long, up to a minute. Forgotten after ten minutes
// or with success.
class Guesses {
 public:
  // Seconds until the next try is looked at; 0: now.
  int wait(const std::string& peer, Clock::time_point now) const;
  void failed(const std::string& peer, Clock::time_point now);
  void succeeded(const std::string& peer) { failures_.erase(peer); }

 private:
  struct Failures {
    int count;
    Clock::time_point last;
  };
  std::map<std::string, Failures> failures_;
};

}  // namespace perrev
