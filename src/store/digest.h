// SHA-256 (FIPS 180-4), in lower case hex.
#pragma once

#include <string>
#include <string_view>

namespace perrev {

std::string sha256_hex(std::string_view bytes);

}  // namespace perrev
