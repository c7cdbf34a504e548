// Runs the built program as a person would: arguments, standard input, what it prints and how it
// ends.
#pragma once

#include <sys/types.h>

#include <string>
#include <vector>

#include "tests/src/folder.h"

namespace perrev::test {

struct Ran {
  std::string out;
  std::string err;
  int code = -1;  // exit code; 128 + n when a signal n ended it
};

// `arguments` are passed as they are, no shell between. `before`: words of a program that starts
// it, as prlimit with its options.
Ran run_perrev(const std::vector<std::string>& arguments, const std::string& input = {},
               const std::vector<std::string>& before = {});

// The program while it runs; its standard error goes to a file, or nowhere.
class Running {
 public:
  explicit Running(const std::vector<std::string>& arguments,
                   const std::vector<std::string>& before = {},
                   const std::string& log = "/dev/null");
  ~Running();  // SIGTERM
  Running(const Running&) = delete;
  Running& operator=(const Running&) = delete;

  // What it has printed since the last call: up to where `text` was in it, or all that came within
  // `milliseconds`.
  std::string until(const std::string& text, int milliseconds = 20000);
  // Ends it; its exit code, 128 + n when a signal n ended it.
  int end(int signal);
  pid_t id() const { return child_; }

 private:
  pid_t child_ = -1;
  int out_ = -1;
  std::string got_;
};

}  // namespace perrev::test
