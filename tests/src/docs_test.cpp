// The pages: every command in them runs as it stands there and says what the page shows, every
// command and option they name is there, every link leads somewhere, every picture is what a
// command of its page draws.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <set>

#include "tests/src/docs_pages.h"
#include "tests/src/made_recordings.h"
#include "tests/src/run_perrev.h"

using namespace perrev::test;
namespace fs = std::filesystem;

namespace {

// What a page takes for granted: the files of the shop, of last year, of a logger.
const std::map<std::string, std::string> kBefore = {
    {"docs/store.md", "perrev store import cases/shakes_at_sixty_two.json --as k3v7qa-1"},
    {"docs/trainer.md",
     "perrev store import cases/shakes_at_sixty_two.json --store shop.db && "
     "cp -r rules ../rules_of_last_year && git init -q . && git add rules cases && "
     "git -c user.name=a -c user.email=a@b commit -qm rules && git tag v1.4"}};

// What would go on until somebody ends it, ask somebody, or take minutes, and how it is run here.
struct Instead {
  std::string page, part, by;
};
const std::vector<Instead> kInstead = {
    {"docs/server.md", "perrev serve --open",
     "timeout --foreground --preserve-status -s INT 3 perrev serve --port 0"},
    {"docs/simulated.md", "--score 5000", "--score 20"},
    {"docs/simulated.md", "--score-recordings 400", "--score-recordings 3"},
    {"docs/trainer.md", "perrev rules new cause", "perrev rules new cause --help"},
    {"docs/trainer.md", "perrev rules test rules --watch",
     "timeout -s KILL 30 perrev rules test rules --watch | head -n 1"},
};

// Programs that build, install or test this program: the tests do not run themselves.
bool is_of_the_build(const std::string& line) {
  const std::string first = line.substr(0, line.find(' '));
  if (first != "bash")
    return first == "cmake" || first == "node" || first == "CXX=clang++-19" ||
           first == "build/tests/speed/perrev_speed" || line == "cd build && cpack -G DEB";
  const std::string script = line.substr(5, line.find(' ', 5) - 5);
  CHECK(fs::exists(project(script)));
  return true;
}

// A folder as that of the program's source is to a reader.
class Reader {
 public:
  explicit Reader(const std::string& page) {
    fs::create_directories(folder.path("perrev/build/src"));
    fs::copy(project("rules"), folder.path("perrev/rules"), fs::copy_options::recursive);
    fs::copy(project("cases"), folder.path("perrev/cases"), fs::copy_options::recursive);
    fs::create_symlink(PERREV_BINARY, folder.path("perrev/build/src/perrev"));
    if (page != "docs/write-up.md")
      fs::copy(project("cases/shakes_at_sixty_two.json"), folder.path("perrev/my-case.json"));
    if (page == "docs/recording.md") {
      folder.write("perrev/logger.csv", logger_csv(27.0, 40.0));
      folder.write("perrev/speed.csv", speeds_csv(27.0, 40.0));
    }
    lines_ = {
        "cd perrev && export HOME=\"$PWD/..\" XDG_DATA_HOME=\"$PWD/../data\" "
        "PERREV_CACHE=off PERREV_RULES=\"$PWD/rules\" PATH=\"$PWD/build/src:$PATH\""};
    if (const auto more = kBefore.find(page); more != kBefore.end()) lines_.push_back(more->second);
    before_ = lines_.size();
  }

  // What comes of each command that is run, and which they are.
  std::vector<std::pair<std::string, int>> run(const std::string& page,
                                               std::vector<PageCommand>& commands) {
    std::erase_if(commands, [](const PageCommand& of) { return is_of_the_build(of.line); });
    for (const PageCommand& command : commands) {
      std::string line = command.line;
      for (const Instead& instead : kInstead)
        if (const std::size_t at = line.find(instead.part);
            instead.page == page && at != std::string::npos)
          line.replace(at, instead.part.size(), instead.by);
      lines_.push_back(line);
    }
    auto ran = run_all(folder, lines_);
    for (std::size_t i = 0; i < before_ && i < ran.size(); ++i) {
      CAPTURE(ran[i].first);
      CHECK(ran[i].second == 0);
    }
    ran.erase(ran.begin(), ran.begin() + static_cast<std::ptrdiff_t>(before_));
    return ran;
  }

