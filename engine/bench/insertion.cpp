#include "engine/bench/insertion.h"

#include <algorithm>

namespace perrev {

namespace {

std::vector<Insertion> sorted_for(std::string_view file, const std::vector<Insertion>& all) {
  std::vector<Insertion> out;
  for (const Insertion& each : all) {
    if (each.file != file) continue;
    auto after = out.end();
    while (after != out.begin() && each.at < (after - 1)->at) --after;
    out.insert(after, each);
  }
  return out;
}

std::size_t line_of(const std::string& text, std::size_t at) {
  return 1 + static_cast<std::size_t>(
                 std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
}

std::size_t line_begin(const std::string& text, std::size_t at) {
  return at == 0 ? 0 : text.rfind('\n', at - 1) + 1;  // npos + 1 is 0
}

std::string with_sign(char sign, const std::string& lines) {
  std::string out;
  for (std::size_t at = 0; at < lines.size();) {
    const std::size_t end = std::min(lines.find('\n', at), lines.size());
    out += "  ";
    out += sign;
    if (end > at) out += " " + lines.substr(at, end - at);
    out += "\n";
    at = end + 1;
  }
  return out;
}

}  // namespace

std::string with_insertions(std::string_view file, const std::string& text,
                            const std::vector<Insertion>& insertions) {
  std::string out;
  std::size_t from = 0;
  for (const Insertion& each : sorted_for(file, insertions)) {
    out.append(text, from, each.at - from);
    out += each.text;
    from = each.at;
  }
  return out.append(text, from, std::string::npos);
}

std::string listing(std::string_view file, const std::string& shown, const std::string& text,
                    const std::vector<Insertion>& insertions) {
  const std::vector<Insertion> mine = sorted_for(file, insertions);
  std::string out;
  for (std::size_t i = 0; i < mine.size();) {
    const std::size_t begin = line_begin(text, mine[i].at);
    const bool whole_lines = mine[i].at == begin;
    if (whole_lines) {
      out += shown + (text.empty() ? ", a new file:\n"
                                   : ", after line " +
                                         std::to_string(line_of(text, mine[i].at) - 1) + ":\n");
      const std::size_t at = mine[i].at;
      for (; i < mine.size() && mine[i].at == at; ++i) out += with_sign('+', mine[i].text);
      continue;
    }
    const std::size_t end = std::min(text.find('\n', mine[i].at), text.size());
    const std::string before = text.substr(begin, end - begin);
    std::vector<Insertion> in_line;
    for (; i < mine.size() && mine[i].at <= end; ++i)
      in_line.push_back({mine[i].file, mine[i].at - begin, mine[i].text});
    const std::string after = with_insertions(file, before, in_line);
    out += shown + ", line " + std::to_string(line_of(text, begin)) + ":\n";
    out += with_sign('-', before) + with_sign('+', after);
  }
  return out;
}

}  // namespace perrev
