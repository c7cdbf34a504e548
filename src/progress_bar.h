// How far a long piece of work is, on standard error where that is a terminal.
#pragma once

#include <atomic>
#include <cstddef>
#include <string>
#include <thread>

namespace perrev {

class ProgressBar {
 public:
  ProgressBar(std::string name, std::size_t total);
  ~ProgressBar();  // wipes it away
  ProgressBar(const ProgressBar&) = delete;
  ProgressBar& operator=(const ProgressBar&) = delete;

  // One more is done. From any thread; drawn by the one that made the bar.
  void step();
  // So many are done; not by fewer than before.
  void reach(std::size_t done);

 private:
  void draw(std::size_t done) const;

  std::string name_;
  std::size_t total_;
  bool shown_;
  std::thread::id drawer_;
  std::atomic<std::size_t> done_{0};
};

}  // namespace perrev
