// The list of cases and what it is searched by.
#include <doctest/doctest.h>

#include "tests/src/store/shop.h"

using perrev::CaseLine;
using perrev::Store;
using namespace perrev::test;

namespace {

std::string ids(const Store& store, const std::string& search, std::int64_t before = 0,
                std::size_t limit = 100) {
  const auto lines = store.cases(search, before, limit);
  if (!lines) return told(lines.error());
  std::string out;
  for (const CaseLine& line : *lines) out += (out.empty() ? "" : " ") + line.id;
  return out;
}

CaseLine line(const Store& store, const std::string& id) {
  const auto lines = store.cases("", 0, 100);
  REQUIRE(lines.ok());
  for (const CaseLine& one : *lines)
    if (one.id == id) return one;
  return {};
}

}  // namespace

TEST_CASE("newest first, whatever was added last; page by page without gaps") {
  const Shop shop;
  CHECK(ids(*shop, "") == "");
  for (const char* id : {"case-1", "case-2", "case-3", "case-4"})
    REQUIRE(shop->add_case(id, "{}").ok());
  REQUIRE(shop->add_entries("case-2", {words_entry("1", "hum")}).ok());
  CHECK(ids(*shop, "") == "case-2 case-4 case-3 case-1");
  CHECK(ids(*shop, "", 0, 2) == "case-2 case-4");
  CHECK(ids(*shop, "", 4, 2) == "case-3 case-1");
  CHECK(ids(*shop, "", 1, 2) == "");
  CHECK(ids(*shop, "hum", 5) == "");
  CHECK(ids(*shop, "hum", 6) == "case-2");
}

TEST_CASE("every word must be somewhere in the case, the last as a beginning") {
  const Shop shop;
  REQUIRE(shop->add_case("case-1", R"({"label":"Grey van, Ødegård"})").ok());
  REQUIRE(
      shop->add_entries("case-1", {words_entry("1", "It \"shakes\" at 65 mph"),
                                   answer_entry("2", "tire_size", "225/60R16"),
                                   answer_entry("3", "rhythm", "steady"),
                                   entry_with("4", "\"fact\":\"felt_at\",\"value\":[\"seat\"]")})
          .ok());
  REQUIRE(shop->add_case("case-2", R"({"label":"Blue van"})").ok());
  struct Row {
    std::string search, found;
  };
  const Row rows[] = {
      {"van", "case-2 case-1"},
      {"VAN", "case-2 case-1"},
      {"va", "case-2 case-1"},
      {"van shakes", "case-1"},
      {"shakes van", "case-1"},
      {"sha van", ""},
      {"van sha", "case-1"},
      {"225/60r16", "case-1"},
      {"225/60", "case-1"},
      {"odegard", ""},
      {"degård", ""},
      {"ødegard", "case-1"},
      {"steady", ""},
      {"seat", ""},
      {"blue shakes", ""},
      {"  van\t\nblue ", "case-2"},
      {"*** van --", "case-2 case-1"},
      {"van \xe2\x80\x94 blue", "case-2"},
      // Nothing of a query language: operators are words like any other, quotes only quotes.
      {"van OR blue", ""},
      {"van AND blue", ""},
      {"NOT van", ""},
      {"words:van", ""},
      {"va*", "case-2 case-1"},
      {"\"van", "case-2 case-1"},
      {"\"\"", "case-2 case-1"},
      {"^van", "case-2 case-1"},
      {"-van", "case-2 case-1"},
      {"{van}", "case-2 case-1"},
      {"NEAR(van blue, 2)", ""},
      {"van'); DROP TABLE addition; --", ""},
      {"(van", "case-2 case-1"},
      {"van + blue", "case-2"}};
  for (const Row& row : rows) {
    CAPTURE(row.search);
    CHECK(ids(*shop, row.search) == row.found);
  }
}

