// A disk without room, one that cannot be written, and a limit on the size of files: what is
// written is there whole or as it was before, and the reason is told.
#include "tests/src/faults/disk.h"

#include <doctest/doctest.h>
#include <sys/mount.h>

#include <algorithm>
#include <csignal>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>

#include "tests/src/run_perrev.h"
#include "tests/src/server/serving.h"
#include "tests/src/store/shop.h"

using namespace perrev;
using namespace perrev::test;
using Json = nlohmann::json;
namespace fs = std::filesystem;

namespace {

constexpr std::size_t kMiB = 1u << 20;

struct Command {
  std::vector<std::string> arguments;
  std::string input{};
};

// A folder with everything that the commands write into, and the commands.
class Desk {
 public:
  explicit Desk(const Folder& folder, const std::string& at) : at_(at) {
    run({"simulate", "--seed", "3", "--cause", "static_imbalance", "--recording",
         folder.path("drive.csv")});
    fs::create_directories(at);
    fs::copy(project("cases/it_shakes.json"), in("case.json"));
    fs::copy(project("rules"), in("rules"), fs::copy_options::recursive);
    run({"store", "import", in("case.json"), "--as", "case-one", "--store", store()});
    commands_ = {
        {{"interview", in("case.json"), "--by", "bay"}, "no\nno\nno\n"},
        {{"interview", in("new.json")}, "Shakes\n"},
        {{"bay", "bearing-play", "--readings", "0.00 mm, 0.08 mm", "--bearing", "unit", "--place",
          "left_front", "--case", in("case.json"), "--keep"}},
        {{"recording", "add", folder.path("drive.csv"), in("case.json")}},
        {{"recording", "orders", folder.path("drive.csv"), "--spectrum", in("spectrum.svg")}},
        {{"report", in("case.json"), "--out", in("report.html")}},
        {{"simulate", "--seed", "5", "--out", in("made")}},
        {{"rules", "new", "rule", "said", "--when", "under_car:bangs", "--for",
          "static_imbalance:some", "--because", "It bangs.", "--origin", "from memory", "--yes",
          "--rules", in("rules")}},
        {{"store", "export", "--to", in("exported"), "--store", store()}},
        {{"store", "backup", in("copy.db"), "--store", store()}},
        {{"store", "import", project("cases/shakes_after_new_tires.json"), "--store",
          in("other.db")}},
    };
  }

  std::string in(const std::string& name) const { return at_ + "/" + name; }
  std::string store() const { return in("shop.db"); }
  const std::vector<Command>& commands() const { return commands_; }
  // Every file, with its bytes; but not the stores and what SQLite keeps beside them.
  std::map<std::string, std::string> bytes() const {
    std::map<std::string, std::string> out;
    for (const auto& each : fs::recursive_directory_iterator(at_)) {
      const std::string name = each.path().string();
      if (each.is_regular_file() && name.find("shop.db") == std::string::npos &&
          name.find("other.db") == std::string::npos && name.find("filler") == std::string::npos)
        out[name] = read_whole(name);
    }
    return out;
  }
  // Each command fails as it should and changes nothing.
  void all_fail(const std::vector<std::string>& whys,
                const std::vector<std::string>& before) const {
    const auto then = bytes();
    for (const Command& one : commands_) {
      CAPTURE(one.arguments[0]);
      CAPTURE(one.arguments[1]);
      const Ran ran = run_perrev(one.arguments, one.input, before);
      CAPTURE(ran.err);
      CHECK(ran.code == 2);
      CHECK(std::any_of(whys.begin(), whys.end(), [&](const std::string& why) {
        return ran.err.find(why) != std::string::npos;
      }));
      CHECK(bytes() == then);
    }
  }
  void all_go_well() const {
    for (const Command& one : commands_) {
      CAPTURE(one.arguments[0]);
      CAPTURE(one.arguments[1]);
      const Ran ran = run_perrev(one.arguments, one.input);
      CAPTURE(ran.err);
      CHECK(ran.code == 0);
    }
    CHECK(run_perrev({"diagnose", in("case.json")}).code == 0);
    CHECK(run_perrev({"rules", "check", in("rules")}).code == 0);
    CHECK(run_perrev({"store", "check", "--store", store()}).code == 0);
    CHECK(run_perrev({"store", "check", "--store", in("copy.db")}).code == 0);
  }

 private:
  static void run(const std::vector<std::string>& arguments) {
    const Ran ran = run_perrev(arguments);
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
  }
  std::string at_;
  std::vector<Command> commands_;
};

std::string entry(const std::string& id, const std::string& value) {
  return "{\"entries\":[" + words_entry(id, value) + "]}";
}

}  // namespace