  Folder folder;

 private:
  std::vector<std::string> lines_;
  std::size_t before_ = 0;
};

void run_page(const std::string& page) {
  std::vector<PageCommand> commands = commands_of(read_whole(project(page)));
  if (commands.empty()) return;
  Reader reader(page);
  const auto ran = reader.run(page, commands);
  REQUIRE(ran.size() == commands.size());
  for (std::size_t i = 0; i < commands.size(); ++i) {
    CAPTURE(commands[i].line);
    CAPTURE(ran[i].first);
    CHECK(ran[i].second == 0);
    if (commands[i].is_shown) CHECK(matches(ran[i].first, commands[i].shown));
  }
  for (const PageLink& link : links_of(read_whole(project(page)))) {
    const std::string drawn = "perrev/" + fs::path(link.target).filename().string();
    if (!link.is_picture || !reader.folder.has(drawn)) continue;
    CAPTURE(link.target);
    CHECK(reader.folder.read(drawn) == read_whole(project("docs/" + link.target)));
  }
}

// "rules check" of "perrev rules check rules --json", and its options; help by command.
struct Named {
  std::string command;
  std::vector<std::string> options;
};

const std::string& help_of(const std::string& command) {
  static std::map<std::string, std::string> kept;
  const auto [at, fresh] = kept.try_emplace(command);
  if (fresh) {
    std::vector<std::string> arguments;
    for (std::size_t from = 0; from < command.size();) {
      const std::size_t end = std::min(command.find(' ', from), command.size());
      arguments.push_back(command.substr(from, end - from));
      from = end + 1;
    }
    arguments.emplace_back("--help");
    const Ran ran = run_perrev(arguments);
    at->second = ran.code == 0 ? ran.out : std::string();
  }
  return at->second;
}

bool has_subcommand(const std::string& command, const std::string& word) {
  const std::string& help = help_of(command);
  const std::size_t list = help.find("\nSubcommands:\n");
  return list != std::string::npos && help.find("\n  " + word + " ", list) != std::string::npos;
}

Named named_in(const std::string& span) {
  Named out;
  bool below = true;
  std::size_t from = span.find(' ') + 1;
  if (from == 0) return out;
  while (from < span.size()) {
    const std::size_t end = std::min(span.find(' ', from), span.size());
    const std::string word = span.substr(from, end - from);
    below = below && has_subcommand(out.command, word);
    if (below) out.command += (out.command.empty() ? "" : " ") + word;
    if (word.rfind("--", 0) == 0) out.options.push_back(word.substr(0, word.find('=')));
    from = end + 1;
  }
  return out;
}

// Commands that have no commands below them.
std::vector<std::string> all_commands(const std::string& above = {}) {
  std::vector<std::string> out;
  const std::string& help = help_of(above);
  const std::size_t list = help.find("\nSubcommands:\n");
  if (list == std::string::npos) return {above};
  for (const std::string& line : lines_of(help.substr(list + 14))) {
    if (line.empty()) break;
    if (line.rfind("   ", 0) == 0) continue;
    const std::string name = line.substr(2, line.find(' ', 2) - 2);
    for (const std::string& each : all_commands(above.empty() ? name : above + " " + name))
      out.push_back(each);
  }
  return out;
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

TEST_CASE("commands are found in blocks of any kind, whole, without remarks") {
  const auto found = commands_of(
      "Text `perrev no`:\n\n    perrev a \\\n        --b\n    perrev c    # remark\n\n"
      "Text.\n\n    {\"json\": 1}\n\n```yaml\n- rule: x\n```\n\n```console\n$ perrev "
      "d\nshown\n```\n");
  REQUIRE(found.size() == 3);
  CHECK(found[0].line == "perrev a \\\n    --b");
  CHECK(found[1].line == "perrev c");
  CHECK(!found[1].is_shown);
  CHECK(found[2].line == "perrev d");
  CHECK(found[2].shown == "shown\n");
}

TEST_CASE("every command of the pages runs, ends well, and says what the page shows") {
  std::size_t with_commands = 0;
  for (const std::string& page : pages()) {
    CAPTURE(page);
    if (!commands_of(read_whole(project(page))).empty()) ++with_commands;
    run_page(page);
  }
  CHECK(with_commands > 10);
  for (const Instead& instead : kInstead) {  // none that no page has any more
    CAPTURE(instead.part);
    CHECK(read_whole(project(instead.page)).find(instead.part) != std::string::npos);
  }
}

TEST_CASE("every case that a page shows can be diagnosed") {
  int cases = 0;
  for (const std::string& page : pages())
    for (const std::string& block : blocks_in(read_whole(project(page)))) {
      if (block.rfind("{\"perrev_case\"", 0) != 0) continue;
      ++cases;
      const Ran ran = run_perrev({"diagnose", "-"}, block);
      CAPTURE(page);
      CAPTURE(ran.err);
      CHECK(ran.code == 0);
    }
  CHECK(cases > 0);
}

TEST_CASE("docs/new-cause.md counts its commands right") {
  const std::string page = read_whole(project("docs/new-cause.md"));
  CHECK(page.find("There are " + std::to_string(commands_of(page).size()) + " commands") !=
        std::string::npos);
}

TEST_CASE("every command and option that a page names is there, and every command is named") {
  std::set<std::string> named;
  for (const std::string& page : pages()) {
    CAPTURE(page);
    const std::string text = read_whole(project(page));
    std::vector<std::string> lines = spans_of(text);
    for (const PageCommand& command : commands_of(text)) lines.push_back(command.line);
    for (const std::string& line : lines) {
      const bool here = line.rfind("perrev ", 0) == 0 || line.rfind("build/src/perrev ", 0) == 0;
      if (!here) continue;
      CAPTURE(line);
      const Named found = named_in(line);
      named.insert(found.command);
      CHECK((!found.command.empty() || line.rfind("perrev -", 0) == 0 ||
             line.find("COMMAND") != std::string::npos));
      for (const std::string& option : found.options) {
        CAPTURE(option);
        CHECK((option == "--help" || help_of(found.command).find(option) != std::string::npos));
      }
    }
  }
  const std::string bay = read_whole(project("docs/bay.md"));
  for (const std::string& command : all_commands()) {
    CAPTURE(command);
    const bool in_table = command.rfind("bay ", 0) == 0 &&
                          bay.find("`" + command.substr(4) + "`") != std::string::npos;
    CHECK((named.count(command) == 1 || in_table));
  }
}

TEST_CASE("the help of every command has an example of it") {
  for (const std::string& command : all_commands()) {
    CAPTURE(command);
    CHECK(help_of(command).find("Example: perrev " + command) != std::string::npos);
  }
}

TEST_CASE("every link of a page leads somewhere, and README.md leads to every page") {
  std::set<std::string> reached;
  for (const std::string& page : pages()) {
    CAPTURE(page);
    const fs::path here = fs::path(page).parent_path();
    for (const PageLink& link : links_of(read_whole(project(page)))) {
      CAPTURE(link.target);
      CAPTURE(link.anchor);
      const std::string to =
          link.target.empty() ? page : (here / link.target).lexically_normal().generic_string();
      REQUIRE(fs::exists(project(to)));
      if (page == "README.md") reached.insert(to);
      if (link.is_picture) CHECK(fs::file_size(project(to)) < 150000);
      if (link.anchor.empty()) continue;
      const auto anchors = anchors_of(read_whole(project(to)));
      CHECK(std::find(anchors.begin(), anchors.end(), link.anchor) != anchors.end());
    }
  }
  for (const std::string& page : pages()) {
    CAPTURE(page);
    CHECK((page == "README.md" || reached.count(page) == 1));
  }
}
