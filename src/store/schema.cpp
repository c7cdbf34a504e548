#include "src/store/schema.h"

#include <sqlite3.h>

#include <array>
#include <chrono>
#include <string>
#include <thread>

namespace perrev {

namespace {

// A step is never changed once a file may have gone it: a new one is added.
constexpr std::array<const char*, 2> kSteps = {
    // 1: the log. `part` is what an addition is about, as far as lists of cases ask for it.
    // `entries`, `bytes` and `last_at` are of the case with this addition: how many entries, their
    // size in an exported file, the newest of their moments.
    R"(
CREATE TABLE shop_case(id TEXT PRIMARY KEY) STRICT, WITHOUT ROWID;

CREATE TABLE addition(
  seq INTEGER PRIMARY KEY,
  case_id TEXT NOT NULL REFERENCES shop_case(id),
  part TEXT NOT NULL
    CHECK (part IN ('head', 'words', 'answer', 'check', 'retraction', 'repair', 'closing')),
  entry_id TEXT CHECK ((entry_id IS NULL) = (part = 'head')),
  json TEXT NOT NULL,
  entries INTEGER NOT NULL,
  bytes INTEGER NOT NULL,
  last_at TEXT NOT NULL
) STRICT;
CREATE UNIQUE INDEX addition_of_case ON addition(case_id, seq);
CREATE UNIQUE INDEX addition_of_entry ON addition(case_id, entry_id) WHERE entry_id IS NOT NULL;
CREATE INDEX addition_listed ON addition(case_id, seq)
  WHERE part IN ('head', 'words', 'retraction', 'closing');

CREATE TABLE photo(sha256 TEXT PRIMARY KEY, type TEXT NOT NULL, bytes BLOB NOT NULL) STRICT;
CREATE TABLE case_photo(
  seq INTEGER PRIMARY KEY,
  case_id TEXT NOT NULL REFERENCES shop_case(id),
  sha256 TEXT NOT NULL REFERENCES photo(sha256),
  UNIQUE (case_id, sha256)
) STRICT;

-- BEFORE INSERT, as INSERT OR REPLACE removes rows without asking a trigger.
CREATE TRIGGER shop_case_stays BEFORE UPDATE ON shop_case
  BEGIN SELECT RAISE(ABORT, 'cases are only added to'); END;
CREATE TRIGGER shop_case_kept BEFORE DELETE ON shop_case
  BEGIN SELECT RAISE(ABORT, 'cases are only added to'); END;
CREATE TRIGGER shop_case_new BEFORE INSERT ON shop_case
  WHEN EXISTS (SELECT 1 FROM shop_case WHERE id = NEW.id)
  BEGIN SELECT RAISE(ABORT, 'cases are only added to'); END;
CREATE TRIGGER addition_stays BEFORE UPDATE ON addition
  BEGIN SELECT RAISE(ABORT, 'cases are only added to'); END;
CREATE TRIGGER addition_kept BEFORE DELETE ON addition
  BEGIN SELECT RAISE(ABORT, 'cases are only added to'); END;
CREATE TRIGGER addition_new BEFORE INSERT ON addition
  WHEN (NEW.seq > 0 AND NEW.seq <= (SELECT max(seq) FROM addition))
    OR EXISTS (SELECT 1 FROM addition WHERE case_id = NEW.case_id AND entry_id = NEW.entry_id)
  BEGIN SELECT RAISE(ABORT, 'cases are only added to'); END;
CREATE TRIGGER photo_stays BEFORE UPDATE ON photo
  BEGIN SELECT RAISE(ABORT, 'photos are only added to'); END;
CREATE TRIGGER photo_kept BEFORE DELETE ON photo
  BEGIN SELECT RAISE(ABORT, 'photos are only added to'); END;
CREATE TRIGGER photo_new BEFORE INSERT ON photo
  WHEN EXISTS (SELECT 1 FROM photo WHERE sha256 = NEW.sha256)
  BEGIN SELECT RAISE(ABORT, 'photos are only added to'); END;
CREATE TRIGGER case_photo_stays BEFORE UPDATE ON case_photo
  BEGIN SELECT RAISE(ABORT, 'photos are only added to'); END;
CREATE TRIGGER case_photo_kept BEFORE DELETE ON case_photo
  BEGIN SELECT RAISE(ABORT, 'photos are only added to'); END;
CREATE TRIGGER case_photo_new BEFORE INSERT ON case_photo
  WHEN (NEW.seq > 0 AND NEW.seq <= (SELECT max(seq) FROM case_photo))
    OR EXISTS (SELECT 1 FROM case_photo WHERE case_id = NEW.case_id AND sha256 = NEW.sha256)
  BEGIN SELECT RAISE(ABORT, 'photos are only added to'); END;
)",
    // 2: the search index over what people wrote: labels, complaint words, and answers that are no
    // answer's id (small letters, digits, underscores) but text. A row for each addition.
    R"(
CREATE VIEW written(seq, words) AS
  SELECT seq, CASE part WHEN 'head' THEN json_extract(json, '$.label')
                        ELSE json_extract(json, '$.value') END
  FROM addition
  WHERE (part = 'head' AND json_type(json, '$.label') = 'text')
     OR (part = 'words' AND json_type(json, '$.value') = 'text')
     OR (part = 'answer' AND json_type(json, '$.value') = 'text'
         AND json_extract(json, '$.value') GLOB '*[^a-z0-9_]*');
CREATE VIRTUAL TABLE search USING fts5(words, content='written', content_rowid='seq',
  tokenize="unicode61 remove_diacritics 2", prefix='2 3');
INSERT INTO search(rowid, words) SELECT seq, words FROM written;
CREATE TRIGGER addition_found AFTER INSERT ON addition
  BEGIN INSERT INTO search(rowid, words) SELECT seq, words FROM written WHERE seq = NEW.seq; END;
)"};

std::int64_t pragma(sql::Connection& connection, const char* text) {
  auto asked = connection.statement(text);
  return asked.row() ? asked.number(0) : 0;
}

Refused no_store(const std::string& path, std::string what, std::string right) {
  return Refused{Refused::Kind::broken,
                 {Problem{{path, 0, 0, {}}, std::move(what), std::move(right), {}}}};
}

// Whether the file may be worked with. One without tables is new. Asked within a transaction:
// another process may make the store between two looks.
std::optional<Refused> stranger(sql::Connection& connection, const std::string& path) {
  const std::int64_t application = pragma(connection, "PRAGMA application_id");
  const std::int64_t version = pragma(connection, "PRAGMA user_version");
  const std::int64_t tables = pragma(connection, "SELECT count(*) FROM sqlite_schema");
  if (auto failure = connection.take_failure()) return failure;
  const bool is_new = application == 0 && version == 0 && tables == 0;
  if (!is_new && application != kApplicationId)
    return no_store(path, "this is no store", "a file that perrev made");
  if (version > newest_schema() || version < 0)
    return no_store(
        path, "the store is of schema " + std::to_string(version) + ", newer than this program",
        "a perrev that knows schema " + std::to_string(version));
  return std::nullopt;
}

// Turning a file into WAL wants it alone and does not wait for that by itself.
std::optional<Refused> write_ahead(sql::Connection& connection) {
  const auto end = std::chrono::steady_clock::now() + connection.patience().longest;
  for (;;) {
    connection.run("PRAGMA journal_mode = WAL");
    auto failure = connection.take_failure();
    if (!failure || failure->kind != Refused::Kind::busy || std::chrono::steady_clock::now() >= end)
      return failure;
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
  }
}

}  // namespace

