// What may be added, what may not, and what is answered.
#include <doctest/doctest.h>

#include "tests/src/store/shop.h"

using perrev::Addition;
using perrev::Changes;
using perrev::Refused;
using namespace perrev::test;
using Kind = Refused::Kind;

namespace {

// Kind of refusal in a word; "ok <fresh>" when it was added.
std::string answer(const perrev::Stored<perrev::Added>& added) {
  if (added) return "ok " + std::to_string(added->fresh);
  const char* const names[] = {"invalid",   "not_image", "missing", "conflict",
                               "too_large", "busy",      "broken"};
  REQUIRE(!added.error().problems.empty());
  return names[static_cast<int>(added.error().kind)];
}

const std::string kOne = words_entry("1", "it hums");

}  // namespace

TEST_CASE("the same again changes nothing; the same id with other content is a conflict") {
  const Shop shop;
  CHECK(answer(shop->add_entries("case-1", {kOne})) == "missing");
  CHECK(answer(shop->set_head("case-1", "{}")) == "missing");
  CHECK(answer(shop->add_case("case-1", R"({"label":"a","n":{"x":1,"y":2}})")) == "ok 1");
  CHECK(answer(shop->add_case("case-1", R"({"n":{"y":2,"x":1},"label":"a"})")) == "ok 0");
  CHECK(answer(shop->add_case("case-1", R"({"label":"b"})")) == "conflict");
  CHECK(answer(shop->set_head("case-1", R"({"label":"b"})")) == "ok 1");
  CHECK(answer(shop->set_head("case-1", R"({"label":"b"})")) == "ok 0");
  CHECK(answer(shop->add_case("case-1", R"({"label":"a","n":{"x":1,"y":2}})")) == "ok 0");
  const auto first = shop->add_entries("case-1", {kOne, words_entry("2", "b")});
  CHECK(answer(first) == "ok 2");
  const auto again = shop->add_entries("case-1", {words_entry("3", "c"), kOne});
  CHECK(answer(again) == "ok 1");
  CHECK(again->ids == std::vector<std::string>{"3", "1"});
  CHECK(again->last_seq == first->last_seq + 1);
  // Blanks and the order of keys do not count.
  CHECK(answer(shop->add_entries(
            "case-1",
            {R"( {"by":"bay", "at":"2026-05-04T09:12:00Z","id":"1","fact":"complaint_words",)"
             R"("value":"it hums"})"})) == "ok 0");
  const auto other = shop->add_entries(
      "case-1", {words_entry("4", "d"), words_entry("1", "it whines"), words_entry("2", "B")});
  CHECK(answer(other) == "conflict");
  CHECK(told(other.error()) ==
        "/entries/1/id: error: the entry \"1\" is there with other content; an id of its own\n"
        "/entries/2/id: error: the entry \"2\" is there with other content; an id of its own");
  CHECK(text_of(*shop, "case-1").find("\"4\"") == std::string::npos);
  CHECK(shop->last_seq().value() == 5);
  CHECK(faults(*shop) == "");
}

TEST_CASE("what cannot be read again is not taken in, and nothing of its batch") {
  const Shop shop;
  REQUIRE(shop->add_case("case-1", "{}").ok());
  const std::string deep = std::string(49, '[') + std::string(49, ']');
  for (const std::string& bad : std::vector<std::string>{
           std::string(), std::string("7"), std::string("{}"), std::string("{"), kOne + "}",
           kOne + ",", kOne + "],\"x\":[1", "[" + kOne + "]", "{\"id\":\"1\"}",
           "{\"id\":\"1\"," + kOne.substr(1), entry_with("1", "\"retracts\":\"\xc3(\""),
           entry_with("1", "\"retracts\":\"\xed\xa0\x80\""),
           entry_with("1", "\"retracts\":\"\\ud800\""), kOne + std::string(1, '\0'),
           kOne + std::string(1, '\0') + "],\"x\":[1",
           entry_with("1", "\"retracts\":\"2\",\"x\":" + deep), "\xef\xbb\xbf" + kOne,
           entry_with("1", "\"note\":\"says nothing\"")}) {
    CAPTURE(bad);
    CHECK(answer(shop->add_entries("case-1", {words_entry("0", "first"), bad})) == "invalid");
  }
  CHECK(answer(shop->add_entries("case-1", {kOne, kOne})) == "invalid");
  for (const char* bad :
       {"", "7", "[]", "{", "{\"perrev_case\":2}", "{\"perrev_case\":\"1\"}", "{\"label\":3}",
        "{\"label\":\"\xff\"}", "{\"entries\":[1]}", "{\"entries\":7}", "{\"photos\":{\"a\":1}}",
        "{\"a\":1,\"a\":2}", "{}, \"x\": {}"}) {
    CAPTURE(bad);
    CHECK(answer(shop->add_case("case-2", bad)) == "invalid");
    CHECK(answer(shop->set_head("case-1", bad)) == "invalid");
  }
  for (const std::string id : {"", "short", "Upper-1", "a_b_c_d", "../../x", "case 1",
                               "case-\xc3\xa9", "aaaaaaaaaabbbbbbbbbbccccccccccdddddddddde"}) {
    CAPTURE(id);
    CHECK(answer(shop->add_case(id, "{}")) == "invalid");
  }
  CHECK(shop->last_seq().value() == 1);
}

