#include "src/side_by_side.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <thread>
#include <vector>

namespace perrev {

void side_by_side(std::size_t count, const std::function<void(std::size_t)>& work) {
  std::atomic<std::size_t> next{0};
  const std::size_t cores = std::max(1u, std::thread::hardware_concurrency());
  std::vector<std::exception_ptr> failed(std::max<std::size_t>(1, std::min(cores, count)));
  const auto run = [&](std::exception_ptr& mine) {
    try {
      for (std::size_t i = next++; i < count; i = next++) work(i);
    } catch (...) {
      mine = std::current_exception();
    }
  };
  std::vector<std::thread> others;
  for (std::size_t i = 1; i < failed.size(); ++i) others.emplace_back(run, std::ref(failed[i]));
  run(failed[0]);
  for (std::thread& other : others) other.join();
  for (const std::exception_ptr& one : failed)
    if (one) std::rethrow_exception(one);
}

}  // namespace perrev
