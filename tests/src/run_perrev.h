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

}  // namespace perrev::test
