// The file: how it comes to its schema, what it refuses, what `check` finds.
#include <doctest/doctest.h>
#include <sys/stat.h>

#include <filesystem>

#include "tests/src/store/shop.h"

using perrev::Refused;
using perrev::Store;
using namespace perrev::test;

namespace {

// A store as the first version made it, with a case.
const char* const kFirstVersion = R"(
PRAGMA application_id = 1886548598;
PRAGMA user_version = 1;
CREATE TABLE shop_case(id TEXT PRIMARY KEY) STRICT, WITHOUT ROWID;
CREATE TABLE addition(
  seq INTEGER PRIMARY KEY,
  case_id TEXT NOT NULL REFERENCES shop_case(id),
  part TEXT NOT NULL,
  entry_id TEXT,
  json TEXT NOT NULL,
  entries INTEGER NOT NULL,
  bytes INTEGER NOT NULL,
  last_at TEXT NOT NULL
) STRICT;
CREATE TABLE photo(sha256 TEXT PRIMARY KEY, type TEXT NOT NULL, bytes BLOB NOT NULL) STRICT;
CREATE TABLE case_photo(seq INTEGER PRIMARY KEY, case_id TEXT NOT NULL, sha256 TEXT NOT NULL) STRICT;
INSERT INTO shop_case VALUES ('old-case');
INSERT INTO addition VALUES (1, 'old-case', 'head', NULL,
  '{"perrev_case":1,"label":"Old van","entries":[]}', 0, 0, '');
INSERT INTO addition VALUES (2, 'old-case', 'words', '1',
  '{"id":"1","at":"2026-05-04T09:12:00Z","by":"bay","fact":"complaint_words","value":"hums loudly"}',
  1, 155, '2026-05-04T09:12:00Z');
INSERT INTO addition VALUES (3, 'old-case', 'answer', '2',
  '{"id":"2","at":"2026-05-04T09:12:00Z","by":"bay","fact":"pull","answer":"unsure"}',
  2, 300, '2026-05-04T09:12:00Z');
)";

std::string opening(const std::string& path) {
  const auto store = Store::open(path, Store::Mode::existing);
  return store ? "" : told(store.error());
}

void make_sound_case(Store& store) {
  REQUIRE(store.add_case("case-1", R"({"label":"van"})").ok());
  REQUIRE(store.add_entries("case-1", {words_entry("1", "hums"), words_entry("2", "shakes")}).ok());
  REQUIRE(store.add_photo("case-1", "\xff\xd8\xff photo", "").ok());
}

}  // namespace

TEST_CASE("a store of the first version is brought on: what was in it is found by its words") {
  const Folder folder;
  const std::string file = folder.path("shop.db");
  REQUIRE(run_sql(file, kFirstVersion) == "");
  {
    const auto store = Store::open(file, Store::Mode::existing);
    REQUIRE(store.ok());
    for (const char* search : {"old hums", "loud", "van"}) {
      const auto found = (*store)->cases(search, 0, 10);
      REQUIRE(found.ok());
      REQUIRE(found->size() == 1);
      CHECK(found->front().words == "hums loudly");
    }
    CHECK((*store)->cases("unsure", 0, 10).value().empty());
    REQUIRE((*store)->add_entries("old-case", {words_entry("3", "whistles")}).ok());
    CHECK((*store)->cases("whis", 0, 10).value().size() == 1);
  }
  CHECK(opening(file) == "");
}

TEST_CASE("a store of a newer program and files that are no store are left alone") {
  const Folder folder;
  const auto kept = [&](const std::string& name, const std::string& message) {
    const std::string before = folder.read(name);
    CHECK(opening(folder.path(name)) == folder.path(name) + ": error: " + message);
    CHECK(folder.read(name) == before);
  };
  {
    REQUIRE(Store::open(folder.path("new.db"), Store::Mode::create).ok());
  }
  REQUIRE(run_sql(folder.path("new.db"), "PRAGMA user_version = 3") == "");
  kept("new.db", "the store is of schema 3, newer than this program; a perrev that knows schema 3");
  REQUIRE(run_sql(folder.path("other.db"), "CREATE TABLE addition(x)") == "");
  kept("other.db", "this is no store; a file that perrev made");
  folder.write("text.db", std::string(5000, 'x'));
  kept("text.db", "this is no store; a file that perrev made");
  CHECK(opening(folder.path("none.db")) ==
        folder.path("none.db") + ": error: no such store; the path of a store's file");
  CHECK(!folder.has("none.db"));
  CHECK(opening(folder.path("")).find("error") != std::string::npos);
}