TEST_CASE("a search of any bytes is answered without failure, and so are texts of any characters") {
  const Shop shop;
  const std::vector<std::string> kSyntax = {"\"", "*", "AND ", "NEAR(", ":", " ", "^", "\\"};
  perrev::testing::Lcg random(7);
  for (int i = 0; i < 400; ++i) {
    std::string search;
    for (int n = random.below(60); n > 0; --n)
      search += random.chance(0.3) ? random.pick(kSyntax)
                                   : std::string(1, static_cast<char>(random.below(256)));
    CAPTURE(i);
    CHECK(shop->cases(search, 0, 10).ok());
  }
  CHECK(shop->cases(std::string(1u << 20, 'a'), 0, 10).ok());
  const std::string hostile[] = {"'; DROP TABLE addition; --", "\" OR 1=1",        "a\\u0000b",
                                 std::string("nul\0after", 9), "\xf0\x9f\x9b\x9e", "\x01\x02",
                                 std::string(5000, 'y')};
  int number = 0;
  for (const std::string& text : hostile) {
    const std::string id = "hostile-" + std::to_string(++number);
    REQUIRE(shop->add_case(id, "{\"label\":" + json_text(text) + "}").ok());
    REQUIRE(shop->add_entries(id, {words_entry(text, text), answer_entry("2" + text, text, text),
                                   entry_with("3" + text, "\"repair\":" + json_text(text) +
                                                              ",\"result\":\"done\"")})
                .ok());
    CHECK(line(*shop, id).label == text);
    CHECK(line(*shop, id).words == text);
  }
  CHECK(ids(*shop, "nul") == "hostile-4");
  CHECK(faults(*shop) == "");
}

TEST_CASE("a line tells what is in force") {
  const Shop shop;
  REQUIRE(shop->add_case("case-1", "{}").ok());
  const auto shown = [&] {
    const CaseLine one = line(*shop, "case-1");
    return one.label + "|" + one.words + "|" + one.last_at + "|" + std::to_string(one.last_seq) +
           "|" + std::to_string(one.entries) + "|" + (one.closed ? "closed" : "open");
  };
  const auto add = [&](const std::string& id, const std::string& at, const std::string& rest) {
    REQUIRE(shop->add_entries("case-1", {"{\"id\":\"" + id + "\",\"at\":\"" + at +
                                         "\",\"by\":\"bay\"," + rest + "}"})
                .ok());
    return shown();
  };
  CHECK(shown() == "|||1|0|open");
  REQUIRE(shop->set_head("case-1", R"({"label":"van"})").ok());
  const std::string words = "\"fact\":\"complaint_words\",\"value\":";
  CHECK(add("1", "2026-05-04T09:00:00Z", words + "\"a\"") == "van|a|2026-05-04T09:00:00Z|3|1|open");
  // Later in the file, earlier by its moment.
  CHECK(add("2", "2026-05-04T10:00:00+02:00", words + "\"b\"") ==
        "van|a|2026-05-04T09:00:00Z|4|2|open");
  CHECK(add("3", "2026-05-04T09:30:00Z", "\"closes\":[\"wheel_imbalance\"],\"proof\":\"gone\"") ==
        "van|a|2026-05-04T09:30:00Z|5|3|closed");
  CHECK(add("4", "2026-05-04T09:31:00Z", "\"retracts\":\"1\"") ==
        "van|b|2026-05-04T09:31:00Z|6|4|closed");
  CHECK(add("5", "2026-05-04T09:32:00Z", "\"retracts\":\"3\"") ==
        "van|b|2026-05-04T09:32:00Z|7|5|open");
  CHECK(add("6", "2026-05-04T09:33:00Z", "\"retracts\":\"5\"") ==
        "van|b|2026-05-04T09:33:00Z|8|6|closed");
  CHECK(add("7", "2026-05-04T09:34:00Z", "\"closes\":[]") == "van|b|2026-05-04T09:34:00Z|9|7|open");
  CHECK(add("8", "2026-05-04T09:35:00Z", "\"retracts\":\"8\"") ==
        "van|b|2026-05-04T09:35:00Z|10|8|open");
}
