// The structure of a SARIF log by its standard: OASIS, Static Analysis Results Interchange Format
// (SARIF) Version 2.1.0, 27 March 2020; sections as named at each check.
#include "engine/bench/sarif.h"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

using perrev::Finding;
using perrev::finding;
using perrev::sarif;
using Json = nlohmann::ordered_json;

namespace {

std::vector<Finding> some(const std::string& folder) {
  return {finding("unused-fact", {folder + "/facts.yaml", 3, 1, {}}, "a", "b"),
          finding("never-true", {folder + "/evidence/a b.yaml", 7, 3, {}}, "c", ""),
          finding("load-error", {folder + "/path.yaml", 0, 0, {}}, "d", "e"),
          finding("load-error", {}, "f", "g")};
}

}  // namespace

TEST_CASE("a log has a version, a schema and one run of the tool perrev") {
  const Json log = sarif(some("rules"), {"rules", "1.2.3"});
  CHECK(log["version"] == "2.1.0");  // 3.13.2
  CHECK(log["$schema"].get<std::string>().find("https://docs.oasis-open.org/sarif/") ==
        0);                                               // 3.13.3
  REQUIRE(log["runs"].size() == 1);                       // 3.13.4
  const Json& driver = log["runs"][0]["tool"]["driver"];  // 3.14.6, 3.18.2
  CHECK(driver["name"] == "perrev");                      // 3.19.8
  CHECK(driver["version"] == "1.2.3");                    // 3.19.13
}

TEST_CASE("every rule has an id of its own, a description and a level; results point at theirs") {
  const Json log = sarif(some("rules"), {"rules", "1"});
  const Json& run = log["runs"][0];
  const Json& rules = run["tool"]["driver"]["rules"];  // 3.19.23
  std::set<std::string> ids;
  for (const Json& rule : rules) {
    CHECK(ids.insert(rule["id"].get<std::string>()).second);              // 3.49.3
    CHECK(!rule["shortDescription"]["text"].get<std::string>().empty());  // 3.49.9
    CHECK(!rule["help"]["text"].get<std::string>().empty());              // 3.49.13
    const std::string level = rule["defaultConfiguration"]["level"];      // 3.49.14, 3.50.3
    CHECK((level == "note" || level == "error"));
  }
  REQUIRE(run["results"].size() == 4);  // 3.14.23
  for (const Json& result : run["results"]) {
    const Json& rule = rules[result["ruleIndex"].get<std::size_t>()];  // 3.27.6
    CHECK(rule["id"] == result["ruleId"]);                             // 3.27.5
    CHECK(rule["defaultConfiguration"]["level"] == result["level"]);   // 3.27.10
  }
  CHECK(run["results"][0]["message"]["text"] == "a; b");  // 3.27.11
  CHECK(run["results"][1]["message"]["text"] == "c");
}

TEST_CASE("places are as exact as they are known") {
  const Json log = sarif(some("rules"), {"rules", "1"});
  const Json& results = log["runs"][0]["results"];
  const Json& first = results[0]["locations"][0]["physicalLocation"];  // 3.27.12, 3.28.3
  CHECK(first["artifactLocation"]["uri"] == "rules/facts.yaml");       // 3.4.3
  CHECK(first["region"]["startLine"] == 3);                            // 3.30.5
  CHECK(first["region"]["startColumn"] == 1);                          // 3.30.6
  const Json& spaced = results[1]["locations"][0]["physicalLocation"];
  CHECK(spaced["artifactLocation"]["uri"] == "rules/evidence/a%20b.yaml");  // RFC 3986, 2.1
  CHECK(!results[2]["locations"][0]["physicalLocation"].contains("region"));
  CHECK(!results[3].contains("locations"));
  CHECK(!log["runs"][0].contains("originalUriBaseIds"));
}

TEST_CASE("files of an absolute folder are named relative to it") {
  for (const std::string folder : {"/a b/rules", "/a b/rules/"}) {
    const Json log = sarif(some("/a b/rules"), {folder, "1"});
    const Json& run = log["runs"][0];
    CHECK(run["originalUriBaseIds"]["RULES"]["uri"] == "file:///a%20b/rules/");  // 3.14.14
    const Json& artifact =
        run["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"];
    CHECK(artifact["uri"] == "facts.yaml");
    CHECK(artifact["uriBaseId"] == "RULES");  // 3.4.4
  }
}

TEST_CASE("a path whose first part has a colon is no scheme") {
  const Json log =
      sarif({finding("unused-fact", {"c:x/facts.yaml", 1, 1, {}}, "a", "")}, {"c:x", "1"});
  const Json& results = log["runs"][0]["results"];
  CHECK(results[0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] ==
        "c%3Ax/facts.yaml");  // RFC 3986, 4.2
}

TEST_CASE("columns count code points, whatever the bytes") {
  const perrev::ParsedFile file = perrev::parse_file(
      {"facts.yaml", "facts.yaml", "a: b\nname: \xc3\xa4\xe2\x82\xac\xf0\x9f\x98\x80 x\n"});
  const auto column = [&](int line, int bytes) {
    const Json log = sarif({finding("unused-fact", {"facts.yaml", line, bytes, {}}, "a", "")},
                           {"rules", "1"}, {file});
    return log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["region"]["startColumn"]
        .get<int>();
  };
  CHECK(column(1, 4) == 4);
  CHECK(column(2, 7) == 7);
  CHECK(column(2, 9) == 8);    // after two bytes
  CHECK(column(2, 12) == 9);   // after three more
  CHECK(column(2, 17) == 11);  // after four more and a blank
}

TEST_CASE("a log without findings still lists results, and says that there are none") {
  const Json log = sarif({}, {"rules", "1"});
  CHECK(log["runs"][0]["results"] == Json::array());  // 3.14.23: empty, not missing
}
