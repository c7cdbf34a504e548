// Cases that entries are being added to, kept as they were read: what is new is read and added, so
// that a ranking after each entry does not read the whole case again. For ranking only: heads and
// unknown keys of entries are left out.
#pragma once

#include <cstdint>
#include <list>
#include <memory>
#include <mutex>
#include <string>

#include "engine/casefile/casefile.h"
#include "src/store/store.h"

namespace perrev {

class KeptCases {
 public:
  explicit KeptCases(const Store& store) : store_(store) {}

  struct Kept {
    std::string id;
    CaseFile file;
    std::int64_t last_seq = 0;
  };
  // The case as it stands now; null where it cannot be read. It is the caller's alone until it is
  // given back.
  std::unique_ptr<Kept> take(const std::string& id);
  void give_back(std::unique_ptr<Kept> kept);

 private:
  static constexpr std::size_t kMost = 64;  // cases; the one used longest ago goes first

  const Store& store_;
  std::mutex mutex_;
  std::list<std::unique_ptr<Kept>> kept_;  // the latest first
};

}  // namespace perrev
