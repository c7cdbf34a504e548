// A small disk of a test's own: a tmpfs that can be filled, and made read-only.
//
// It is mounted in a mount namespace of this process, so nobody else sees it. Where the system does
// not let the test mount (no root, no CAP_SYS_ADMIN), `works` is false: the test says so and does
// without.
#pragma once

#include <cstddef>
#include <string>

namespace perrev::test {

class Disk {
 public:
  Disk(std::string folder, std::size_t bytes);
  ~Disk();
  Disk(const Disk&) = delete;
  Disk& operator=(const Disk&) = delete;

  bool works() const { return works_; }
  // Leaves no room, by a file of its own; `empty` removes it.
  void fill() const;
  void empty() const;
  void read_only(bool yes) const;

 private:
  std::string folder_;
  bool works_ = false;
};

}  // namespace perrev::test
