// Runs the built program as a person would: arguments, standard input, what it prints and how it
// ends.
#pragma once

#include <string>
#include <vector>

namespace perrev::test {

struct Ran {
  std::string out;
  std::string err;
  int code = -1;  // exit code; 128 + n when a signal n ended it
};

// `arguments` are passed as they are, no shell between.
Ran run_perrev(const std::vector<std::string>& arguments, const std::string& input = {});

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
