#include "tests/src/docs_pages.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdio>
#include <filesystem>
#include <string_view>

#include "tests/src/folder.h"

namespace perrev::test {

namespace {

constexpr std::array<std::string_view, 10> kPrograms = {"perrev",
                                                        "build/src/perrev",
                                                        "build/tests/speed/perrev_speed",
                                                        "bash",
                                                        "cmake",
                                                        "cd",
                                                        "node",
                                                        "export",
                                                        "mkdir",
                                                        "CXX=clang++-19"};

// A code block's lines, without fence and indent.
using Block = std::vector<std::string>;

// Blocks, and the lines outside of them in `rest`.
std::vector<Block> blocks_of(const std::string& page, std::string& rest) {
  std::vector<Block> out;
  bool fenced = false, indented = false, after_blank = true;
  for (const std::string& line : lines_of(page)) {
    const bool blank = line.find_first_not_of(' ') == std::string::npos;
    if (line.rfind("```", 0) == 0) {
      fenced = !fenced;
      if (fenced) out.emplace_back();
    } else if (fenced) {
      out.back().push_back(line);
    } else if (line.rfind("    ", 0) == 0 && (indented || after_blank)) {
      if (!indented) out.emplace_back();
      indented = true;
      out.back().push_back(line.substr(4));
    } else {
      indented = indented && blank;
      rest += line + "\n";
    }
    after_blank = blank;
  }
  CHECK(!fenced);
  return out;
}

std::string without_remark(const std::string& line) {
  const std::string out = line.substr(0, line.find("  # "));
  return out.substr(0, out.find_last_not_of(' ') + 1);
}

}  // namespace

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    out.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return out;
}

std::vector<std::string> pages() {
  std::vector<std::string> out = {"README.md", "DEVELOPERS.md"};
  for (const auto& each : std::filesystem::directory_iterator(project("docs")))
    if (each.path().extension() == ".md") out.push_back("docs/" + each.path().filename().string());
  std::sort(out.begin(), out.end());
  return out;
}

bool is_command(const std::string& line) {
  return std::find(kPrograms.begin(), kPrograms.end(), line.substr(0, line.find(' '))) !=
         kPrograms.end();
}

std::vector<PageCommand> commands_of(const std::string& page) {
  std::vector<PageCommand> out;
  std::string rest;
  for (const Block& block : blocks_of(page, rest)) {
    const bool prompts = std::any_of(block.begin(), block.end(), [](const std::string& line) {
      return line.rfind("$ ", 0) == 0;
    });
    if (!prompts && !is_command(block.front())) continue;
    bool goes_on = false;
    for (const std::string& whole : block) {
      const bool begins = !prompts || whole.rfind("$ ", 0) == 0;
      const std::string line = prompts ? whole : without_remark(whole);
      if (goes_on) {
        out.back().line += "\n" + line;
      } else if (begins && !line.empty()) {
        out.push_back({prompts ? line.substr(2) : line, {}, prompts});
        CAPTURE(line);
        CHECK(is_command(out.back().line));
      } else if (prompts) {
        out.back().shown += line + "\n";
        continue;
      }
      goes_on = !line.empty() && line.back() == '\\';
    }
  }
  return out;
}

std::vector<std::string> blocks_in(const std::string& page) {
  std::vector<std::string> out;
  std::string rest;
  for (const Block& block : blocks_of(page, rest)) {
    out.emplace_back();
    for (const std::string& line : block) out.back() += line + "\n";
  }
  return out;
}

std::vector<PageLink> links_of(const std::string& page) {
  std::vector<PageLink> out;
  std::string rest;
  blocks_of(page, rest);
  for (std::size_t at = 0; (at = rest.find("](", at)) != std::string::npos; ++at) {
    std::string target = rest.substr(at + 2, rest.find(')', at) - at - 2), anchor;
    if (target.find("://") != std::string::npos) continue;
    if (const std::size_t hash = target.find('#'); hash != std::string::npos) {
      anchor = target.substr(hash + 1);
      target.resize(hash);
    }
    const std::size_t open = rest.rfind('[', at);
    out.push_back({target, anchor, open > 0 && rest[open - 1] == '!'});
  }
  return out;
}

std::vector<std::string> anchors_of(const std::string& page) {
  std::vector<std::string> out;
  std::string rest;
  blocks_of(page, rest);
  for (const std::string& line : lines_of(rest)) {
    if (line.rfind("#", 0) != 0) continue;
    std::string anchor;
    for (const char c : line.substr(line.find(' ') + 1))
      if (c == ' ' || c == '-')
        anchor += '-';
      else if (std::isalnum(static_cast<unsigned char>(c)) || c == '_')
        anchor += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    out.push_back(anchor);
  }
  return out;
}

std::vector<std::string> spans_of(const std::string& page) {
  std::vector<std::string> out;
  std::string rest;
  blocks_of(page, rest);
  std::size_t at = 0;
  while ((at = rest.find('`', at)) != std::string::npos) {
    const std::size_t end = rest.find('`', at + 1);
    if (end == std::string::npos) break;
    std::string span = rest.substr(at + 1, end - at - 1);
    std::replace(span.begin(), span.end(), '\n', ' ');
    out.push_back(span);
    at = end + 1;
  }
  return out;
}

bool matches(const std::string& came, const std::string& shown) {
  std::size_t at = 0, from = 0;
  for (bool first = true; from <= shown.size(); first = false) {
    const std::size_t dots = std::min(shown.find("...", from), shown.size());
    const std::string part = shown.substr(from, dots - from);
    const bool last = dots == shown.size();
    const std::size_t found =
        first  ? (came.rfind(part, 0) == 0 ? 0 : std::string::npos)
        : last ? (came.size() >= at + part.size() &&
                          came.compare(came.size() - part.size(), part.size(), part) == 0
                      ? came.size() - part.size()
                      : std::string::npos)
               : came.find(part, at);
    if (found == std::string::npos) return false;
    at = found + part.size();
    if (last) return at == came.size();
    from = dots + 3;
  }
  return true;
}

std::vector<std::pair<std::string, int>> run_all(const Folder& folder,
                                                 const std::vector<std::string>& lines) {
  std::string script = "cd \"" + folder.path("") + "\" || exit 1\n";
  for (const std::string& line : lines) script += line + "\nprintf '\\036%d\\036' $?\n";
  folder.write("page.sh", script);
  std::FILE* pipe = ::popen(("sh \"" + folder.path("page.sh") + "\" 2>&1 </dev/null").c_str(), "r");
  REQUIRE(pipe);
  std::string all;
  char buffer[4096];
  for (std::size_t got; (got = std::fread(buffer, 1, sizeof buffer, pipe)) > 0;)
    all.append(buffer, got);
  CHECK(::pclose(pipe) == 0);
  std::vector<std::pair<std::string, int>> out;
  for (std::size_t at = 0;;) {
    const std::size_t mark = all.find('\036', at);
    if (mark == std::string::npos) return out;
    const std::size_t end = all.find('\036', mark + 1);
    out.emplace_back(all.substr(at, mark - at), std::stoi(all.substr(mark + 1, end - mark - 1)));
    at = end + 1;
  }
}

}  // namespace perrev::test