TEST_CASE("a new store is its owner's alone, in folders that were not there") {
  const Folder folder;
  const std::string file = folder.path("a/b/shop.db");
  REQUIRE(Store::open(file, Store::Mode::create).ok());
  struct stat info{};
  REQUIRE(::stat(file.c_str(), &info) == 0);
  CHECK((info.st_mode & 0777u) == 0600u);
}

TEST_CASE("the file itself refuses to change or lose what was added") {
  const Shop shop;
  make_sound_case(*shop);
  for (const char* sql :
       {"UPDATE addition SET json = '{}' WHERE seq = 2",
        "UPDATE addition SET seq = 9 WHERE seq = 2", "DELETE FROM addition WHERE seq = 2",
        "DELETE FROM addition",
        "INSERT OR REPLACE INTO addition SELECT * FROM addition WHERE seq = 2",
        "INSERT OR REPLACE INTO addition SELECT 9, case_id, part, entry_id, json, "
        "entries, bytes, last_at FROM addition WHERE seq = 2",
        "INSERT INTO addition SELECT 1, case_id, part, 'new', json, entries, "
        "bytes, last_at FROM addition WHERE seq = 2",
        "UPDATE shop_case SET id = 'case-2'", "DELETE FROM shop_case",
        "UPDATE photo SET type = 'image/png'", "DELETE FROM photo",
        "INSERT OR REPLACE INTO photo SELECT sha256, type, x'00' FROM photo",
        "UPDATE case_photo SET seq = 5", "DELETE FROM case_photo"}) {
    CAPTURE(sql);
    const std::string message = shop.run_sql(sql);
    CHECK(message.find("are only added to") != std::string::npos);
  }
  CHECK(shop->last_seq().value() == 3);
  CHECK(faults(*shop) == "");
}

TEST_CASE("check finds what somebody did past the triggers") {
  struct Row {
    const char* sql;
    const char* told;
  };
  const std::string off =
      "DROP TRIGGER addition_stays; DROP TRIGGER addition_kept; "
      "DROP TRIGGER photo_stays; DROP TRIGGER case_photo_kept; "
      "DROP TRIGGER addition_found;";
  const Row rows[] = {
      {"DROP TRIGGER addition_stays", "the tables or triggers are not those"},
      {"DROP INDEX addition_listed", "the tables or triggers are not those"},
      {"UPDATE addition SET json = replace(json, 'hums', 'howl') WHERE seq = 2",
       "the search index does not agree"},
      {"UPDATE addition SET json = replace(json, 'hums', 'hum') WHERE seq = 2",
       "addition 2 of \"case-1\" counts its case wrongly"},
      {"UPDATE addition SET json = 'x' WHERE seq = 3", "addition 3 of \"case-1\" is not what"},
      {"UPDATE addition SET json = '{}' WHERE seq = 1", "addition 1 of \"case-1\" is not what"},
      {"DELETE FROM addition WHERE seq = 2", "addition 3 of \"case-1\" counts its case wrongly"},
      {"DELETE FROM addition WHERE seq = 1", "addition 2 of \"case-1\" comes before the head"},
      {"DELETE FROM addition", "the case \"case-1\" has no head"},
      {"UPDATE photo SET bytes = x'ffd8ff00'", "is not the one that was added"},
      {"PRAGMA foreign_keys = OFF; UPDATE photo SET sha256 = 'a'", "belongs to no photo"},
      {"INSERT INTO search(search) VALUES ('delete-all')", "the search index does not agree"},
  };
  for (const Row& row : rows) {
    const std::string sql = row.sql;
    CAPTURE(sql);
    const Shop shop;
    make_sound_case(*shop);
    REQUIRE(faults(*shop) == "");
    // The triggers are put back, so that it is not they that are missed.
    std::string back;
    if (sql.find("UPDATE") != std::string::npos || sql.find("DELETE") == 0)
      back = ";" + std::string(R"(
CREATE TRIGGER addition_stays BEFORE UPDATE ON addition
  BEGIN SELECT RAISE(ABORT, 'cases are only added to'); END;
CREATE TRIGGER addition_kept BEFORE DELETE ON addition
  BEGIN SELECT RAISE(ABORT, 'cases are only added to'); END;
CREATE TRIGGER photo_stays BEFORE UPDATE ON photo
  BEGIN SELECT RAISE(ABORT, 'photos are only added to'); END;
CREATE TRIGGER case_photo_kept BEFORE DELETE ON case_photo
  BEGIN SELECT RAISE(ABORT, 'photos are only added to'); END;
CREATE TRIGGER addition_found AFTER INSERT ON addition
  BEGIN INSERT INTO search(rowid, words) SELECT seq, words FROM written WHERE seq = NEW.seq; END;
)");
    REQUIRE(shop.run_sql((back.empty() ? "" : off) + sql + back) == "");
    const std::string found = faults(*shop);
    CAPTURE(found);
    CHECK(found.find(row.told) != std::string::npos);
    CHECK(shop->cases("", 0, 10).ok());
    CHECK(shop->since("", 0, 10).ok());
  }
}

