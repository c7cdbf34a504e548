// What is kept of the parsed rule base never changes what a start says.
#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include "tests/src/run_perrev.h"

using namespace perrev::test;
namespace fs = std::filesystem;

namespace {

const std::vector<std::string> kDiagnose = {"diagnose", project("cases/it_shakes.json"), "--json"};

// Runs with a cache folder of the test's own.
Ran with_cache(const Folder& folder, const std::vector<std::string>& arguments) {
  ::setenv("XDG_CACHE_HOME", folder.path("cache").c_str(), 1);
  ::setenv("PERREV_CACHE", "on", 1);
  const Ran ran = run_perrev(arguments);
  ::setenv("PERREV_CACHE", "off", 1);
  return ran;
}

std::vector<std::string> kept(const Folder& folder) {
  std::vector<std::string> names;
  std::error_code ignored;
  for (const auto& entry : fs::directory_iterator(folder.path("cache/perrev"), ignored))
    names.push_back("cache/perrev/" + entry.path().filename().string());
  return names;
}

}  // namespace

TEST_CASE("the first start keeps the trees, the next one says the same with them") {
  const Folder folder;
  const Ran first = with_cache(folder, kDiagnose);
  REQUIRE(first.code == 0);
  REQUIRE(kept(folder).size() == 1);
  CHECK(with_cache(folder, kDiagnose).out == first.out);
  CHECK(kept(folder).size() == 1);
}

TEST_CASE("damaged trees are ignored and replaced") {
  const Folder folder;
  const Ran first = with_cache(folder, kDiagnose);
  REQUIRE(kept(folder).size() == 1);
  const std::string name = kept(folder)[0], whole = folder.read(name);
  for (const std::size_t at :
       {std::size_t{0}, std::size_t{20}, std::size_t{60}, whole.size() / 2, whole.size() - 1}) {
    CAPTURE(at);
    std::string damaged = whole;
    damaged[at] = static_cast<char>(damaged[at] ^ 0x20);
    folder.write(name, damaged);
    CHECK(with_cache(folder, kDiagnose).out == first.out);
    CHECK(folder.read(name) == whole);
  }
  folder.write(name, whole.substr(0, whole.size() / 3));
  CHECK(with_cache(folder, kDiagnose).out == first.out);
}

TEST_CASE("a changed rule file is parsed anew, and its errors are told") {
  const Folder folder;
  fs::copy(project("rules"), folder.path("rules"), fs::copy_options::recursive);
  const std::vector<std::string> check = {"rules", "check", folder.path("rules")};
  REQUIRE(with_cache(folder, check).code == 0);
  REQUIRE(kept(folder).size() == 1);
  folder.write("rules/families.yaml", folder.read("rules/families.yaml") + "tier: {nmae: Tier}\n");
  const Ran wrong = with_cache(folder, check);
  CHECK(wrong.code == 1);
  CHECK(wrong.err.find("families.yaml") != std::string::npos);
  CHECK(wrong.err.find("did you mean 'name'?") != std::string::npos);
  CHECK(kept(folder).size() == 2);  // the newest few stay
}

TEST_CASE("a cache folder that cannot be written stops nothing") {
  const Folder folder;
  folder.write("cache", "a file where the folder should be");
  CHECK(with_cache(folder, kDiagnose).code == 0);
}
