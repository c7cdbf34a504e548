// Killed before every single system call that a write consists of: afterwards old or new, never
// half, and the next write goes well.
#include <doctest/doctest.h>
#include <sys/ptrace.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <functional>
#include <nlohmann/json.hpp>

#include "src/files.h"
#include "src/kept_trees.h"
#include "src/rules.h"
#include "tests/src/faults/disk.h"
#include "tests/src/run_perrev.h"
#include "tests/src/store/shop.h"

using namespace perrev;
using namespace perrev::test;
using Json = nlohmann::json;

namespace {

enum class End { killed, by_itself, not_traced };

// `work` in a child that is killed at its stop number `stop` for a system call (ptrace(2): one
// before and one after each).
End killed_at(int stop, const std::function<void()>& work) {
  const pid_t child = ::fork();
  if (child == 0) {
    if (::ptrace(PTRACE_TRACEME, 0, nullptr, nullptr) != 0) ::_exit(77);
    ::raise(SIGSTOP);
    work();
    ::_exit(0);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  if (!WIFSTOPPED(status)) return End::not_traced;
  ::ptrace(PTRACE_SETOPTIONS, child, nullptr, PTRACE_O_TRACESYSGOOD | PTRACE_O_EXITKILL);
  for (int stops = 0, signal = 0;;) {
    ::ptrace(PTRACE_SYSCALL, child, nullptr, signal);
    ::waitpid(child, &status, 0);
    if (!WIFSTOPPED(status)) return End::by_itself;
    const bool at_call = WSTOPSIG(status) == (SIGTRAP | 0x80);
    signal = at_call ? 0 : WSTOPSIG(status);
    if (!at_call || ++stops < stop) continue;
    ::kill(child, SIGKILL);
    ::waitpid(child, &status, 0);
    return End::killed;
  }
}

#if defined(PERREV_PLAIN_LOOPS)  // sanitizers look at memory, not at moments
constexpr int kStride = 8;
#else
constexpr int kStride = 1;
#endif

// Kills at each stop, or at one in so many, until the work ends by itself; `check` looks at what
// each kill left. How many kills there were.
int kill_everywhere(const std::function<void(int)>& work, const std::function<void(int)>& check,
                    int every = 1) {
  int kills = 0;
  for (int stop = 1;; stop += every, ++kills) {
    const End end = killed_at(stop, [&] { work(stop); });
    if (end == End::not_traced) {
      MESSAGE("this system lets the test trace nothing: " << std::strerror(errno));
      return 0;
    }
    CAPTURE(stop);
    check(stop);
    if (end == End::by_itself) return kills;
  }
}

}  // namespace

TEST_CASE("a file that is written is old or new at every moment") {
  const Folder folder;
  const std::string path = folder.path("case.json"), old(300000, 'o'), fresh(500000, 'n');
  folder.write("case.json", old);
  int olds = 0, news = 0;
  const int kills =
      kill_everywhere([&](int) { write_file(path, fresh); },
                      [&](int) {
                        const std::string now = folder.read("case.json");
                        CHECK((now == old || now == fresh));
                        ++(now == old ? olds : news);
                        CHECK(write_file(path, old).empty());
                        CHECK(folder.read("case.json") == old);
                        CHECK(folder.names() == std::vector<std::string>{"case.json"});
                      });
  if (kills == 0) return;
  CHECK(kills > 10);
  CHECK(olds > 0);
  CHECK(news > 0);
}

TEST_CASE("several files that are written: each is old or new, or lies whole beside its place") {
  const Folder folder;
  const auto set_back = [&] {
    for (const std::string name : {"a", "b"}) folder.write(name, "old " + name);
  };
  set_back();
  const int kills = kill_everywhere(
      [&](int) {
        write_files({{folder.path("a"), "old a", "new a"}, {folder.path("b"), "old b", "new b"}});
      },
      [&](int) {
        const bool begun = folder.read("a") == "new a" || folder.read("b") == "new b";
        for (const std::string name : {"a", "b"}) {
          const std::string now = folder.read(name);
          CHECK((now == "old " + name || now == "new " + name));
          if (begun && now == "old " + name)
            CHECK(folder.read("." + name + ".part") == "new " + name);
        }
        set_back();
      });
  if (kills > 0) CHECK(kills > 20);
}

TEST_CASE("what is kept of the rule base is whole or not there at every moment") {
  const Folder folder;
  ::setenv("XDG_CACHE_HOME", folder.path("cache").c_str(), 1);
  ::setenv("PERREV_CACHE", "on", 1);
  const std::vector<SourceFile> files = {{"a.yaml", "a.yaml", "one: {two: [3, 4]}\n"},
                                         {"b.yaml", "b.yaml", "five: six\n"}};
  std::vector<ParsedFile> parsed;
  for (const SourceFile& file : files) parsed.push_back(parse_file(file));
  int whole = 0, none = 0;
  const int kills = kill_everywhere([&](int) { keep_trees(parsed); },
                                    [&](int) {
                                      const auto kept = kept_trees(files);
                                      ++(kept ? whole : none);
                                      if (kept) CHECK(kept->size() == files.size());
                                      keep_trees(parsed);
                                      CHECK(kept_trees(files).has_value());
                                      std::filesystem::remove_all(folder.path("cache"));
                                    });
  ::setenv("PERREV_CACHE", "off", 1);
  if (kills == 0) return;
  CHECK(whole > 0);
  CHECK(none > 0);
}

TEST_CASE("additions to a store are all there or none, whichever call is the last") {
  const Folder folder;
  const Disk disk(folder.path("disk"), 16u << 20);  // where it works, flushes cost nothing
  const std::string file = folder.path("disk/shop.db");
  REQUIRE(Store::open(file, Store::Mode::create).ok());
  const auto id_of = [](int stop) { return "killed-" + std::to_string(stop); };
  int there = 0, absent = 0;
  const int kills = kill_everywhere(
      [&](int stop) {
        auto store = Store::open(file, Store::Mode::existing);
        if (store)
          (void)(*store)->change([&](Changes& changes) -> std::optional<Refused> {
            if (auto added = changes.add_case(id_of(stop), "{}"); !added) return added.error();
            auto added =
                changes.add_entries(id_of(stop), {words_entry("a", "1"), words_entry("b", "2")});
            return added ? std::nullopt : std::optional<Refused>(added.error());
          });
      },
      [&](int stop) {
        const auto store = Store::open(file, Store::Mode::existing);
        REQUIRE(store.ok());
        const auto text = (*store)->case_text(id_of(stop));
        if (!text)
          CHECK(text.error().kind == Refused::Kind::missing);
        else
          CHECK(Json::parse(text->text)["entries"].size() == 2);
        ++(text ? there : absent);
        if (stop % 16 == 1) CHECK(faults(**store) == "");
      },
      kStride);
  const auto store = Store::open(file, Store::Mode::existing);
  REQUIRE(store.ok());
  CHECK(faults(**store) == "");
  if (kills == 0) return;
  MESSAGE("killed at " << kills << " moments: " << absent << " without and " << there
                       << " with the additions");
  CHECK(there > 0);
  CHECK(absent > 20 / kStride);
}

TEST_CASE("an interview that is killed leaves a case that can be gone on with") {
  const Folder folder;
  const std::string path = folder.path("case.json");
  std::size_t entries = 0;
  for (int run = 1; run <= 25; ++run) {
    CAPTURE(run);
    const std::string seconds = "0." + std::to_string(100 + 17 * run);
    run_perrev({"interview", path}, "Shakes\nno\nno\nno\n1\nskip\nskip\nskip\n",
               {"timeout", "-s", "KILL", seconds});
    if (!folder.has("case.json")) continue;
    const Json now = Json::parse(folder.read("case.json"), nullptr, false);
    REQUIRE(now.is_object());
    CHECK(now["entries"].size() >= entries);
    entries = now["entries"].size();
  }
  // This one writes, and takes away what the last kill may have left.
  CHECK(run_perrev({"interview", path}, "unsure\n").code == 0);
  CHECK(run_perrev({"diagnose", path}).code == 0);
  CHECK(folder.names() == std::vector<std::string>{"case.json"});
}