std::int64_t newest_schema() { return static_cast<std::int64_t>(kSteps.size()); }

std::optional<Refused> migrate(sql::Connection& connection, const std::string& path) {
  // Before anything is written: the file may be somebody else's.
  {
    const sql::Transaction look(connection, sql::Transaction::Kind::reading);
    if (auto refused = stranger(connection, path)) return refused;
  }
  // A backup on a disk that cannot be written: it is read as it stands.
  if (connection.read_only() && pragma(connection, "PRAGMA user_version") == newest_schema())
    return connection.take_failure();
  if (auto refused = write_ahead(connection)) return refused;
  for (;;) {
    if (pragma(connection, "PRAGMA user_version") == newest_schema())
      return connection.take_failure();
    sql::Transaction step(connection, sql::Transaction::Kind::writing);
    // Another process may have taken it meanwhile.
    if (auto refused = stranger(connection, path)) return refused;
    const std::int64_t version = pragma(connection, "PRAGMA user_version");
    if (version < newest_schema()) {
      connection.run(kSteps[static_cast<std::size_t>(version)]);
      connection.run(("PRAGMA application_id = " + std::to_string(kApplicationId)).c_str());
      connection.run(("PRAGMA user_version = " + std::to_string(version + 1)).c_str());
    }
    if (!step.commit()) return connection.take_failure();
  }
}

namespace {

std::string schema_text(sql::Connection& connection) {
  std::string out;
  auto rows = connection.statement(
      "SELECT type || ' ' || name || ': ' || coalesce(sql, '') FROM sqlite_schema "
      "WHERE name NOT LIKE 'sqlite_%' ORDER BY type, name");
  while (rows.row()) out += rows.text(0) + "\n";
  return out;
}

}  // namespace

bool has_newest_schema(sql::Connection& connection) {
  auto fresh = sql::Connection::open(":memory:", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE);
  if (!fresh) return false;
  for (const char* step : kSteps) (*fresh)->run(step);
  return schema_text(**fresh) == schema_text(connection) && !(*fresh)->failed();
}

}  // namespace perrev
