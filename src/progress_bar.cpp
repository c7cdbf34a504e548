#include "src/progress_bar.h"

#include <unistd.h>

#include <algorithm>
#include <cstdio>

namespace perrev {

ProgressBar::ProgressBar(std::string name, std::size_t total)
    : name_(std::move(name)),
      total_(std::max<std::size_t>(1, total)),
      shown_(::isatty(STDERR_FILENO) != 0),
      drawer_(std::this_thread::get_id()) {}

ProgressBar::~ProgressBar() {
  if (shown_) std::fprintf(stderr, "\r%70s\r", "");
}

void ProgressBar::step() { draw(++done_); }

void ProgressBar::reach(std::size_t done) {
  if (done == done_) return;
  done_ = done;
  draw(done);
}

void ProgressBar::draw(std::size_t done) const {
  if (!shown_ || std::this_thread::get_id() != drawer_) return;
  const std::size_t bar = std::min<std::size_t>(40, done * 40 / total_);
  std::fprintf(stderr, "\r%-20s [%s%s] %zu", name_.c_str(), std::string(bar, '=').c_str(),
               std::string(40 - bar, ' ').c_str(), done);
}

}  // namespace perrev
