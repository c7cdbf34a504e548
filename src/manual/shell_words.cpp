#include "src/manual/shell_words.h"

namespace perrev {

std::string shell_word(const std::string& text) {
  std::string out = "'";
  for (const char c : text) out += c == '\'' ? "'\\''" : std::string(1, c);
  return out + "'";
}

std::string shell_list(const std::vector<std::string>& words) {
  std::string out;
  for (const std::string& one : words) out += (out.empty() ? "" : " ") + one;
  return shell_word(out);
}

std::string shell_function(const std::string& words) {
  std::string out = "_" + words;
  for (char& c : out)
    if (c == ' ' || c == '-') c = '_';
  return out;
}

}  // namespace perrev
