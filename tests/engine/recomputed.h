// Values held against what a script finds for them by other means, with scipy.
#pragma once

#include <doctest/doctest.h>
#include <sys/wait.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

namespace perrev::test {

struct Told {
  int code = -1;
  std::vector<std::string> lines;
  std::string text;
};

// What a script of tests/engine/ says of {"what", "inputs", "values"}; Debian's python3, for which
// python3-scipy is.
inline Told recomputed(const std::string& script, const nlohmann::json& all) {
  std::string folder = std::filesystem::temp_directory_path() / "perrev-values-XXXXXX";
  REQUIRE(::mkdtemp(folder.data()) != nullptr);
  const std::string file = folder + "/values.json";
  std::ofstream(file) << all.dump();
  const std::string command = "/usr/bin/python3 -B \"" PERREV_SOURCE_FOLDER "/tests/engine/" +
                              script + "\" \"" + file + "\" 2>&1";
  Told told;
  std::FILE* pipe = ::popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::array<char, 4096> buffer{};
  while (const std::size_t got = std::fread(buffer.data(), 1, buffer.size(), pipe))
    told.text.append(buffer.data(), got);
  const int status = ::pclose(pipe);
  told.code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  std::filesystem::remove_all(folder);
  std::istringstream lines(told.text);
  for (std::string line; std::getline(lines, line);) told.lines.push_back(line);
  return told;
}

// The script agrees with all of them, and sees it where the largest of each is off by that part.
inline void check_recomputed(const std::string& script, nlohmann::json all, double off_by) {
  const Told same = recomputed(script, all);
  INFO(same.text);
  REQUIRE(same.code == 0);
  REQUIRE(same.lines.size() == all.size());
  for (const std::string& line : same.lines) CHECK(line.find(" agrees ") != std::string::npos);

  for (nlohmann::json& one : all) {
    nlohmann::json* largest = &one["values"][0];
    for (nlohmann::json& value : one["values"])
      if (std::abs(value.get<double>()) > std::abs(largest->get<double>())) largest = &value;
    *largest = largest->get<double>() * (1.0 + off_by);
  }
  const Told off = recomputed(script, all);
  INFO(off.text);
  CHECK(off.code == 1);
  REQUIRE(off.lines.size() == all.size());
  for (const std::string& line : off.lines) CHECK(line.find(" differs ") != std::string::npos);
}

}  // namespace perrev::test
