// Cases as text: what is kept, what is added, and every way of being no case.
#include "engine/casefile/casefile.h"

#include <doctest/doctest.h>

#include <cstdint>
#include <string>
#include <vector>

#include "tests/engine/casefile/tiny_base.h"

using perrev::Asker;
using perrev::CaseFile;
using perrev::Entry;
using perrev::tiny::parsed;
using perrev::tiny::told;

namespace {

// As the program writes it, with keys that it does not know at every level.
const char* const kWithUnknownKeys = R"({
  "zeta": [
    1,
    2.5,
    -3,
    1e-07,
    true,
    null
  ],
  "perrev_case": 1,
  "label": "Schüttelt bei 65 \"mph\" \u0001",
  "true": {
    "cause": "bent_rim",
    "also": {}
  },
  "entries": [
    {
      "who": "second shift",
      "by": "bay",
      "value": [
        "0.8 mm",
        "0.9 mm"
      ],
      "place": "left_front",
      "fact": "rim_radial_runout",
      "at": "2026-05-04T09:12:00Z",
      "with": {
        "tool": {
          "number": 4
        },
        "by": "gps"
      },
      "id": "2"
    },
    {
      "id": "1",
      "at": "2026-05-04T08:00:00+02:00",
      "by": "write_up",
      "fact": "complaint_words",
      "value": "it shakes"
    }
  ],
  "alpha": "last"
}
)";

Entry answer_entry(const std::string& fact, std::vector<std::string> values, bool is_list) {
  Entry entry;
  entry.at = "2026-05-04T10:00:00Z";
  entry.by = Asker::road;
  entry.fact = fact;
  entry.values = std::move(values);
  entry.is_list = is_list;
  return entry;
}

std::vector<Entry> one_of_each_kind() {
  std::vector<Entry> all;
  all.push_back(answer_entry("pull", {"yes"}, false));
  all.push_back(answer_entry("felt_at", {}, true));
  all.push_back(answer_entry("felt_at", {"seat", "floor"}, true));
  all.push_back(answer_entry("measured_frequency", {"14 Hz"}, false));
  all.back().with = {{"by", "gps"}, {"speed", "62 mph"}};
  all.push_back(answer_entry("rim_radial_runout", {"0.8 mm"}, false));
  all.back().place = "left_front";
  all.push_back(answer_entry("pull", {}, false));
  all.back().unsure = true;
  for (const auto kind : {Entry::Kind::not_possible, Entry::Kind::retraction, Entry::Kind::repair,
                          Entry::Kind::closing}) {
    Entry entry;
    entry.at = "2026-05-04T10:00:00Z";
    entry.kind = kind;
    entry.by = Asker::bay;
    if (kind == Entry::Kind::not_possible) entry.check = "gauge_on_rim";
    if (kind == Entry::Kind::retraction) entry.retracts = "1";
    if (kind == Entry::Kind::repair) entry.repair = "rebalance";
    if (kind == Entry::Kind::repair) entry.done = true;
    if (kind == Entry::Kind::closing) entry.closes = {"wheel_imbalance"};
    if (kind == Entry::Kind::closing) entry.proof = "gone at 65 mph";
    all.push_back(entry);
  }
  for (Entry& entry : all) {  // whatever it says, it may tell who, how long and what was seen
    if (entry.kind == Entry::Kind::retraction) continue;
    entry.who = "A \"B\"";
    entry.minutes = entry.kind == Entry::Kind::repair ? 0.0 : 12.5;
    entry.photos = {std::string(64, 'a'), std::string(60, '0') + "9f9f"};
  }
  return all;
}

