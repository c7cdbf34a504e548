#include "tests/src/folder.h"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace perrev::test {

namespace fs = std::filesystem;

Folder::Folder() {
  std::string pattern = (fs::temp_directory_path() / "perrev-test-XXXXXX").string();
  root_ = ::mkdtemp(pattern.data()) ? pattern : std::string();
}

Folder::~Folder() {
  std::error_code ignored;
  fs::remove_all(root_, ignored);
}

std::string Folder::path(const std::string& name) const { return root_ + "/" + name; }

void Folder::write(const std::string& name, const std::string& text) const {
  fs::create_directories(fs::path(path(name)).parent_path());
  std::ofstream(path(name), std::ios::binary) << text;
}

std::string Folder::read(const std::string& name) const { return read_whole(path(name)); }
bool Folder::has(const std::string& name) const { return fs::exists(path(name)); }

std::vector<std::string> Folder::names() const {
  std::vector<std::string> out;
  for (const auto& entry : fs::directory_iterator(root_))
    out.push_back(entry.path().filename().string());
  std::sort(out.begin(), out.end());
  return out;
}

std::string project(const std::string& below) {
  return std::string(PERREV_SOURCE_FOLDER "/") + below;
}

std::vector<std::string> case_paths() {
  std::vector<std::string> out;
  for (const auto& file : fs::directory_iterator(project("cases")))
    if (file.path().extension() == ".json") out.push_back(file.path().string());
  std::sort(out.begin(), out.end());
  return out;
}

std::string read_whole(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

}  // namespace perrev::test