TEST_CASE("limits: what is just small enough is taken in, one more is not") {
  const Shop shop;
  REQUIRE(shop->add_case("case-1", "{}").ok());
  const auto of_size = [](const std::string& id, std::size_t size) {
    return words_entry(id, std::string(size - words_entry(id, "").size(), 'x'));
  };
  CHECK(answer(shop->add_entries("case-1", {of_size("1", 16384)})) == "ok 1");
  CHECK(answer(shop->add_entries("case-1", {of_size("2", 16385)})) == "too_large");
  // 128 entries of 16 KiB are just more than 2 MiB in the file.
  std::size_t count = 1;
  CHECK(!shop->change([&](Changes& changes) -> std::optional<Refused> {
    while (changes.add_entries("case-1", {of_size("e" + std::to_string(count), 16384)})) ++count;
    return std::nullopt;
  }));
  CHECK(count == 127);
  REQUIRE(shop->add_case("case-2", "{}").ok());
  for (int batch = 0; batch < 5; ++batch) {
    std::vector<std::string> entries;
    for (int i = 0; i < 1000; ++i)
      entries.push_back(entry_with(std::to_string(batch * 1000 + i), "\"retracts\":\"1\""));
    REQUIRE(answer(shop->add_entries("case-2", entries)) == "ok 1000");
  }
  CHECK(answer(shop->add_entries("case-2", {kOne})) == "conflict");
  CHECK(answer(shop->add_entries("case-2", {words_entry("a", "")})) == "too_large");
  CHECK(answer(shop->add_case("case-3", "{\"x\":\"" + std::string(262000, 'x') + "\"}")) == "ok 1");
  CHECK(answer(shop->set_head("case-3", "{\"y\":\"" + std::string(200, 'x') + "\"}")) ==
        "too_large");
  // A list grows in the layout of a file: what counts is its size there.
  REQUIRE(shop->add_case("case-4", "{}").ok());
  std::string list = "[";
  for (int i = 0; i < 8000; ++i) list += i == 0 ? "1" : ",1";
  count = 0;
  while (shop->add_entries("case-4", {entry_with("e" + std::to_string(count),
                                                 "\"retracts\":\"1\",\"x\":" + list + "]")}))
    ++count;
  CHECK(count == 23);  // 8 blanks, a digit, a comma and a line end each: 88 kB
  CHECK(text_of(*shop, "case-4").size() < (2u << 20) + 1000);
  CHECK(faults(*shop) == "");
}

TEST_CASE("a piece of work is kept or undone as a whole, each by itself") {
  const Shop shop;
  const auto good = [](const std::string& id) {
    return [id](Changes& changes) -> std::optional<Refused> {
      const auto added = changes.add_case(id, "{}");
      return added ? std::nullopt : std::optional<Refused>(added.error());
    };
  };
  const auto bad = [](Changes& changes) -> std::optional<Refused> {
    CHECK(changes.add_case("case-b", "{}").ok());
    CHECK(changes.add_entries("case-b", {kOne}).ok());
    return Refused{Kind::conflict, {perrev::problem("changed my mind")}};
  };
  const auto answers = shop->change({good("case-a"), bad, good("case-c")});
  REQUIRE(answers.size() == 3);
  CHECK(!answers[0]);
  REQUIRE(answers[1]);
  CHECK(told(*answers[1]) == "error: changed my mind");
  CHECK(!answers[2]);
  CHECK(shop->case_ids().value() == std::vector<std::string>{"case-a", "case-c"});
  CHECK(faults(*shop) == "");
}

TEST_CASE("since tells every addition once, in order, of one case or all") {
  const Shop shop;
  REQUIRE(shop->add_case("case-a", R"({"label":"a","z":1})").ok());
  REQUIRE(shop->add_case("case-b", "{}").ok());
  REQUIRE(shop->add_entries("case-a", {kOne, words_entry("2", "b")}).ok());
  REQUIRE(shop->set_head("case-a", R"({"label":"c"})").ok());
  const auto shown = [](const perrev::Stored<std::vector<Addition>>& all) {
    std::string out;
    for (const Addition& a : all.value())
      out += std::to_string(a.seq) + " " + a.case_id +
             (a.kind == Addition::Kind::head ? " head " + a.json : " entry") + "\n";
    return out;
  };
  CHECK(shown(shop->since("", 0, 100)) ==
        "1 case-a head {\"perrev_case\":1,\"label\":\"a\",\"z\":1}\n"
        "2 case-b head {\"perrev_case\":1}\n"
        "3 case-a entry\n"
        "4 case-a entry\n"
        "5 case-a head {\"perrev_case\":1,\"label\":\"c\",\"z\":1}\n");
  CHECK(shown(shop->since("", 2, 1)) == "3 case-a entry\n");
  CHECK(shown(shop->since("case-b", 0, 100)) == "2 case-b head {\"perrev_case\":1}\n");
  CHECK(shown(shop->since("case-b", 2, 100)).empty());
  CHECK(shop->since("case-a", 2, 1).value().front().json == kOne);
  CHECK(shop->since("no-such", 0, 1).error().kind == Kind::missing);
  CHECK(shop->case_text("case-a").value().last_seq == 5);
}