void check_same(const Entry& a, const Entry& b) {
  CHECK(a.kind == b.kind);
  CHECK(a.id == b.id);
  CHECK(a.at == b.at);
  CHECK(a.by == b.by);
  CHECK(a.fact == b.fact);
  CHECK(a.place == b.place);
  CHECK(a.values == b.values);
  CHECK(a.is_list == b.is_list);
  CHECK(a.unsure == b.unsure);
  CHECK(a.with == b.with);
  CHECK(a.check == b.check);
  CHECK(a.retracts == b.retracts);
  CHECK(a.repair == b.repair);
  CHECK(a.done == b.done);
  CHECK(a.closes == b.closes);
  CHECK(a.proof == b.proof);
  CHECK(a.who == b.who);
  CHECK(a.minutes == b.minutes);
  CHECK(a.photos == b.photos);
}

std::string nested(int depth) {
  const auto brackets = static_cast<std::size_t>(depth - 1);  // the object around them is one
  return "{\"perrev_case\": 1, \"entries\": [], \"x\": " + std::string(brackets, '[') +
         std::string(brackets, ']') + "}";
}

std::string with_keys(int count) {
  std::string out = "{\"perrev_case\": 1, \"entries\": []";
  for (int i = 2; i < count; ++i) out += ", \"k" + std::to_string(i) + "\": 0";
  return out + "}";
}

}  // namespace

TEST_CASE("what the program wrote comes back byte for byte, unknown keys in their places") {
  const std::string text = kWithUnknownKeys;
  const CaseFile file = parsed(text);
  CHECK(file.text() == text);
  CHECK(parsed(file.text()).text() == text);
  CHECK(file.label() == "Schüttelt bei 65 \"mph\" \x01");
  CHECK(file.member("true") == R"({"cause":"bent_rim","also":{}})");
  CHECK(file.member("alpha") == "\"last\"");
  CHECK(file.member("nowhere").empty());
}

TEST_CASE("however a case was laid out, it is written alike from the first time on") {
  const std::string base = R"({"b":1,"perrev_case":1,"a":{"y":[],"x":[1]},"entries":[]})";
  for (const std::string& text :
       {base, "\xEF\xBB\xBF" + base, "\r\n\t" + base + "\r\n\r\n",
        std::string(R"({ "b" : 1, "perrev_case": 1, "a": {"\u0079": [ ], "x":[1
]}, "entries":[]})")}) {
    CAPTURE(text);
    const std::string once = parsed(text).text();
    CHECK(once == parsed(base).text());
    CHECK(parsed(once).text() == once);
  }
}

TEST_CASE("adding entries leaves all that stood there as it was") {
  CaseFile file = parsed(kWithUnknownKeys);
  const std::string end_of_entries = "\n    }\n  ],";
  for (const Entry& entry : one_of_each_kind()) {
    const std::string before = file.text();
    file.add(entry);
    const std::string after = file.text();
    const std::size_t kept = before.find(end_of_entries) + 6;  // up to the closing bracket
    CHECK(after.substr(0, kept) == before.substr(0, kept));
    const std::size_t rest = before.size() - kept;
    CHECK(after.substr(after.size() - rest) == before.substr(kept));
  }
}

TEST_CASE("what was added is read back the same, whatever its kind") {
  CaseFile file;
  for (const Entry& entry : one_of_each_kind()) file.add(entry);
  const CaseFile again = parsed(file.text());
  REQUIRE(again.entries().size() == file.entries().size());
  for (std::size_t i = 0; i < again.entries().size(); ++i) {
    CAPTURE(i);
    CHECK(again.entries()[i].id == std::to_string(i + 1));
    check_same(again.entries()[i], file.entries()[i]);
  }
  CHECK(again.text() == file.text());
}

