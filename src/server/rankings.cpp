#include "src/server/rankings.h"

#include <utility>

namespace perrev {

Rankings::~Rankings() {
  std::unique_lock lock(mutex_);
  none_.wait(lock, [this] { return waiting_.empty(); });
}

void Rankings::want(const std::string& case_id, Done done) {
  {
    const std::lock_guard lock(mutex_);
    const auto [found, first] = waiting_.try_emplace(case_id);
    found->second.push_back(std::move(done));
    if (!first) return;
  }
  if (workers_.post([this, case_id] { work(case_id); })) return;
  std::vector<Done> left;
  {
    const std::lock_guard lock(mutex_);
    const auto found = waiting_.find(case_id);
    left.swap(found->second);
    waiting_.erase(found);
  }
  for (const Done& one : left) one(nullptr);
}

void Rankings::work(const std::string& case_id) {
  std::vector<Done> mine;
  {
    const std::lock_guard lock(mutex_);
    mine.swap(waiting_[case_id]);
  }
  const auto text = std::make_shared<const std::string>(rank_(case_id));
  for (const Done& one : mine) one(text);
  bool more = false;
  {
    const std::lock_guard lock(mutex_);
    const auto found = waiting_.find(case_id);
    more = !found->second.empty();
    if (!more) waiting_.erase(found);
    if (waiting_.empty()) none_.notify_all();
  }
  // At the end of the queue, so that other cases have their turn; when it is full, here and now.
  if (more && !workers_.post([this, case_id] { work(case_id); })) work(case_id);
}

}  // namespace perrev
