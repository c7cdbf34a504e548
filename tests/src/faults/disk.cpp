#include "tests/src/faults/disk.h"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/statvfs.h>
#include <unistd.h>

#include <cstring>
#include <filesystem>
#include <vector>

namespace perrev::test {

namespace {

// Once for the process; what is mounted afterwards stays within it.
bool has_mounts_of_its_own() {
  static const bool out = ::unshare(CLONE_NEWNS) == 0 &&
                          ::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) == 0;
  return out;
}

constexpr const char* kFiller = "/filler";

}  // namespace

Disk::Disk(std::string folder, std::size_t bytes) : folder_(std::move(folder)) {
  std::filesystem::create_directories(folder_);
  const std::string size = "size=" + std::to_string(bytes) + ",mode=0700";
  works_ = has_mounts_of_its_own() &&
           ::mount("perrev-test", folder_.c_str(), "tmpfs", 0, size.c_str()) == 0;
  if (!works_) MESSAGE("this system lets the test mount nothing: " << std::strerror(errno));
}

Disk::~Disk() {
  if (works_) ::umount2(folder_.c_str(), MNT_DETACH);
}

void Disk::fill() const {
  struct statvfs room{};
  REQUIRE(::statvfs(folder_.c_str(), &room) == 0);
  const int filler =
      ::open((folder_ + kFiller).c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
  REQUIRE(filler >= 0);
  const std::vector<char> page(room.f_bsize);
  for (std::size_t left = room.f_bavail; left > 0; --left)
    REQUIRE(::write(filler, page.data(), page.size()) == static_cast<ssize_t>(page.size()));
  ::close(filler);
}

void Disk::empty() const { std::filesystem::remove(folder_ + kFiller); }

void Disk::read_only(bool yes) const {
  const unsigned long how = yes ? MS_REMOUNT | MS_RDONLY : MS_REMOUNT;
  REQUIRE(::mount("none", folder_.c_str(), nullptr, how, nullptr) == 0);
}

}  // namespace perrev::test
