// Runs the built program as a person would: arguments, standard input, what it prints and how it
// ends.
#pragma once

#include <sys/types.h>

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

// The program while it runs; its standard error goes nowhere.
class Running {
 public:
  explicit Running(const std::vector<std::string>& arguments);
  ~Running();  // SIGTERM
  Running(const Running&) = delete;
  Running& operator=(const Running&) = delete;

  // What it has printed since the last call: up to where `text` was in it, or all that came within
  // `milliseconds`.
  std::string until(const std::string& text, int milliseconds = 20000);
  // Ends it; its exit code, 128 + n when a signal n ended it.
  int end(int signal);

 private:
  pid_t child_ = -1;
  int out_ = -1;
  std::string got_;
};

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
