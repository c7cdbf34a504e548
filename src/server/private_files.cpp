#include "src/server/private_files.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>

#include "src/files.h"

namespace perrev {

namespace {

constexpr std::size_t kLargest = 64u << 10;

}  // namespace

std::optional<std::string> read_private(const std::string& path) {
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW);
  if (file < 0) return std::nullopt;
  struct stat info{};
  std::string text(kLargest, '\0');
  ssize_t got = -1;
  if (::fstat(file, &info) == 0 && S_ISREG(info.st_mode) && info.st_uid == ::geteuid() &&
      (info.st_mode & 077u) == 0)
    got = ::read(file, text.data(), text.size());
  ::close(file);
  if (got < 0) return std::nullopt;
  text.resize(static_cast<std::size_t>(got));
  return text;
}

bool write_private(const std::string& path, const std::string& text) {
  std::error_code failed;
  const std::filesystem::path folder = std::filesystem::path(path).parent_path();
  if (std::filesystem::create_directories(folder, failed))
    std::filesystem::permissions(folder, std::filesystem::perms::owner_all, failed);
  return write_file(path, text, Rights::owner).empty();
}

}  // namespace perrev
