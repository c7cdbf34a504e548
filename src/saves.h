// Waiting until somebody saves a file.
#pragma once

#include <chrono>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace perrev {

// Looks at the .yaml, .yml and .json files of folders ten times a second: that costs next to
// nothing, and sees a file that an editor renames over another, on any file system. What is saved
// between two waits is not missed.
class Saves {
 public:
  explicit Saves(std::vector<std::string> folders);

  // Returns once something was saved, added or removed since the last wait and lies still.
  void wait();
  // The same without waiting: whether something was, and lies still since the last call.
  bool saved();
  // Whether nothing was since `saved` said so.
  bool still() const { return look() == seen_; }

 private:
  struct Stamp {
    std::int64_t nanoseconds = 0;
    std::uint64_t inode = 0;
    std::int64_t size = 0;
    bool operator==(const Stamp&) const = default;
  };
  using Stamps = std::map<std::string, Stamp>;
  Stamps look() const;

  std::vector<std::string> folders_;
  Stamps seen_;
  Stamps last_;  // of `saved`
};

}  // namespace perrev