TEST_CASE("an entry without an id gets the number after the largest") {
  struct Row {
    std::string ids;  // of the entries there, each followed by a blank
    std::string next;
  };
  for (const Row& row : {Row{"", "1"}, Row{"7 3 ", "8"}, Row{"a 2b ", "1"},
                         Row{"5 99999999999999999999 ", "6"}, Row{"007 ", "8"}}) {
    CAPTURE(row.ids);
    CaseFile file;
    for (std::size_t at = 0; at < row.ids.size(); at = row.ids.find(' ', at) + 1) {
      Entry entry = answer_entry("pull", {"yes"}, false);
      entry.id = row.ids.substr(at, row.ids.find(' ', at) - at);
      file.add(entry);
    }
    file.add(answer_entry("pull", {"no"}, false));
    CHECK(file.entries().back().id == row.next);
  }
}

TEST_CASE("a copy is a case of its own, and an empty case is a case") {
  CaseFile one = parsed(kWithUnknownKeys);
  CaseFile other = one;
  other.set_label("other");
  other.add(answer_entry("pull", {"yes"}, false));
  CHECK(one.text() == kWithUnknownKeys);
  CHECK(other.entries().size() == 3);
  CHECK(parsed(other.text()).label() == "other");
  CHECK(CaseFile().text() ==
        "{\n  \"perrev_case\": 1,\n  \"label\": \"\",\n  \"entries\": []\n}\n");
  CHECK(parsed(CaseFile().text()).text() == CaseFile().text());
}

TEST_CASE("text that is no case") {
  const std::string check = "check commas, quotes and brackets";
  struct Row {
    std::string text, problem;
  };
  const Row rows[] = {
      {"", "a.json:1:1: error: the case breaks off here; " + check},
      {"{\"perrev_case\": 1,\n  \"entr",
       "a.json:2:8: error: the case breaks off here; " + check + "\n      \"entr"},
      {"{\"perrev_case\": 1, \"entries\": [\n",
       "a.json:2:1: error: the case breaks off here; " + check},
      {"{\"perrev_case\": 1,\n \"label\": oh}",
       "a.json:2:11: error: this is not JSON; " + check + "\n     \"label\": oh}"},
      {"{\"perrev_case\": 1 \"entries\": []}", "a.json:1:27: error: this is not JSON; " + check +
                                                   "\n    {\"perrev_case\": 1 \"entries\": []}"},
      {"{\"label\": \"\xC3(\"}",
       "a.json:1:13: error: a byte that is not UTF-8; a file saved as UTF-8\n    {\"label\": "
       "\"?(\"}"},
      {"{\"label\": \"\x1b[2J\"}",
       "a.json:1:12: error: this is not JSON; " + check + "\n    {\"label\": \" [2J\"}"},
      {"{} {}", "a.json:1:4: error: this is not JSON; " + check + "\n    {} {}"},
      {"[1]", "a.json: error: this is not a case; an object with \"perrev_case\": 1"},
      {"{}", "a.json: error: this is not a case; an object with \"perrev_case\": 1"},
      {"{\"perrev_case\": 1, \"x\": 1e999}",
       "a.json:1:29: error: a number that no program can hold; a smaller number\n"
       "    {\"perrev_case\": 1, \"x\": 1e999}"},
      {"{\"perrev_case\": \"1\"}",
       "a.json:/perrev_case: error: this is no format version; \"perrev_case\": 1"},
      {"{\"perrev_case\": 0}",
       "a.json:/perrev_case: error: this is no format version; \"perrev_case\": 1"},
      {"{\"perrev_case\": -1}",
       "a.json:/perrev_case: error: this is no format version; \"perrev_case\": 1"},
      {"{\"perrev_case\": 2}",
       "a.json:/perrev_case: error: the case is of format version 2, newer than this program; "
       "a perrev that reads version 2"},
      {"{\"perrev_case\": 18446744073709551615}",
       "a.json:/perrev_case: error: the case is of format version 18446744073709551615, newer than "
       "this program; a perrev that reads version 18446744073709551615"},
      {"{\"perrev_case\": 1, \"label\": 3, \"entries\": []}",
       "a.json:/label: error: 'label' must be text; \"...\""},
      {"{\"perrev_case\": 1}", "a.json: error: the case has no list of entries; \"entries\": []"},
      {"{\"perrev_case\": 1, \"entries\": {}}",
       "a.json:/entries: error: 'entries' must be a list; \"entries\": []"},
      {"{\"perrev_case\": 1, \"perrev_case\": 1, \"entries\": []}",
       "a.json:/perrev_case: error: the key \"perrev_case\" stands twice in one object; keep one"},
      {"{\"perrev_case\": 1, \"entries\": [{}, {\"a\": [0, {\"b\": 1}], \"x~/\": {\"b\": 1, \"b\": "
       "2}}]}",
       "a.json:/entries/1/x~0~1/b: error: the key \"b\" stands twice in one object; keep one"},
      {nested(51),
       "a.json:1:89: error: nested more than 50 deep; a case has less than ten levels\n    " +
           nested(51).substr(0, 96) + "..."},
      {with_keys(1001), "a.json:/k1000: error: an object has more than 1000 keys; fewer"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.text.substr(0, 200));
    CHECK(told(row.text) == row.problem);
  }
}

