// A parsed tree as bytes and back, so that a caller may keep what took long to parse.
//
// The bytes are this program's own and of no lasting format: `from_bytes` gives nothing for bytes
// that are not exactly one whole tree, whatever they are, in time and memory bounded by their
// number.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "engine/knowledge/yaml_tree.h"

namespace perrev {

std::string to_bytes(const YamlNode& tree);
std::optional<YamlNode> from_bytes(std::string_view bytes);

// FNV-1a over words of eight bytes: tells states of files apart, protects nothing.
std::uint64_t digest_of(std::string_view text, std::uint64_t before = 14695981039346656037ull);
std::string hex_digits(std::uint64_t digest);

}  // namespace perrev
