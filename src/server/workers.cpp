#include "src/server/workers.h"

namespace perrev {

Workers::Workers(std::size_t threads) {
  for (std::size_t i = 0; i < threads; ++i) threads_.emplace_back([this] { run(); });
}

Workers::~Workers() {
  {
    const std::lock_guard lock(mutex_);
    ended_ = true;
  }
  some_.notify_all();
  for (std::thread& one : threads_) one.join();
}

bool Workers::post(std::function<void()> work) {
  {
    const std::lock_guard lock(mutex_);
    if (waiting_.size() >= kMostWaiting) return false;
    waiting_.push_back(std::move(work));
  }
  some_.notify_one();
  return true;
}

void Workers::run() {
  for (;;) {
    std::function<void()> work;
    {
      std::unique_lock lock(mutex_);
      some_.wait(lock, [this] { return ended_ || !waiting_.empty(); });
      if (waiting_.empty()) return;
      work = std::move(waiting_.front());
      waiting_.pop_front();
    }
    work();
  }
}

}  // namespace perrev
