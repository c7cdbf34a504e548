// `perrev store` as a person uses it.
#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "engine/casefile/casefile.h"
#include "tests/src/run_perrev.h"

using namespace perrev::test;
using Json = nlohmann::json;

namespace {

const std::string kCase = R"({
  "perrev_case": 1,
  "label": "van",
  "entries": [
    {
      "id": "1",
      "at": "2026-05-04T09:12:00Z",
      "by": "write_up",
      "fact": "complaint_words",
      "value": "it hums"
    }
  ]
}
)";

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  text.replace(text.find(from), from.size(), to);
  return text;
}

}  // namespace

TEST_CASE("import, export, import again: the same files, nothing added twice") {
  const Folder folder;
  const std::string store = folder.path("shop.db"), copy = folder.path("copy.db");
  std::vector<std::string> import = {"store", "import", "--store", store, "--json"};
  const std::vector<std::string> paths = case_paths();
  constexpr std::size_t files = 20;
  import.insert(import.end(), paths.begin(), paths.begin() + files);
  const Ran first = run_perrev(import);
  CHECK(first.err == "");
  REQUIRE(first.code == 0);
  CHECK(Json::parse(first.out)["imported"].size() == files);
  const Json twice = Json::parse(run_perrev(import).out);
  REQUIRE(twice["imported"].size() == files);
  for (const auto& one : twice["imported"]) CHECK(one["added"] == 0);
  const Ran out =
      run_perrev({"store", "export", "--store", store, "--to", folder.path("out"), "--json"});
  REQUIRE(out.code == 0);
  const Json written = Json::parse(out.out)["written"];
  std::vector<std::string> again = {"store", "import", "--store", copy, "--keep-ids"};
  for (const auto& one : written) again.push_back(one["file"]);
  REQUIRE(again.size() == files + 5);
  REQUIRE(run_perrev(again).code == 0);
  REQUIRE(run_perrev({"store", "export", "--store", copy, "--to", folder.path("out2")}).code == 0);
  for (const auto& one : written) {
    const std::string name = std::filesystem::path(std::string(one["file"])).filename();
    CHECK(folder.read("out/" + name) == folder.read("out2/" + name));
    const auto read = perrev::CaseFile::parse(name, folder.read("out/" + name));
    REQUIRE(read.ok());
    CHECK(read->text() == folder.read("out/" + name));
  }
}

TEST_CASE("a longer case adds what is new, another content is told and changes nothing") {
  const Folder folder;
  const std::string store = folder.path("shop.db");
  const auto import = [&](const std::string& text, std::vector<std::string> more = {}) {
    folder.write("a.json", text);
    std::vector<std::string> arguments = {"store", "import", folder.path("a.json"), "--store",
                                          store};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return run_perrev(arguments);
  };
  const Ran first = import(kCase);
  REQUIRE(first.code == 0);
  const std::string id = first.out.substr(first.out.find("case ") + 5, 20);
  CHECK(first.out == folder.path("a.json") + ": case " + id + ", 2 additions\n");
  CHECK(import(kCase).out == folder.path("a.json") + ": case " + id + ", all of it was there\n");
  const std::string longer =
      replaced(replaced(kCase, "    }\n  ]",
                        "    },\n    {\n      \"id\": \"2\",\n      \"at\": "
                        "\"2026-05-04T09:13:00Z\",\n      \"by\": \"bay\",\n      "
                        "\"retracts\": \"1\"\n    }\n  ]"),
               "  \"entries\"", "  \"earlier\": \"aaaaaa\",\n  \"entries\"");
  CHECK(import(longer).out == folder.path("a.json") + ": case " + id + ", 2 additions\n");
  CHECK(import(kCase).out == folder.path("a.json") + ": case " + id + ", all of it was there\n");
  CHECK(run_perrev({"store", "export", id, "--store", store}).out == longer);
  const Ran conflict = import(replaced(kCase, "it hums", "it howls"), {"--as", id});
  CHECK(conflict.code == 1);
  CHECK(conflict.out == "");
  CHECK(conflict.err == folder.path("a.json") +
                            ":/entries/0/id: error: the entry \"1\" is there with other content; "
                            "an id of its own\n");
  const Ran label = import(replaced(kCase, "van", "bus"), {"--as", id});
  CHECK(label.code == 1);
  CHECK(label.err == folder.path("a.json") +
                         ": error: the key \"label\" of the case is there with another value; the "
                         "same value, or a case of its own\n");
  CHECK(run_perrev({"store", "export", id, "--store", store}).out == longer);
  CHECK(import("{", {}).code == 2);
  CHECK(import(kCase, {"--as", "No"}).code == 2);
  CHECK(import(kCase, {"--keep-ids"}).code == 2);
  CHECK(run_perrev({"store", "import", "-", "--store", store}, kCase).out ==
        "-: case " + id + ", all of it was there\n");
}

