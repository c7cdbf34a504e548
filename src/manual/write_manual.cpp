// What the build runs to make the manual page and the completions:
//   perrev_manual man OUT FRAME | bash OUT | zsh OUT
#include <iostream>

#include "src/command_line.h"
#include "src/files.h"
#include "src/manual/writers.h"

namespace perrev {

namespace {

constexpr std::size_t kLargestFrame = 1u << 20;  // bytes

Problems write_manual(const std::vector<std::string>& words) {
  const auto kind = [&](const char* name, std::size_t count) {
    return words.size() == count && words[0] == name;
  };
  Action unused;
  const ToldCommand program = told(*command_line(unused));
  if (kind("bash", 2)) return write_file(words[1], bash_completion(program));
  if (kind("zsh", 2)) return write_file(words[1], zsh_completion(program));
  if (!kind("man", 3))
    return {problem("that is not how it is used", "man OUT FRAME, bash OUT or zsh OUT")};
  const auto frame = read_file(words[2], kLargestFrame);
  if (!frame) return {frame.error()};
  return write_file(words[1], man_page(program, *frame, PERREV_VERSION, PERREV_DATE));
}

}  // namespace

}  // namespace perrev

int main(int argc, char** argv) {
  const perrev::Problems problems = perrev::write_manual({argv + 1, argv + argc});
  for (const perrev::Problem& one : problems) std::cerr << one.text() << "\n";
  return problems.empty() ? 0 : 2;
}
