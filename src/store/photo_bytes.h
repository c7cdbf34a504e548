// A photo's bytes: what they are, and their text in an exported file.
#pragma once

#include <optional>
#include <string>

namespace perrev {

// By their first bytes: image/jpeg, image/png, image/webp; empty: none of these.
std::string image_type(const std::string& bytes);

// RFC 4648, section 4: with padding. What `from_base64` reads is only what `base64` writes.
std::string base64(const std::string& bytes);
std::optional<std::string> from_base64(const std::string& text);

}  // namespace perrev
