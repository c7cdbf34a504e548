// How deep a JSON text nests. The library reads without recursion, but it copies, writes and
// destroys its values level by level: whoever takes a text from outside asks first.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

namespace perrev {

// Where the text goes deeper than `most`; it need not be JSON otherwise.
std::optional<std::size_t> too_deep(std::string_view text, int most);

}  // namespace perrev
