// The inputs of tests/fuzz/recording/, seeds and what once broke a reader, held to the law of
// recordings.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "tests/fuzz/recording_law.h"

namespace fs = std::filesystem;

TEST_CASE("inputs of the fuzz target keep the law of recordings") {
  std::vector<fs::path> paths;
  for (const fs::directory_entry& found :
       fs::directory_iterator(fs::path(PERREV_SOURCE_FOLDER) / "tests" / "fuzz" / "recording"))
    paths.push_back(found.path());
  std::sort(paths.begin(), paths.end());
  CHECK(paths.size() > 15);
  int through = 0;
  for (const fs::path& path : paths) {
    INFO(path.filename().string());
    std::ifstream in(path, std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(in), {}};
    CHECK(perrev::fuzz::broken_recording_law(bytes) == "");
    through += perrev::fuzz::comes_through(bytes);
  }
  CHECK(through > 8);  // seeds reach what is made of rows
}
