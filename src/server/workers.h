// A few threads that take work in the order of its coming, so that the thread of the sockets never
// waits for arithmetic or for a disk.
#pragma once

#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

namespace perrev {

class Workers {
 public:
  explicit Workers(std::size_t threads);
  ~Workers();  // does what waits, then ends
  Workers(const Workers&) = delete;
  Workers& operator=(const Workers&) = delete;

  // False when too much waits: the caller says so to whoever asked. Work must not throw.
  bool post(std::function<void()> work);

 private:
  static constexpr std::size_t kMostWaiting = 2000;
  void run();

  std::mutex mutex_;
  std::condition_variable some_;
  std::deque<std::function<void()>> waiting_;
  bool ended_ = false;
  std::vector<std::thread> threads_;
};

}  // namespace perrev
