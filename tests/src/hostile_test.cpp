// What went wrong once when somebody tried to break it, each with the case that showed it.
#include <doctest/doctest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "src/commands/common.h"
#include "src/rules.h"
#include "tests/src/run_perrev.h"

using namespace perrev::test;
using Json = nlohmann::json;
namespace fs = std::filesystem;

namespace {

const std::string kEmpty = R"({"perrev_case": 1, "label": "", "entries": []})";

std::string with_entry(const std::string& entry) {
  return R"({"perrev_case": 1, "label": "", "entries": [)" + entry + "]}";
}

std::size_t lines(const std::string& text) {
  return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

// A copy of the shipped rules to spoil.
void copy_rules(const Folder& folder) {
  fs::copy(project("rules"), folder.path("rules"), fs::copy_options::recursive);
}

}  // namespace

TEST_CASE("a rule base is never loaded in part") {
  struct Row {
    std::string name;
    std::function<void(const Folder&)> spoil;
    std::string told;
  };
  const std::vector<Row> rows = {
      {"no evidence", [](const Folder& f) { fs::remove_all(f.path("rules/evidence")); },
       "the rule base has no rules"},
      {"another ending",
       [](const Folder& f) {
         fs::rename(f.path("rules/evidence/felt.yaml"), f.path("rules/evidence/felt.yml"));
       },
       "felt.yml: error: a rule file ends in .yaml"},
      {"a folder named like a file",
       [](const Folder& f) { fs::create_directory(f.path("rules/causes/x.yaml")); },
       "x.yaml: error: is no readable file"},
      {"a link to nothing",
       [](const Folder& f) { fs::create_symlink("nowhere", f.path("rules/causes/x.yaml")); },
       "x.yaml: error: is no readable file"},
      {"a pipe", [](const Folder& f) { ::mkfifo(f.path("rules/causes/x.yaml").c_str(), 0600); },
       "x.yaml: error: is no readable file"},
      {"schema below the top",
       [](const Folder& f) {
         fs::create_directory(f.path("rules/evidence/schema"));
         fs::rename(f.path("rules/evidence/felt.yaml"), f.path("rules/evidence/schema/felt.yaml"));
       },
       ""},
      {"a linked folder",
       [](const Folder& f) {
         fs::rename(f.path("rules/evidence"), f.path("elsewhere"));
         fs::create_directory_symlink(f.path("elsewhere"), f.path("rules/evidence"));
       },
       ""},
  };
  for (const Row& row : rows) {
    CAPTURE(row.name);
    const Folder folder;
    copy_rules(folder);
    row.spoil(folder);
    const Ran ran = run_perrev({"rules", "check", folder.path("rules"), "--json"});
    const Json out = Json::parse(ran.out);
    const Ran plain = run_perrev({"rules", "check", folder.path("rules")});
    if (row.told.empty()) {
      CHECK(plain.code == 0);
      CHECK(out["rules"] ==
            Json::parse(run_perrev({"rules", "check", project("rules"), "--json"}).out)["rules"]);
    } else {
      CHECK(plain.code == 1);
      CHECK(plain.err.find(row.told) != std::string::npos);
    }
  }
}

TEST_CASE("what an interview writes can always be opened again") {
  struct Row {
    std::string name, text, typed;
  };
  const std::string bay = R"("at": "2026-05-04T09:12:00Z", "by": "bay", )";
  const std::vector<Row> rows = {
      {"a tire that does not fit the one there",
       with_entry(R"({"id": "1", )" + bay +
                  R"("fact": "tire_size", "place": "right_front", "value": "265/70R17"})"),
       "Shakes\nno\nno\nno\n1\n1\n1\n1\n1\n1\n1\n225/40R18\n"},
      {"an id of seventeen digits",
       with_entry(R"({"id": "99999999999999999", )" + bay +
                  R"("fact": "nuts_loose", "value": "no"})"),
       "Shakes\nno\nno\nno\n"},
      {"the end of the year 9999",
       with_entry(
           R"({"id": "1", "at": "9999-12-31T23:59:59.5Z", "by": "bay", "fact": "nuts_loose", "value": "no"})"),
       "Shakes\nno\n"},
      {"an answer of 17 MB", kEmpty, std::string(17u << 20, 'x') + "\nShakes\nno\n"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.name);
    const Folder folder;
    folder.write("case.json", row.text);
    CHECK(run_perrev({"interview", folder.path("case.json")}, row.typed).code == 0);
    const Ran again = run_perrev({"diagnose", folder.path("case.json")});
    CHECK(again.err.empty());
    CHECK(again.code == 0);
  }
}

TEST_CASE("a line without an end ends the interview, with what was answered kept") {
  const Folder folder;
  const Ran ran =
      run_perrev({"interview", folder.path("case.json")}, "Shakes\n" + std::string(1u << 20, 'x'));
  CHECK(ran.code == 0);
  CHECK(ran.out.size() < 10000);
  CHECK(Json::parse(folder.read("case.json"))["entries"].size() == 1);
}

TEST_CASE("help and version that cannot be written are no success") {
  for (const char* words : {"--version", "--help", "bay --help"})
    CHECK(std::system(
              (std::string(PERREV_BINARY) + " " + words + " > /dev/full 2> /dev/null").c_str()) !=
          0);
}

TEST_CASE("nothing is kept in standard input") {
  const Ran ran = run_perrev({"bay", "runout", "--readings", "0.1,0.2,0.3,0.4 mm", "--place",
                              "left_front", "--case", "-", "--keep"},
                             kEmpty);
  CHECK(ran.code == 2);
  CHECK(ran.err.find("nothing can be kept in standard input") != std::string::npos);
}

TEST_CASE("a case that is not saved as UTF-8 is told so") {
  const Folder folder;
  folder.write("latin1.json", "{\"perrev_case\": 1, \"label\": \"M\xfcller\", \"entries\": []}");
  const Ran ran = run_perrev({"diagnose", folder.path("latin1.json")});
  CHECK(ran.code == 2);
  CHECK(ran.err.find("a byte that is not UTF-8; a file saved as UTF-8") != std::string::npos);
}

TEST_CASE("a case that changed meanwhile is not overwritten") {
  const Folder folder;
  folder.write("case.json", kEmpty);
  // Changed once the first question stands there, answered after that.
  const std::string in = folder.path("in"), out = folder.path("out");
  const std::string script =
      "mkfifo " + in + "; { " + PERREV_BINARY + " interview " + folder.path("case.json") + " <" +
      in + " >" + out + " 2>" + folder.path("err") + "; echo $? >" + folder.path("code") +
      "; } & exec 3>" + in + "; for i in $(seq 600); do grep -q '> ' " + out +
      " 2>/dev/null && break; sleep 0.05; done" +
      "; printf '{\"perrev_case\": 1, \"label\": \"theirs\", \"entries\": []}' >" +
      folder.path("case.json") + "; printf 'Shakes\\n' >&3; exec 3>&-; wait";
  REQUIRE(std::system(script.c_str()) == 0);
  CHECK(folder.read("code") == "2\n");
  CHECK(folder.read("err").find("was changed by somebody else meanwhile") != std::string::npos);
  CHECK(Json::parse(folder.read("case.json"))["label"] == "theirs");
}

TEST_CASE("what is added to a case is not written over what somebody else wrote meanwhile") {
  const Folder folder;
  const std::string path = folder.path("case.json");
  const auto base = perrev::load_rules(project("rules"));
  REQUIRE(base.ok());
  folder.write("case.json", kEmpty);
  const auto read = perrev::open_case(path, *base);
  REQUIRE(read.ok());
  perrev::Entry entry;
  entry.at = "2026-05-04T09:00:00Z";
  entry.fact = "worst_speed";
  entry.values = {"65 mph"};
  perrev::CaseFile longer = read->file;
  longer.add(entry);
  CHECK(perrev::write_longer(path, *read, longer, *base).empty());
  const std::string theirs = folder.read("case.json");
  CHECK(theirs.find("worst_speed") != std::string::npos);
  const auto refused = perrev::write_longer(path, *read, longer, *base);
  REQUIRE(refused.size() == 1);
  CHECK(refused[0].what == "was changed by somebody else meanwhile");
  CHECK(folder.read("case.json") == theirs);
  CHECK(folder.names() == std::vector<std::string>{"case.json"});
}

TEST_CASE("many that add to one case at once: what one of them said it kept is there") {
  const Folder folder;
  for (int round = 0; round < 3; ++round) {
    folder.write("case.json", kEmpty);
    folder.write("kept", "");
    const std::string script = "for i in 1 2 3 4 5 6 7 8 9 10 11 12; do { " +
                               std::string(PERREV_BINARY) +
                               " bay bearing-play --readings '0.00 mm, 0.08 mm' --bearing unit"
                               " --place left_front --keep --case " +
                               folder.path("case.json") + " >/dev/null 2>&1 && echo $i >>" +
                               folder.path("kept") + "; } & done; wait";
    REQUIRE(std::system(script.c_str()) == 0);
    const std::size_t kept = lines(folder.read("kept"));
    CHECK(kept > 0);
    const Json now = Json::parse(folder.read("case.json"), nullptr, false);
    REQUIRE(now.is_object());
    CHECK(now["entries"].size() == 2 * kept);  // each adds the kind of bearing and its play
  }
  CHECK(folder.names() == std::vector<std::string>{"case.json", "kept"});
}

TEST_CASE(
    "a killed interview leaves one file beside the case at most, and the next one takes it away") {
  const Folder folder;
  folder.write(".case.json.part", "half a case");
  folder.write("case.json", kEmpty);
  CHECK(run_perrev({"interview", folder.path("case.json")}, "Shakes\n").code == 0);
  CHECK(folder.names() == std::vector<std::string>{"case.json"});
}

TEST_CASE("a linked case stays a link, and rights stay as they were") {
  const Folder folder;
  folder.write("real.json", kEmpty);
  ::chmod(folder.path("real.json").c_str(), 0600);
  fs::create_symlink(folder.path("real.json"), folder.path("case.json"));
  CHECK(run_perrev({"interview", folder.path("case.json")}, "Shakes\n").code == 0);
  CHECK(fs::is_symlink(folder.path("case.json")));
  CHECK(Json::parse(folder.read("real.json"))["entries"].size() == 1);
  struct stat info{};
  ::stat(folder.path("real.json").c_str(), &info);
  CHECK((info.st_mode & 0777u) == 0600u);
}

TEST_CASE("a link in the place of kept trees is replaced, never written through") {
  const Folder folder;
  ::setenv("XDG_CACHE_HOME", folder.path("cache").c_str(), 1);
  ::setenv("PERREV_CACHE", "on", 1);
  const std::vector<std::string> diagnose = {"diagnose", project("cases/it_shakes.json")};
  run_perrev(diagnose);
  std::string name;
  for (const auto& entry : fs::directory_iterator(folder.path("cache/perrev")))
    name = entry.path().filename().string();
  fs::remove(folder.path("cache/perrev/" + name));
  folder.write("precious", "keep me");
  folder.write("cache/perrev/trees-of-mine.txt", "keep me too");
  fs::create_symlink(folder.path("precious"), folder.path("cache/perrev/" + name));
  CHECK(run_perrev(diagnose).code == 0);
  ::setenv("PERREV_CACHE", "off", 1);
  CHECK(folder.read("precious") == "keep me");
  CHECK(folder.read("cache/perrev/trees-of-mine.txt") == "keep me too");
}

TEST_CASE("a case of a million faults is told in a few lines") {
  const Folder folder;
  std::string entries = "0";
  for (int i = 0; i < 90000; ++i) entries += ",0";
  folder.write("zeros.json", with_entry(entries));
  const Ran zeros = run_perrev({"diagnose", folder.path("zeros.json")});
  CHECK(zeros.code == 2);
  CHECK(lines(zeros.err) <= 101);
  for (int i = 0; i < 20000; ++i) entries += ",0";
  folder.write("more.json", with_entry(entries));
  CHECK(run_perrev({"diagnose", folder.path("more.json")}).err.find("more than 100,000 entries") !=
        std::string::npos);
}

TEST_CASE("a NUL byte does not end a case") {
  const Folder folder;
  const std::string text = kEmpty + std::string("\0{\"keep me\"}", 12);
  folder.write("case.json", text);
  const Ran ran = run_perrev({"interview", folder.path("case.json")}, "Shakes\n");
  CHECK(ran.code == 2);
  CHECK(ran.err.find("a NUL byte") != std::string::npos);
  CHECK(folder.read("case.json") == text);
}

TEST_CASE("control characters of input never reach the terminal") {
  const Folder folder;
  folder.write(
      "case.json",
      "{\"perrev_case\": 1, \"label\": \"a\\u001b[31mRED\\u0007\\nSTOP: fake\", \"entries\": []}");
  for (const Ran& ran :
       {run_perrev({"diagnose", folder.path("case.json")}),
        run_perrev({"diagnose", folder.path("no\x1b[31m\nsuch")}),
        run_perrev({"interview", folder.path("new.json")}, "Shakes\n\x1b[31m\nno\n")}) {
    for (const std::string& text : {ran.out, ran.err})
      for (const char c : text) CHECK((c == '\n' || static_cast<unsigned char>(c) >= 0x20));
    CHECK(ran.out.find("\nSTOP: fake") == std::string::npos);
  }
}
