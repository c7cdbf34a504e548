// The inputs of a fuzz target, seeds and what once broke its law, as an ordinary test.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace perrev::fuzz {

struct Target {
  std::string name;  // its inputs: tests/fuzz/NAME/
  std::string (*broken_law)(std::string_view);
  bool (*comes_through)(std::string_view);
  // At least so many inputs come through, and so many do not: seeds reach both sides.
  int through, refused;
};

// Checks that each input keeps the law.
void replay(const Target& target);

std::filesystem::path fuzz_folder();
std::string text_of(const std::filesystem::path& path);

}  // namespace perrev::fuzz
