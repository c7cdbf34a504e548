// The files of the page, inside the program: nothing is read from a disk when they are asked for.
#pragma once

#include <string_view>
#include <vector>

namespace perrev {

struct Asset {
  std::string_view path;  // "/index.html"
  std::string_view bytes;
  std::string_view gzip;    // the same, compressed; empty where that would not be shorter
  std::string_view type;    // media type
  std::string_view digest;  // the first half of the SHA-256 of the bytes, in hex
};

// Null where there is none of that path.
const Asset* find_asset(std::string_view path);

}  // namespace perrev
