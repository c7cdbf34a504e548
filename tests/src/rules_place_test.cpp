// Where the rule base is found. Source: XDG Base Directory Specification 0.8 for the variables,
// their defaults and that a relative path in them is ignored; the order is our own (README).
#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <map>
#include <optional>

#include "src/rules.h"
#include "tests/src/run_perrev.h"

using namespace perrev;
using namespace perrev::test;
namespace fs = std::filesystem;

namespace {

// The environment as a test wants it, put back afterwards.
class Environment {
 public:
  Environment() {
    for (const char* name : {"PERREV_RULES", "XDG_DATA_HOME", "XDG_DATA_DIRS", "HOME"}) {
      const char* value = std::getenv(name);
      before_[name] = value ? std::optional<std::string>(value) : std::nullopt;
      ::unsetenv(name);
    }
  }
  ~Environment() {
    for (const auto& [name, value] : before_)
      if (value)
        set(name, *value);
      else
        ::unsetenv(name.c_str());
  }
  Environment(const Environment&) = delete;
  Environment& operator=(const Environment&) = delete;
  void set(const std::string& name, const std::string& value) {
    ::setenv(name.c_str(), value.c_str(), 1);
  }

 private:
  std::map<std::string, std::optional<std::string>> before_;
};

using Paths = std::vector<std::string>;

}  // namespace

TEST_CASE("the places of the rule base, in their order") {
  Environment environment;
  environment.set("HOME", "/home/ann");
  CHECK(rules_places("/opt/p/bin/perrev") ==
        Paths{"/opt/p/bin/rules", "/home/ann/.local/share/perrev/rules",
              "/opt/p/share/perrev/rules", "/usr/local/share/perrev/rules",
              "/usr/share/perrev/rules"});
  environment.set("XDG_DATA_HOME", "/data/ann");
  environment.set("XDG_DATA_DIRS", "/site:/shop");
  CHECK(rules_places("/opt/p/bin/perrev") == Paths{"/opt/p/bin/rules", "/data/ann/perrev/rules",
                                                   "/opt/p/share/perrev/rules",
                                                   "/site/perrev/rules", "/shop/perrev/rules"});
  CHECK(rules_places("") ==
        Paths{"/data/ann/perrev/rules", "/site/perrev/rules", "/shop/perrev/rules"});
}

TEST_CASE("a relative path in a variable of the specification is ignored") {
  Environment environment;
  environment.set("HOME", "ann");
  environment.set("XDG_DATA_HOME", "data");
  environment.set("XDG_DATA_DIRS", "share::./more:/shop");
  CHECK(rules_places("/opt/p/bin/perrev") ==
        Paths{"/opt/p/bin/rules", "/opt/p/share/perrev/rules", "/shop/perrev/rules"});
  environment.set("HOME", "/home/ann");
  CHECK(rules_places("/opt/p/bin/perrev")[1] == "/home/ann/.local/share/perrev/rules");
}

TEST_CASE("the first place that is a folder is taken, whatever comes after it") {
  Environment environment;
  const Folder folder;
  environment.set("XDG_DATA_HOME", folder.path("home"));
  environment.set("XDG_DATA_DIRS", folder.path("site") + ":" + folder.path("shop"));
  const std::string program = folder.path("p/bin/perrev");
  Paths places = rules_places(program);
  CHECK(rules_folder("", program) == places[2]);  // where it would be installed
  for (std::size_t i = places.size(); i-- > 0;) {
    fs::create_directories(places[i]);
    CHECK(rules_folder("", program) == fs::canonical(places[i]));
  }
  environment.set("PERREV_RULES", "mine");
  CHECK(rules_folder("", program) == "mine");
  CHECK(rules_folder("other", program) == "other");
  environment.set("PERREV_RULES", "");
  CHECK(rules_folder("", program) == fs::canonical(places[0]));
}

TEST_CASE("a file is no rule base, and a link is followed: the cases stand beside what it names") {
  Environment environment;
  const Folder folder;
  environment.set("XDG_DATA_DIRS", "/none");
  const std::string program = folder.path("p/bin/perrev");
  folder.write("p/bin/rules", "a program of that name");
  folder.write("shop/rules/facts.yaml", "");
  fs::create_directories(folder.path("p/share/perrev"));
  fs::create_directory_symlink(folder.path("shop/rules"), folder.path("p/share/perrev/rules"));
  CHECK(rules_folder("", program) == fs::canonical(folder.path("shop/rules")));
}

TEST_CASE("a build has its own rule base, and no installed one stands before it") {
  Environment environment;
  const Folder folder;
  folder.write("perrev/rules/facts.yaml", "broken: [");
  environment.set("XDG_DATA_HOME", folder.path(""));
  environment.set("XDG_DATA_DIRS", folder.path(""));
  const Ran own = run_perrev({"rules", "check"});
  CHECK(own.code == 0);
  CHECK(own.err.empty());
  environment.set("PERREV_RULES", folder.path("perrev/rules"));
  CHECK(run_perrev({"rules", "check"}).code != 0);
}

TEST_CASE("the version is told") {
  const Ran ran = run_perrev({"--version"});
  CHECK(ran.code == 0);
  CHECK(ran.out == "perrev " PERREV_VERSION "\n");
  CHECK(ran.err.empty());
}
