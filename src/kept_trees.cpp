#include "src/kept_trees.h"

#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <string_view>
#include <utility>

#include "engine/knowledge/tree_bytes.h"
#include "src/files.h"
#include "src/user_folders.h"

namespace perrev {

namespace fs = std::filesystem;

namespace {

constexpr const char* kSignature =
    "perrev trees 1\n";  // another number for another form of the bytes
constexpr std::size_t kLargestKept = 64u << 20;
constexpr std::size_t kMostKept = 8;

std::string folder() {
  const char* set = std::getenv("PERREV_CACHE");
  if (set && std::string_view(set) == "off") return {};
  const std::string cache = cache_home();
  return cache.empty() ? cache : cache + "/perrev";
}

std::string name_for(std::uint64_t digest) { return "trees-" + hex_digits(digest); }

std::uint64_t mixed(std::uint64_t digest, const SourceFile& file) {
  return digest_of(file.text, digest_of(file.name, digest));
}

std::string as_line(std::size_t number) { return std::to_string(number) + "\n"; }

// Takes "123\n" off the front.
bool take_number(std::string_view& from, std::size_t& out) {
  const std::size_t end = from.find('\n');
  if (end == 0 || end > 12 || from.find_first_not_of("0123456789") != end) return false;
  out = static_cast<std::size_t>(
      std::strtoull(std::string(from.substr(0, end)).c_str(), nullptr, 10));
  from.remove_prefix(end + 1);
  return true;
}

// A folder of the user's own that nobody else may write into.
bool is_own(const std::string& where) {
  struct stat info{};
  return ::lstat(where.c_str(), &info) == 0 && S_ISDIR(info.st_mode) &&
         info.st_uid == ::geteuid() && (info.st_mode & (S_IWGRP | S_IWOTH)) == 0;
}

bool is_kept_name(const std::string& name) {
  return name.size() == 22 && name.rfind("trees-", 0) == 0 &&
         name.find_first_not_of("0123456789abcdef", 6) == std::string::npos;
}

// Keeps the newest few.
void drop_old(const std::string& where) {
  std::vector<std::pair<fs::file_time_type, fs::path>> kept;
  std::error_code failed;
  for (fs::directory_iterator at(where, failed), end; !failed && at != end; at.increment(failed)) {
    std::error_code unknown;
    const auto time = at->last_write_time(unknown);
    if (!unknown && is_kept_name(at->path().filename().string()))
      kept.emplace_back(time, at->path());
  }
  std::sort(kept.begin(), kept.end());
  for (std::size_t i = 0; i + kMostKept < kept.size() + 1; ++i) fs::remove(kept[i].second, failed);
}

}  // namespace

std::optional<std::vector<YamlNode>> kept_trees(const std::vector<SourceFile>& files) {
  const std::string where = folder();
  if (where.empty() || !is_own(where)) return std::nullopt;
  std::uint64_t digest = digest_of(kSignature);
  for (const SourceFile& file : files) digest = mixed(digest, file);
  const std::string path = where + "/" + name_for(digest);
  std::error_code unknown;
  if (!fs::is_regular_file(path, unknown)) return std::nullopt;
  const auto text = read_file(path, kLargestKept);
  if (!text) return std::nullopt;
  const std::string start = kSignature + hex_digits(digest) + "\n";
  if (text->size() < start.size() + 17 || text->compare(0, start.size(), start) != 0)
    return std::nullopt;
  std::string_view left = std::string_view(*text).substr(start.size());
  const std::string_view body = left.substr(17);
  if (left.substr(0, 17) != hex_digits(digest_of(body)) + "\n") return std::nullopt;
  left = body;
  std::vector<YamlNode> trees;
  for (std::size_t i = 0; i < files.size(); ++i) {
    std::size_t size = 0;
    if (!take_number(left, size) || size > left.size()) return std::nullopt;
    auto tree = from_bytes(left.substr(0, size));
    if (!tree) return std::nullopt;
    left.remove_prefix(size);
    trees.push_back(std::move(*tree));
  }
  if (!left.empty()) return std::nullopt;
  return trees;
}

void keep_trees(const std::vector<ParsedFile>& files) {
  const std::string where = folder();
  if (where.empty()) return;
  std::uint64_t digest = digest_of(kSignature);
  std::string body;
  for (const ParsedFile& file : files) {
    if (!file.tree.ok()) return;
    digest = mixed(digest, file.source);
    const std::string bytes = to_bytes(*file.tree);
    body += as_line(bytes.size()) + bytes;
  }
  std::error_code failed;
  if (fs::create_directories(where, failed)) fs::permissions(where, fs::perms::owner_all, failed);
  if (!is_own(where)) return;
  drop_old(where);
  (void)write_file(where + "/" + name_for(digest), kSignature + hex_digits(digest) + "\n" +
                                                       hex_digits(digest_of(body)) + "\n" + body);
}

}  // namespace perrev
