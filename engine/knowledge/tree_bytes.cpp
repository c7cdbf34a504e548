#include "engine/knowledge/tree_bytes.h"

#include <cstring>

namespace perrev {

namespace {

void put_number(std::string& out, std::uint64_t number) {
  for (; number >= 0x80u; number >>= 7) out += static_cast<char>((number & 0x7Fu) | 0x80u);
  out += static_cast<char>(number);
}

void put_text(std::string& out, const std::string& text) {
  put_number(out, text.size());
  out += text;
}

void put_node(std::string& out, const YamlNode& node) {
  out += static_cast<char>(node.kind);
  put_number(out, static_cast<std::uint64_t>(node.line));
  put_number(out, static_cast<std::uint64_t>(node.column));
  if (node.kind == YamlNode::Kind::scalar) put_text(out, node.scalar);
  if (node.kind == YamlNode::Kind::sequence) {
    put_number(out, node.items.size());
    for (const YamlNode& item : node.items) put_node(out, item);
  }
  if (node.kind == YamlNode::Kind::mapping) {
    put_number(out, node.members.size());
    for (const YamlMember& member : node.members) {
      put_text(out, member.key);
      put_number(out, static_cast<std::uint64_t>(member.line));
      put_number(out, static_cast<std::uint64_t>(member.column));
      put_node(out, member.value);
    }
  }
}

// Every read checks what is left; after the first failure all further ones fail.
class Reader {
 public:
  explicit Reader(std::string_view bytes) : left_(bytes) {}

  bool node(YamlNode& out, int depth) {
    if (depth > kDeepest || left_.empty()) return false;
    const unsigned kind = static_cast<unsigned char>(left_.front());
    left_.remove_prefix(1);
    if (kind > static_cast<unsigned>(YamlNode::Kind::mapping)) return false;
    out.kind = static_cast<YamlNode::Kind>(kind);
    if (!place(out.line) || !place(out.column)) return false;
    std::uint64_t count = 0;
    switch (out.kind) {
      case YamlNode::Kind::null:
        return true;
      case YamlNode::Kind::scalar:
        return text(out.scalar);
      case YamlNode::Kind::sequence:
        if (!number(count) || count > left_.size()) return false;
        for (; count > 0; --count)
          if (!node(out.items.emplace_back(), depth + 1)) return false;
        return true;
      case YamlNode::Kind::mapping:
        if (!number(count) || count > left_.size()) return false;
        for (; count > 0; --count) {
          YamlMember& member = out.members.emplace_back();
          if (!text(member.key) || !place(member.line) || !place(member.column) ||
              !node(member.value, depth + 1))
            return false;
        }
        return true;
    }
    return false;
  }

  bool at_end() const { return left_.empty(); }

 private:
  bool number(std::uint64_t& out) {
    out = 0;
    for (int shift = 0; shift < 63 && !left_.empty(); shift += 7) {
      const std::uint64_t byte = static_cast<unsigned char>(left_.front());
      left_.remove_prefix(1);
      out |= (byte & 0x7Fu) << shift;
      if (byte < 0x80u) return true;
    }
    return false;
  }
  bool place(int& out) {
    std::uint64_t read = 0;
    if (!number(read) || read > kLargestText + 1) return false;
    out = static_cast<int>(read);
    return true;
  }
  bool text(std::string& out) {
    std::uint64_t size = 0;
    if (!number(size) || size > left_.size()) return false;
    out.assign(left_.substr(0, static_cast<std::size_t>(size)));
    left_.remove_prefix(static_cast<std::size_t>(size));
    return true;
  }

  std::string_view left_;
};

}  // namespace

std::string to_bytes(const YamlNode& tree) {
  std::string out;
  put_node(out, tree);
  return out;
}

std::optional<YamlNode> from_bytes(std::string_view bytes) {
  Reader reader(bytes);
  YamlNode out;
  if (!reader.node(out, 0) || !reader.at_end()) return std::nullopt;
  return out;
}

std::uint64_t digest_of(std::string_view text, std::uint64_t before) {
  constexpr std::uint64_t kPrime = 1099511628211ull;
  std::uint64_t hash = before;
  for (; text.size() >= 8; text.remove_prefix(8)) {
    std::uint64_t word = 0;
    std::memcpy(&word, text.data(), 8);
    hash = (hash ^ word) * kPrime;
    hash ^= hash >> 32;
  }
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * kPrime;
  return (hash ^ text.size()) * kPrime;
}

std::string hex_digits(std::uint64_t digest) {
  std::string out;
  for (int shift = 60; shift >= 0; shift -= 4) out += "0123456789abcdef"[(digest >> shift) & 15u];
  return out;
}

}  // namespace perrev
