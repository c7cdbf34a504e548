#include "src/saves.h"

#include <sys/stat.h>

#include <filesystem>
#include <thread>
#include <utility>

namespace perrev {

namespace fs = std::filesystem;

namespace {

constexpr std::chrono::milliseconds kBetweenLooks{100};
constexpr std::chrono::milliseconds kLiesStill{20};

}  // namespace

Saves::Saves(std::vector<std::string> folders) : folders_(std::move(folders)), seen_(look()) {}

void Saves::wait() {
  Stamps now = look();
  while (now == seen_) {
    std::this_thread::sleep_for(kBetweenLooks);
    now = look();
  }
  do {  // an editor may still be writing
    seen_ = std::move(now);
    std::this_thread::sleep_for(kLiesStill);
    now = look();
  } while (now != seen_);
}

bool Saves::saved() {
  Stamps now = look();
  const bool out = now != seen_ && now == last_;
  if (out) seen_ = now;
  last_ = std::move(now);
  return out;
}

Saves::Stamps Saves::look() const {
  Stamps out;
  for (const std::string& folder : folders_) {
    std::error_code error;
    fs::recursive_directory_iterator at(folder, fs::directory_options::follow_directory_symlink,
                                        error),
        end;
    for (; !error && at != end; at.increment(error)) {
      const std::string extension = at->path().extension().string();
      if (extension != ".yaml" && extension != ".yml" && extension != ".json") continue;
      struct stat info{};
      if (::stat(at->path().c_str(), &info) == 0)
        out[at->path().string()] = {
            info.st_mtim.tv_sec * std::int64_t{1000000000} + info.st_mtim.tv_nsec, info.st_ino,
            info.st_size};
    }
  }
  return out;
}

}  // namespace perrev