TEST_CASE("on a full disk every command says so and leaves all as it was; with room it goes well") {
  const Folder folder;
  const Disk disk(folder.path("disk"), 16 * kMiB);
  if (!disk.works()) return;  // the next test needs no disk
  const Desk desk(folder, folder.path("disk/desk"));
  disk.fill();
  desk.all_fail({"No space left on device", "no room to write"}, {});
  disk.empty();
  desk.all_go_well();
}

TEST_CASE("where no file may grow (RLIMIT_FSIZE), likewise") {
  const Folder folder;
  const Desk desk(folder, folder.path("desk"));
  desk.all_fail({"File too large"}, {"prlimit", "--fsize=16"});
  desk.all_go_well();
}

TEST_CASE("on a disk that cannot be written every command says so; reading goes on") {
  const Folder folder;
  const Disk disk(folder.path("disk"), 16 * kMiB);
  if (!disk.works()) return;
  const Desk desk(folder, folder.path("disk/desk"));
  REQUIRE(run_perrev({"store", "backup", desk.in("backup.db"), "--store", desk.store()}).code == 0);
  disk.read_only(true);
  const auto before = desk.bytes();
  for (const Command& one : desk.commands()) {
    CAPTURE(one.arguments[0]);
    CAPTURE(one.arguments[1]);
    const Ran ran = run_perrev(one.arguments, one.input);
    CAPTURE(ran.err);
    CHECK(ran.code == 2);
    CHECK(!ran.err.empty());
    if (one.arguments[0] != "store")
      CHECK(ran.err.find("Read-only file system") != std::string::npos);
  }
  CHECK(desk.bytes() == before);
  CHECK(run_perrev({"diagnose", desk.in("case.json"), "--rules", desk.in("rules")}).code == 0);
  CHECK(run_perrev({"report", desk.in("case.json")}).code == 0);
  // A backup is read where it lies; so is what was in it checked.
  const std::string backup = desk.in("backup.db");
  const Ran exported = run_perrev({"store", "export", "case-one", "--store", backup});
  CHECK(exported.code == 0);
  CHECK(Json::parse(exported.out)["entries"] ==
        Json::parse(read_whole(desk.in("case.json")))["entries"]);
  CHECK(run_perrev({"store", "check", "--store", backup}).code == 0);
  const Ran served = run_perrev({"serve", "--store", backup, "--port", "0"});
  CHECK(served.code == 2);
  CHECK(served.err.find("Read-only file system") != std::string::npos);
  disk.read_only(false);
  desk.all_go_well();
}

TEST_CASE("a kept rule base that finds no room or no right to be kept stops nothing") {
  const Folder folder;
  const Disk disk(folder.path("disk"), kMiB);
  if (!disk.works()) return;
  const std::vector<std::string> with_cache = {"env", "PERREV_CACHE=on",
                                               "XDG_CACHE_HOME=" + folder.path("disk")};
  const std::vector<std::string> diagnose = {"diagnose", project("cases/it_shakes.json")};
  const Ran ran = run_perrev(diagnose);
  REQUIRE(ran.code == 0);
  disk.fill();
  CHECK(run_perrev(diagnose, {}, with_cache).out == ran.out);
  disk.empty();
  disk.read_only(true);
  CHECK(run_perrev(diagnose, {}, with_cache).out == ran.out);
  disk.read_only(false);
}

TEST_CASE("a server whose disk is full refuses to add, reads on, and adds when there is room") {
  const Folder folder;
  const Disk disk(folder.path("disk"), 16 * kMiB);
  if (!disk.works()) return;
  const std::string store = folder.path("disk/shop.db");
  Serving server(store);
  REQUIRE(ask(server, "PUT", "/api/cases/case-one", "{}").status == 201);
  REQUIRE(ask(server, "POST", "/api/cases/case-one/entries", entry("a-0", "hums")).status == 200);
  disk.fill();
  const std::string large(12000, 'x');
  int accepted = 1, refused = 0;
  for (int i = 1; i <= 30; ++i) {  // the log beside the store may have a little room of its own
    const Answer answer =
        ask(server, "POST", "/api/cases/case-one/entries", entry("a-" + std::to_string(i), large));
    if (answer.status == 200) {
      ++accepted;
      continue;
    }
    ++refused;
    CHECK(answer.status == 503);
    CHECK(answer.body.find("no room to write") != std::string::npos);
  }
  CHECK(refused > 0);
  const Answer read = ask(server, "GET", "/api/cases/case-one");
  CHECK(read.status == 200);
  CHECK(Json::parse(read.body)["case"]["entries"].size() == static_cast<std::size_t>(accepted));
  CHECK(ask(server, "GET", "/api/cases/case-one/diagnosis").status == 200);
  disk.empty();
  CHECK(ask(server, "POST", "/api/cases/case-one/entries", entry("b-1", large)).status == 200);
  CHECK(server.end(SIGTERM) == 0);
  CHECK(run_perrev({"store", "check", "--store", store}).code == 0);
}
