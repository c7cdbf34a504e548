// What goes in comes out, byte for byte.
#include <doctest/doctest.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <set>

#include "engine/casefile/casefile.h"
#include "tests/src/store/shop.h"

using perrev::CaseFile;
using perrev::Refused;
using namespace perrev::test;

TEST_CASE("every case of the project comes out as CaseFile writes it, each as a case of its own") {
  const Shop shop;
  std::set<std::string> ids;
  std::size_t count = 0;
  for (const auto& file : std::filesystem::directory_iterator(project("cases"))) {
    if (file.path().extension() != ".json") continue;
    CAPTURE(file.path().filename().string());
    const std::string text = read_whole(file.path().string());
    std::string id;
    REQUIRE(imported(*shop, text, "", &id) == "");
    const auto read = CaseFile::parse("a.json", text);
    REQUIRE(read.ok());
    CHECK(text_of(*shop, id) == read->text());
    ids.insert(id);
    ++count;
  }
  CHECK(count > 40);
  CHECK(ids.size() == count);
  CHECK(faults(*shop) == "");
}

TEST_CASE("random documents: the same out as in; again, and after a beginning, nothing is added") {
  const Shop shop;
  for (std::uint64_t seed = 1; seed <= 120; ++seed) {
    CAPTURE(seed);
    perrev::testing::Lcg random(seed);
    const std::string text = random_document(random);
    const auto read = CaseFile::parse("a.json", text);
    REQUIRE(read.ok());
    REQUIRE(read->text() == text);
    // A beginning of it, as an earlier export would have been.
    auto begun = nlohmann::ordered_json::parse(text);
    auto& entries = begun["entries"];
    const std::size_t all = entries.size();
    if (all > 1)
      entries.erase(entries.begin() + random.between(1, static_cast<int>(all) - 1), entries.end());
    std::string id, again;
    std::size_t fresh = 0;
    REQUIRE(imported(*shop, begun.dump(2), "", &id) == "");
    REQUIRE(imported(*shop, text, "", &again, &fresh) == "");
    CHECK(again == id);
    CHECK(fresh == all - entries.size());
    CHECK(text_of(*shop, id) == text);
    REQUIRE(imported(*shop, text, "", &again, &fresh) == "");
    CHECK(fresh == 0);
    // Into another store and out again.
    CHECK(imported(*shop, text, "copy-" + std::to_string(seed)) == "");
    CHECK(text_of(*shop, "copy-" + std::to_string(seed)) == text);
  }
  CHECK(faults(*shop) == "");
}

TEST_CASE("numbers stay, and one that would lose digits is refused") {
  struct Row {
    std::string number, kept;  // kept: empty, refused
  };
  const Row rows[] = {{"1.0", "1.0"},
                      {"1", "1"},
                      {"-0.0", "-0.0"},
                      {"0.1", "0.1"},
                      {"1e-07", "1e-07"},
                      {"5e-324", "5e-324"},
                      {"9007199254740993", "9007199254740993"},
                      {"18446744073709551615", "18446744073709551615"},
                      {"-9223372036854775808", "-9223372036854775808"},
                      {"18446744073709551616", ""},
                      {"-9223372036854775809", ""},
                      {"123456789012345678901234567890", ""},
                      // A double, whatever it was written as.
                      {"1e2", "100.0"},
                      {"0.10", "0.1"}};
  const Shop shop;
  REQUIRE(shop->add_case("numbers", "{}").ok());
  for (const Row& row : rows) {
    CAPTURE(row.number);
    const std::string id = "n" + row.number;
    const auto added = shop->add_entries(
        "numbers", {entry_with(id, "\"retracts\":\"1\",\"odometer\":" + row.number)});
    CHECK(added.ok() == !row.kept.empty());
    const bool is_there =
        text_of(*shop, "numbers").find("\"odometer\": " + row.kept + "\n") != std::string::npos;
    CHECK(is_there == !row.kept.empty());
    CHECK(shop->set_head("numbers", "{\"k\":" + row.number + "}").ok() == !row.kept.empty());
    const std::string text = "{\"perrev_case\": 1, \"k\": " + row.number + ", \"entries\": []}";
    CHECK(imported(*shop, text, "").empty() == !row.kept.empty());
  }
}

TEST_CASE("a head made piece by piece reads as a case: new keys stand before the entries") {
  const Shop shop;
  REQUIRE(shop->add_case("made-by-hand", "{\"label\":\"one\"}").ok());
  REQUIRE(shop->set_head("made-by-hand", "{\"earlier\":\"aaaaaa\",\"label\":\"two\"}").ok());
  REQUIRE(shop->add_entries("made-by-hand", {words_entry("1", "it hums")}).ok());
  const std::string text = text_of(*shop, "made-by-hand");
  CHECK(text.find("{\n  \"perrev_case\": 1,\n  \"label\": \"two\",\n  \"earlier\": \"aaaaaa\",\n"
                  "  \"entries\": [\n    {\n      \"id\": \"1\",") == 0);
  const auto read = CaseFile::parse("a.json", text);
  REQUIRE(read.ok());
  CHECK(read->text() == text);
}
