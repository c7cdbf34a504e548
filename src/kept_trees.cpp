#include "src/kept_trees.h"

#include <cstdlib>
#include <filesystem>
#include <string>

#include "engine/knowledge/tree_bytes.h"
#include "src/files.h"

namespace perrev {

namespace fs = std::filesystem;

namespace {

constexpr const char* kSignature =
    "perrev trees 1\n";  // another number for another form of the bytes
constexpr std::size_t kLargestKept = 64u << 20;

std::string folder() {
  const auto set = [](const char* name) {
    const char* value = std::getenv(name);
    return std::string(value ? value : "");
  };
  if (set("PERREV_CACHE") == "off") return {};
  if (const std::string cache = set("XDG_CACHE_HOME"); !cache.empty()) return cache + "/perrev";
  if (const std::string home = set("HOME"); !home.empty()) return home + "/.cache/perrev";
  return {};
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

}  // namespace

std::optional<std::vector<YamlNode>> kept_trees(const std::vector<SourceFile>& files) {
  const std::string where = folder();
  if (where.empty()) return std::nullopt;
  std::uint64_t digest = digest_of(kSignature);
  for (const SourceFile& file : files) digest = mixed(digest, file);
  const auto text = read_file(where + "/" + name_for(digest), kLargestKept);
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
  std::error_code ignored;
  fs::create_directories(where, ignored);
  fs::permissions(where, fs::perms::owner_all, ignored);
  for (const auto& entry : fs::directory_iterator(where, ignored))
    if (entry.path().filename().string().rfind("trees-", 0) == 0) fs::remove(entry.path(), ignored);
  (void)write_file(where + "/" + name_for(digest), kSignature + hex_digits(digest) + "\n" +
                                                       hex_digits(digest_of(body)) + "\n" + body);
}

}  // namespace perrev
