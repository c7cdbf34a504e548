#include "engine/bench/draw.h"

namespace perrev {

int Drawing::vertex(const DrawnVertex& made) {
  for (std::size_t i = 0; i < vertices.size(); ++i)
    if (vertices[i].id == made.id) return static_cast<int>(i);
  vertices.push_back(made);
  return static_cast<int>(vertices.size()) - 1;
}

std::vector<std::string> label_lines(std::string_view text, std::size_t width) {
  std::vector<std::string> out;
  std::string line;
  for (std::size_t at = 0; at < text.size();) {
    std::size_t end = text.find(' ', at);
    if (end == std::string_view::npos) end = text.size();
    const std::string_view word = text.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    if (!line.empty() && line.size() + 1 + word.size() > width) {
      out.push_back(line);
      line.clear();
    }
    if (!line.empty()) line += ' ';
    line += word;
  }
  if (!line.empty()) out.push_back(line);
  return out;
}

void add_lines(std::vector<std::string>& to, std::string_view text, std::size_t width) {
  for (std::string& line : label_lines(text, width)) to.push_back(std::move(line));
}

}  // namespace perrev
