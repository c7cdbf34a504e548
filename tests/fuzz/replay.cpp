#include "tests/fuzz/replay.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <vector>

namespace perrev::fuzz {

namespace fs = std::filesystem;

fs::path fuzz_folder() { return fs::path(PERREV_SOURCE_FOLDER) / "tests" / "fuzz"; }

std::string text_of(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

void replay(const Target& target) {
  std::vector<fs::path> paths;
  for (const fs::directory_entry& found : fs::directory_iterator(fuzz_folder() / target.name))
    paths.push_back(found.path());
  std::sort(paths.begin(), paths.end());
  int through = 0;
  for (const fs::path& path : paths) {
    INFO(path.filename().string());
    const std::string input = text_of(path);
    CHECK(target.broken_law(input) == "");
    through += target.comes_through(input);
  }
  CHECK(through >= target.through);
  CHECK(static_cast<int>(paths.size()) - through >= target.refused);
}

}  // namespace perrev::fuzz
