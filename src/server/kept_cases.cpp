#include "src/server/kept_cases.h"

#include <algorithm>
#include <utility>

namespace perrev {

namespace {

constexpr std::size_t kAtOnce = 1000;

// The entries of the additions as a case of their own.
Result<CaseFile, Problems> as_case(const std::vector<Addition>& additions) {
  std::string entries;
  for (const Addition& one : additions) {
    if (one.kind != Addition::Kind::entry) continue;
    if (!entries.empty()) entries += ',';
    entries += one.json;
  }
  return CaseFile::parse("case", R"({"perrev_case":1,"entries":[)" + entries + "]}");
}

}  // namespace

std::unique_ptr<KeptCases::Kept> KeptCases::take(const std::string& id) {
  std::unique_ptr<Kept> out;
  {
    const std::lock_guard lock(mutex_);
    const auto found =
        std::find_if(kept_.begin(), kept_.end(), [&](const auto& one) { return one->id == id; });
    if (found != kept_.end()) {
      out = std::move(*found);
      kept_.erase(found);
    }
  }
  if (!out) out = std::make_unique<Kept>(Kept{id, CaseFile(), 0});
  for (bool more = true; more;) {
    const auto additions = store_.since(id, out->last_seq, kAtOnce);
    if (!additions) return nullptr;
    more = additions->size() == kAtOnce;
    if (additions->empty()) break;
    auto fresh = as_case(*additions);
    if (!fresh) return nullptr;
    for (const Entry& entry : fresh->entries()) out->file.add(entry);
    out->last_seq = additions->back().seq;
  }
  if (out->last_seq == 0) return nullptr;  // there is no such case
  return out;
}

void KeptCases::give_back(std::unique_ptr<Kept> kept) {
  const std::lock_guard lock(mutex_);
  kept_.push_front(std::move(kept));
  if (kept_.size() > kMost) kept_.pop_back();
}

}  // namespace perrev
