// Files of tests: those of a folder of its own, and the project's.
#pragma once

#include <string>
#include <vector>

namespace perrev::test {

// A folder of its own for one test, removed when the object goes.
class Folder {
 public:
  Folder();
  ~Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  std::string path(const std::string& name) const;
  void write(const std::string& name, const std::string& text) const;
  std::string read(const std::string& name) const;
  bool has(const std::string& name) const;
  std::vector<std::string> names() const;  // sorted

 private:
  std::string root_;
};

// The project's folder in the source tree.
std::string project(const std::string& below);
// Of all reference cases, sorted.
std::vector<std::string> case_paths();
std::string read_whole(const std::string& path);

}  // namespace perrev::test
