// docs/new-cause.md: every command as it stands there, and what it says comes.
#include <doctest/doctest.h>
#include <sys/wait.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include "tests/src/run_perrev.h"

using namespace perrev::test;
namespace fs = std::filesystem;

namespace {

struct Step {
  std::string command;
  std::string shown;
};

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    out.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return out;
}

// The commands of the page's console blocks, each with what is shown under it.
std::vector<Step> steps_of(const std::string& page) {
  std::vector<Step> out;
  bool inside = false, goes_on = false;
  for (const std::string& line : lines_of(page)) {
    if (line.rfind("```", 0) == 0) {
      CHECK((inside || line == "```console"));
      inside = !inside;
      continue;
    }
    if (!inside) continue;
    if (goes_on || line.rfind("$ ", 0) == 0) {
      if (!goes_on) out.emplace_back();
      out.back().command += (goes_on ? line : line.substr(2)) + "\n";
      goes_on = line.back() == '\\';
    } else {
      out.back().shown += line + "\n";
    }
  }
  CHECK(!inside);
  return out;
}

// `...` stands for anything.
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

// One shell for all commands, as a person's terminal is; what each printed, and how it ended.
std::vector<std::pair<std::string, int>> run_all(const Folder& folder,
                                                 const std::vector<Step>& steps) {
  std::string script = "cd \"" + folder.path("") + "\" || exit 1\n";
  for (const Step& step : steps) script += step.command + "printf '\\036%d\\036' $?\n";
  folder.write("page.sh", script);
  std::FILE* pipe = ::popen(("sh \"" + folder.path("page.sh") + "\" 2>&1").c_str(), "r");
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

}  // namespace

TEST_CASE("what is shown is held against what came") {
  CHECK(matches("a\nb\n", "a\nb\n"));
  CHECK(matches("a 7 b\nc\n", "a ... b\n...\n"));
  CHECK(matches("a\nb\nc\n", "a\n...\nc\n"));
  CHECK(!matches("a\nb\nc\n", "a\n...\nd\n"));
  CHECK(!matches("a\nb\n", "a\n"));
  CHECK(!matches("x\na\n", "a\n"));
  CHECK(matches("x\na\n", "...a\n"));
}

TEST_CASE("every command of docs/new-cause.md runs, ends well, and says what the page shows") {
  const Folder folder;
  fs::copy(project("rules"), folder.path("rules"), fs::copy_options::recursive);
  fs::copy(project("cases"), folder.path("cases"), fs::copy_options::recursive);
  fs::create_directories(folder.path("build/src"));
  fs::create_symlink(PERREV_BINARY, folder.path("build/src/perrev"));
  const std::vector<Step> steps = steps_of(read_whole(project("docs/new-cause.md")));
  const auto ran = run_all(folder, steps);
  REQUIRE(ran.size() == steps.size());
  for (std::size_t i = 0; i < steps.size(); ++i) {
    CAPTURE(steps[i].command);
    CAPTURE(ran[i].first);
    CHECK(ran[i].second == 0);
    CHECK(matches(ran[i].first, steps[i].shown));
  }
  CHECK(read_whole(project("docs/new-cause.md"))
            .find("There are " + std::to_string(steps.size()) + " commands") != std::string::npos);
}
