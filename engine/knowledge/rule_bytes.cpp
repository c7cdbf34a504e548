#include "engine/knowledge/rule_bytes.h"

#include <algorithm>
#include <cstdint>
#include <optional>
#include <utility>

#include "engine/knowledge/rule_files.h"
#include "engine/knowledge/source_text.h"
#include "engine/knowledge/tree_bytes.h"

namespace perrev {

namespace {

constexpr std::string_view kSignature = "perrev rules 1\n";  // another number for another form
constexpr std::size_t kLargestBytes = 64u << 20;
constexpr std::size_t kDigits = 16;  // of a digest

// A length in front of each part: "123\n".
void put(std::string& out, std::string_view part) {
  out += std::to_string(part.size());
  out += '\n';
  out += part;
}

bool take(std::string_view& from, std::size_t size, std::string_view& out) {
  if (size > from.size()) return false;
  out = from.substr(0, size);
  from.remove_prefix(size);
  return true;
}

bool take(std::string_view& from, std::string_view& out) {
  std::size_t size = 0, digits = 0;
  for (; digits < from.size() && from[digits] != '\n'; ++digits) {
    if (from[digits] < '0' || from[digits] > '9' || size > kLargestBytes) return false;
    size = 10 * size + static_cast<std::size_t>(from[digits] - '0');
  }
  if (digits == 0 || digits == from.size()) return false;
  from.remove_prefix(digits + 1);
  return take(from, size, out);
}

// Lines are kept where things of the rule base begin, for those who look them up: at the keys of a
// file, down to `keys` levels of them, and at the items of its lists and of theirs.
YamlNode with_few_lines(YamlNode node, int keys, int depth = 0) {
  constexpr int kItems = 2;
  node.column = 0;
  for (YamlNode& item : node.items) {
    const int line = depth < kItems ? item.line : 0;
    item = with_few_lines(std::move(item), keys, depth + 1);
    item.line = line;
  }
  for (YamlMember& member : node.members) {
    if (depth >= keys) member.line = 0;
    member.column = 0;
    member.value = with_few_lines(std::move(member.value), keys, depth + 1);
    member.value.line = 0;
  }
  return node;
}

bool is_clean(const std::string& text) { return check_text({}, text).empty(); }

// What parsing promises of a tree and bytes need not keep: clean texts, and no key twice.
bool could_be_parsed(const YamlNode& node) {
  if (!is_clean(node.scalar)) return false;
  std::vector<std::string_view> keys;
  for (const YamlMember& member : node.members) {
    if (!is_clean(member.key) || !could_be_parsed(member.value)) return false;
    keys.push_back(member.key);
  }
  std::sort(keys.begin(), keys.end());
  return std::adjacent_find(keys.begin(), keys.end()) == keys.end() &&
         std::all_of(node.items.begin(), node.items.end(), could_be_parsed);
}

std::optional<std::vector<ParsedFile>> files_of(std::string_view bytes) {
  std::vector<ParsedFile> files;
  while (!bytes.empty()) {
    std::string_view name, tree;
    if (!take(bytes, name) || !take(bytes, tree)) return std::nullopt;
    auto read = from_bytes(tree);
    if (!read || read->kind == YamlNode::Kind::null || !could_be_parsed(*read) ||
        !is_clean(std::string(name)))
      return std::nullopt;
    files.push_back({{std::string(name), std::string(name), {}}, std::move(*read)});
  }
  return files;
}

bool is_digest(std::string_view text) {
  return text.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

}  // namespace

std::string rule_bytes(const std::vector<ParsedFile>& files, const RuleBase& base) {
  std::string body;
  for (const ParsedFile& file : files) {
    put(body, file.source.name);
    const RuleFile* kind = rule_file(file.source.name);
    const bool in_sections = kind && kind->shape.many == Shape::Many::one;
    put(body, to_bytes(with_few_lines(*file.tree, in_sections ? 2 : 1)));
  }
  return std::string(kSignature) + base.digest + hex_digits(digest_of(body)) + body;
}

Result<RuleBase, Problems> rule_base_from(std::string_view bytes) {
  std::string_view signature, digest, sum;
  const bool begins = bytes.size() <= kLargestBytes && take(bytes, kSignature.size(), signature) &&
                      signature == kSignature && take(bytes, kDigits, digest) &&
                      is_digest(digest) && take(bytes, kDigits, sum) &&
                      sum == hex_digits(digest_of(bytes));
  auto files = begins ? files_of(bytes) : std::nullopt;
  if (!files) return Problems{problem("these are not the bytes of a rule base")};
  return build_rule_base(std::move(*files), std::string(digest));
}

}  // namespace perrev
