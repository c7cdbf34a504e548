// What a provider makes of a rule base once and reads for every case.
#pragma once

#include <memory>
#include <mutex>
#include <string>

#include "engine/knowledge/rule_base.h"

namespace perrev {

// Keeps one, of the rule base that was asked for last, known by its digest. Safe to share between
// threads.
template <class Made>
class MadeOnce {
 public:
  std::shared_ptr<const Made> of(const RuleBase& base) const {
    const std::lock_guard<std::mutex> hold(guard_);
    if (!made_ || digest_ != base.digest) {
      made_ = std::make_shared<const Made>(base);
      digest_ = base.digest;
    }
    return made_;
  }

 private:
  mutable std::mutex guard_;
  mutable std::string digest_;
  mutable std::shared_ptr<const Made> made_;
};

}  // namespace perrev
