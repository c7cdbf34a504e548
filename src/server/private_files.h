// Small files that nobody but their owner may read.
#pragma once

#include <optional>
#include <string>

namespace perrev {

// Nothing when it is missing, unreadable, or readable by others too.
std::optional<std::string> read_private(const std::string& path);

// All or nothing, with rights 0600; its folder is made with 0700.
bool write_private(const std::string& path, const std::string& text);

}  // namespace perrev