TEST_CASE("backup makes a new file that is a store; check tells what is wrong by its exit code") {
  const Folder folder;
  const std::string store = folder.path("shop.db"), copy = folder.path("copy.db");
  folder.write("a.json", kCase);
  REQUIRE(run_perrev({"store", "import", folder.path("a.json"), "--store", store, "--as", "case-1"})
              .code == 0);
  const Ran backup = run_perrev({"store", "backup", copy, "--store", store});
  CHECK(backup.code == 0);
  CHECK(backup.out == copy + ": 1 case\n");
  CHECK(run_perrev({"store", "export", "case-1", "--store", copy}).out == kCase);
  const std::string before = folder.read("copy.db");
  const Ran again = run_perrev({"store", "backup", copy, "--store", store});
  CHECK(again.code == 2);
  CHECK(again.err.find("the file is there already") != std::string::npos);
  CHECK(folder.read("copy.db") == before);
  CHECK(!folder.has(".copy.db.part"));
  CHECK(run_perrev({"store", "backup", folder.path("no/copy.db"), "--store", store}).code == 2);
  const Ran sound = run_perrev({"store", "check", "--store", copy});
  CHECK(sound.code == 0);
  CHECK(sound.out == "sound: 1 case, 2 additions\n");
  std::string bytes = folder.read("copy.db");
  const std::size_t at = bytes.find("it hums");
  REQUIRE(at != std::string::npos);
  bytes.replace(at, 7, "it howl");
  folder.write("bad.db", bytes);
  const Ran bad = run_perrev({"store", "check", "--store", folder.path("bad.db"), "--json"});
  CHECK(bad.code == 1);
  CHECK(Json::parse(bad.out)["ok"] == false);
  CHECK(!Json::parse(bad.out)["problems"].empty());
}

TEST_CASE("usage that makes no sense is told, and makes no store") {
  const Folder folder;
  const std::string store = folder.path("shop.db");
  for (const std::vector<std::string>& arguments :
       {std::vector<std::string>{"store"},
        {"store", "check", "--store", store},
        {"store", "export", "case-1", "--store", store},
        {"store", "backup", folder.path("b.db"), "--store", store},
        {"store", "import", "--store", store},
        {"store", "import", "a", "b", "--as", "case-1", "--store", store}}) {
    const Ran ran = run_perrev(arguments);
    CHECK(ran.code == 2);
    CHECK(ran.err != "");
  }
  CHECK(!folder.has("shop.db"));
  REQUIRE(run_perrev({"store", "import", "-", "--store", store, "--as", "case-1"}, kCase).code ==
          0);
  CHECK(run_perrev({"store", "export", "--store", store}).code == 2);
  CHECK(run_perrev({"store", "export", "case-2", "--store", store}).err ==
        "error: there is no case \"case-2\"; the id of a case\n");
}

TEST_CASE("without --store: the data folder of the XDG specification") {
  const Folder folder;
  const char* data = std::getenv("XDG_DATA_HOME");
  const std::string before = data ? data : "";
  ::setenv("XDG_DATA_HOME", folder.path("data").c_str(), 1);
  CHECK(run_perrev({"store", "import", "-", "--as", "case-1"}, kCase).code == 0);
  CHECK(folder.has("data/perrev/shop.db"));
  CHECK(run_perrev({"store", "export", "case-1"}).out == kCase);
  if (data)
    ::setenv("XDG_DATA_HOME", before.c_str(), 1);
  else
    ::unsetenv("XDG_DATA_HOME");
}