TEST_CASE("of a store whose cases were damaged there is no backup, and the last good one stays") {
  Shop shop;
  make_sound_case(*shop);
  REQUIRE(!shop->backup(shop.folder().path("good.db")));
  shop.close();
  std::string bytes = shop.folder().read("good.db");
  const std::size_t at = bytes.find("\"value\"");
  REQUIRE(at != std::string::npos);
  bytes.replace(at, 7, "\"valve\"");
  shop.folder().write("bad.db", bytes);
  const auto store = Store::open(shop.folder().path("bad.db"), Store::Mode::existing);
  REQUIRE(store.ok());
  const auto refusal = (*store)->backup(shop.folder().path("new.db"));
  REQUIRE(refusal);
  CHECK(told(*refusal).find("is not what perrev writes") != std::string::npos);
  for (const std::string& name : shop.folder().names()) CHECK(name.find("new.db") == name.npos);
  const Ran ran = run_perrev({"store", "export", "--store", shop.folder().path("bad.db"), "--to",
                              shop.folder().path("out")});
  CHECK(ran.code == 1);
  CHECK(ran.err.find("is not what perrev writes") != std::string::npos);
}

TEST_CASE("nothing is added to a store that was taken away while it was in use") {
  for (const bool moved : {true, false}) {
    Shop shop;
    make_sound_case(*shop);
    if (moved)
      std::filesystem::rename(shop.file(), shop.folder().path("elsewhere.db"));
    else
      std::filesystem::remove(shop.file());
    const auto added = shop->add_entries("case-1", {answer_entry("x1", "nuts_loose", "no")});
    REQUIRE(!added);
    CHECK(told(added.error()).find("moved or deleted while it was in use") != std::string::npos);
  }
}

TEST_CASE("a file cut or overwritten in the middle is told, not followed") {
  for (const bool cut : {true, false}) {
    const Shop shop;
    make_sound_case(*shop);
    REQUIRE(!shop->backup(shop.folder().path("copy.db")));
    std::string bytes = shop.folder().read("copy.db");
    if (cut)
      bytes.resize(bytes.size() / 2);
    else
      for (std::size_t i = 5000; i < bytes.size(); i += 7) bytes[i] = '\x5a';
    shop.folder().write("bad.db", bytes);
    const auto store = Store::open(shop.folder().path("bad.db"), Store::Mode::existing);
    CHECK((!store || faults(**store) != ""));
  }
}
