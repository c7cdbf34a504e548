// `perrev rules schema` from outside, and that the schemas that ship are current.
#include <doctest/doctest.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>

#include "tests/src/run_perrev.h"

using namespace perrev::test;
using Json = nlohmann::json;
namespace fs = std::filesystem;

namespace {

std::string digest_of(const std::string& rules) {
  return Json::parse(run_perrev({"rules", "check", rules, "--json"}).out)["rules_digest"];
}

}  // namespace

TEST_CASE("the schemas that ship are current") {
  const Ran ran = run_perrev({"rules", "schema", "--check", project("rules")});
  CHECK(ran.err == "");
  CHECK_MESSAGE(ran.code == 0, ran.out << "perrev rules schema rules writes them anew");
}

TEST_CASE("schemas are written, compared, and nothing that loading reads") {
  const Folder folder;
  const std::string rules = folder.path("rules"), schema = rules + "/schema";
  fs::copy(project("rules"), rules, fs::copy_options::recursive);
  const std::string digest = digest_of(rules);

  const std::string asks = "Where do you feel it most?";
  std::string facts = folder.read("rules/facts.yaml");
  REQUIRE(facts.find(asks) != std::string::npos);
  facts.replace(facts.find(asks), asks.size(), "Where is it felt?");
  folder.write("rules/facts.yaml", facts);
  const Ran stale = run_perrev({"rules", "schema", "--check", rules});
  CHECK(stale.code == 1);
  CHECK(stale.out ==
        "names.schema.json: is not what the rules say\n"
        "perrev rules schema writes them anew.\n");
  CHECK(read_whole(schema + "/names.schema.json") ==
        read_whole(project("rules/schema/names.schema.json")));

  fs::remove(schema + "/facts.schema.json");
  const Ran written = run_perrev({"rules", "schema", rules, "--json"});
  CHECK(written.code == 0);
  const Json told = Json::parse(written.out);
  CHECK(told["was_current"] == false);
  std::string was;
  for (const Json& file : told["files"])
    if (file["was"] != "current")
      was += file["file"].get<std::string>() + " " + file["was"].get<std::string>() + "\n";
  CHECK(was == "facts.schema.json missing\nnames.schema.json changed\n");
  CHECK(run_perrev({"rules", "schema", "--check", rules}).code == 0);
  CHECK(read_whole(schema + "/names.schema.json").find("Where is it felt?") != std::string::npos);

  folder.write("rules/schema/causes_old.schema.json", "{}\n");
  folder.write("rules/schema/no_rules.yaml", "nothing: of ours\n");
  CHECK(run_perrev({"rules", "schema", rules}).code == 1);
  folder.write("rules/facts.yaml", read_whole(project("rules/facts.yaml")));
  CHECK(digest_of(rules) == digest);
}

TEST_CASE("a rule base that does not load has no schemas") {
  const Folder folder;
  fs::copy(project("rules"), folder.path("rules"), fs::copy_options::recursive);
  folder.write("rules/families.yaml", "tire: {nmae: Tire}\n");
  const Ran ran = run_perrev({"rules", "schema", folder.path("rules")});
  CHECK(ran.code == 2);
  CHECK(ran.err.find("did you mean 'name'?") != std::string::npos);
  CHECK(run_perrev({"rules", "schema", folder.path("none")}).code == 2);
}