TEST_CASE("what is just small enough is read, and what is far too large is refused at once") {
  CHECK(told(nested(50)).empty());
  CHECK(told(with_keys(1000)).empty());
  CHECK(told(std::string((16u << 20) + 1, ' ')) ==
        "a.json: error: the case is larger than 16 MiB; a smaller one");
  CHECK(told(std::string(16u << 20, '[')).find("nested more than 50 deep") != std::string::npos);
  CHECK(told(with_keys(300000)).find("more than 1000 keys") != std::string::npos);
}

TEST_CASE("entries of the wrong shape are told with their pointers") {
  const std::string frame = "\"id\": \"1\", \"at\": \"2026-05-04T09:12:00Z\", \"by\": \"bay\"";
  struct Row {
    std::string entry, problems;  // without "a.json:/entries/0"
  };
  const Row rows[] = {
      {"7", ": error: an entry must be an object; {\"id\": ..., \"at\": ..., \"by\": ..., ...}"},
      {"{" + frame + "}",
       ": error: the entry says nothing; one of fact, check, retracts, repair, closes"},
      {"{\"fact\": \"pull\", \"value\": \"yes\"}",
       ": error: the entry has no 'id'; \"id\": \"...\"\n"
       ": error: the entry has no 'at'; \"at\": \"...\"\n"
       ": error: the entry has no 'by'; \"by\": \"...\""},
      {"{\"id\": 1, \"at\": \"noon\", \"by\": \"boss\", \"fact\": 3, \"value\": null}",
       "/id: error: 'id' must be text; \"...\"\n"
       "/at: error: \"noon\" is no moment; as 2026-05-04T09:12:00Z\n"
       "/by: error: \"boss\" enters nothing; write_up, road or bay\n"
       "/fact: error: 'fact' must be text; \"...\"\n"
       "/value: error: a value is text, a number with its unit as text, or a list of them; "
       "\"65 mph\""},
      {"{\"id\": \"\", \"at\": \"two\\nlines\", \"by\": \"bay\", \"retracts\": \"7\"}",
       "/id: error: 'id' is empty; \"...\"\n"
       "/at: error: \"two?lines\" is no moment; as 2026-05-04T09:12:00Z"},
      {"{" + frame + ", \"fact\": \"pull\"}",
       ": error: an answer needs 'value' or \"answer\": \"unsure\"; one of the two"},
      {"{" + frame + ", \"fact\": \"pull\", \"value\": \"yes\", \"answer\": \"unsure\"}",
       ": error: an answer needs 'value' or \"answer\": \"unsure\"; one of the two"},
      {"{" + frame + ", \"fact\": \"pull\", \"answer\": \"maybe\"}",
       "/answer: error: the only such answer is unsure; \"value\": ..."},
      {"{" + frame + ", \"fact\": \"pull\", \"answer\": true}",
       "/answer: error: 'answer' must be text; \"...\""},
      {"{" + frame + ", \"fact\": \"felt_at\", \"value\": [\"seat\", [], {}]}",
       "/value/1: error: an item must be text; \"...\"\n"
       "/value/2: error: an item must be text; \"...\""},
      {"{" + frame + ", \"fact\": \"pull\", \"value\": \"yes\", \"place\": 4, \"with\": []}",
       "/place: error: 'place' must be text; \"...\"\n"
       "/with: error: 'with' must be an object; {\"by\": \"gps\"}"},
      {"{" + frame +
           ", \"fact\": \"pull\", \"value\": \"yes\", \"with\": {\"by\": true, \"speed\": []}}",
       "/with/by: error: 'by' must be text; \"...\"\n"
       "/with/speed: error: 'speed' must be text; \"...\""},
      {"{" + frame + ", \"retracts\": \"7\", \"who\": 3, \"minutes\": \"5\", \"photos\": {}}",
       "/who: error: 'who' must be text; \"...\"\n"
       "/minutes: error: 'minutes' must be a number from 0 to 100000; \"minutes\": 12\n"
       "/photos: error: 'photos' must be a list; [\"...\"]"},
      {"{" + frame + ", \"retracts\": \"7\", \"minutes\": -0.5}",
       "/minutes: error: 'minutes' must be a number from 0 to 100000; \"minutes\": 12"},
      {"{" + frame + ", \"retracts\": \"7\", \"minutes\": 100001}",
       "/minutes: error: 'minutes' must be a number from 0 to 100000; \"minutes\": 12"},
      {"{" + frame + ", \"retracts\": \"7\", \"photos\": [\"" + std::string(64, '0') + "\", \"" +
           std::string(63, '0') + "\", \"" + std::string(64, 'A') + "\"]}",
       "/photos/1: error: a photo is named by 64 hex digits; the SHA-256 of its bytes, in small "
       "letters\n"
       "/photos/2: error: a photo is named by 64 hex digits; the SHA-256 of its bytes, in small "
       "letters"},
      {"{" + frame + ", \"check\": \"drive\", \"answer\": \"done\"}",
       "/answer: error: a check is entered only when it cannot be done; \"answer\": "
       "\"not_possible\""},
      {"{" + frame + ", \"repair\": \"rebalance\"}",
       ": error: the entry has no 'result'; \"result\": \"...\""},
      {"{" + frame + ", \"repair\": \"rebalance\", \"result\": \"fine\"}",
       "/result: error: \"fine\" is no result; done or not_done"},
      {"{" + frame + ", \"closes\": \"wheel_imbalance\", \"proof\": 1}",
       "/closes: error: 'closes' must be a list; [\"...\"]\n"
       "/proof: error: 'proof' must be text; \"...\""},
  };
  for (const Row& row : rows) {
    CAPTURE(row.entry);
    std::string expected = "a.json:/entries/0" + row.problems;
    for (std::size_t at = 0; (at = expected.find('\n', at)) != std::string::npos;)
      expected.insert(++at, "a.json:/entries/0");
    CHECK(told("{\"perrev_case\": 1, \"entries\": [" + row.entry + "]}") == expected);
  }
}

TEST_CASE("an id stands once; the second of two is told, and all such ids") {
  const std::string rest =
      "\", \"at\": \"2026-05-04T09:12:00Z\", \"by\": \"bay\", \"retracts\": \"7\"}";
  std::string text = "{\"perrev_case\": 1, \"entries\": [";
  for (const char* id : {"7", "a", "7", "07", "a"})
    text += std::string(text.back() == '[' ? "" : ", ") + "{\"id\": \"" + id + rest;
  CHECK(told(text + "]}") ==
        "a.json:/entries/2/id: error: the id \"7\" stands twice; an id of its own\n"
        "a.json:/entries/4/id: error: the id \"a\" stands twice; an id of its own");
}
