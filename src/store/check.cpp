// Everything that should hold of a store's file.
#include <sqlite3.h>

#include "engine/casefile/casefile.h"
#include "engine/quantity/text.h"
#include "src/store/case_json.h"
#include "src/store/changes.h"
#include "src/store/digest.h"
#include "src/store/inside.h"
#include "src/store/photo_bytes.h"
#include "src/store/schema.h"

namespace perrev {

namespace {

constexpr std::size_t kMostTold = 100;

class Checker {
 public:
  explicit Checker(sql::Connection& connection) : sql_(connection) {}

  Problems problems;

  void tables() {
    auto rows = sql_.statement("PRAGMA integrity_check");
    while (rows.row())
      if (rows.text(0) != "ok") tell("the file is damaged: " + rows.text(0));
    auto keys = sql_.statement("PRAGMA foreign_key_check");
    while (keys.row()) tell("a row of " + keys.text(0) + " belongs to no " + keys.text(2));
    if (!has_newest_schema(sql_)) tell("the tables or triggers are not those that perrev makes");
  }

  // Each row says of its case what the rows before it add up to.
  void additions() {
    auto rows = sql_.statement(
        "SELECT case_id, seq, part, entry_id, json, entries, bytes, last_at FROM addition "
        "ORDER BY case_id, seq");
    std::string of;
    Tally tally;
    while (rows.row()) {
      const bool is_first = rows.text(0) != of;
      if (is_first) {
        of = rows.text(0);
        tally = {};
      }
      const std::string here =
          "addition " + std::to_string(rows.number(1)) + " of " + perrev::quoted(of);
      if (rows.number(1) <= 0) tell(here + " has a seq that does not rise");
      const bool is_head = rows.text(2) == "head";
      if (is_first && !is_head) tell(here + " comes before the head of its case");
      if (is_head ? !sound_head(rows.text(4)) : !sound_entry(rows, tally))
        tell(here + " is not what perrev writes");
      else if (rows.number(5) != tally.entries || rows.number(6) != tally.bytes ||
               rows.text(7) != tally.last_at)
        tell(here + " counts its case wrongly");
    }
    auto none = sql_.statement(
        "SELECT id FROM shop_case WHERE NOT EXISTS (SELECT 1 FROM addition WHERE case_id = id)");
    while (none.row()) tell("the case " + perrev::quoted(none.text(0)) + " has no head");
  }

  void photos() {
    auto rows = sql_.statement("SELECT sha256, type, bytes FROM photo ORDER BY sha256");
    while (rows.row()) {
      const std::string bytes = rows.text(2);
      if (sha256_hex(bytes) != rows.text(0) || image_type(bytes) != rows.text(1) ||
          bytes.size() > kLargestPhoto)
        tell("the photo " + perrev::quoted(rows.text(0)) + " is not the one that was added");
    }
  }

  void tell(std::string what) {
    if (problems.size() < kMostTold) problems.push_back(problem(std::move(what), "a backup"));
  }

 private:
  static bool sound_head(const std::string& json) {
    const auto read = read_head(json);
    return read && *read == json;
  }

  // Counts it, too.
  static bool sound_entry(const sql::Statement& row, Tally& tally) {
    const auto read = read_entries({row.text(4)});
    if (!read || read->size() != 1) return false;
    const StoredEntry& entry = read->front();
    tally.add(entry);
    return entry.json == row.text(4) && entry.id == row.text(3) && entry.part == row.text(2);
  }

  sql::Connection& sql_;
};

}  // namespace

Stored<Problems> Store::check(Index index) const {
  auto connection = sql::Connection::open(path(), SQLITE_OPEN_READWRITE, inside_->patience());
  if (!connection) return connection.error();
  sql::Connection& checking = **connection;
  Checker checker(checking);
  {
    const sql::Transaction transaction(checking, sql::Transaction::Kind::reading);
    checker.tables();
    if (checker.problems.empty()) {
      checker.additions();
      checker.photos();
    }
  }
  if (auto failure = checking.take_failure()) return *std::move(failure);
  // The index compares itself with what was written; it is asked by an insertion, which adds
  // nothing (SQLite docs, "The 'integrity-check' Command").
  if (index == Index::with && checker.problems.empty() && !checking.read_only()) {
    const sql::Transaction transaction(checking, sql::Transaction::Kind::writing);
    checking.run("INSERT INTO search(search, rank) VALUES ('integrity-check', 1)");
    auto failure = checking.take_failure();
    if (failure && failure->kind == Refused::Kind::busy) return *std::move(failure);
    if (failure) checker.tell("the search index does not agree with what was written");
  }
  const auto ids = case_ids();
  if (!ids) return ids.error();
  for (const std::string& id : *ids) {
    const auto document = case_text(id, Photos::with);
    const auto read = document ? CaseFile::parse("case " + id, document->text)
                               : Result<CaseFile, Problems>(document.error().problems);
    if (read) continue;
    for (const Problem& p : read.error()) checker.problems.push_back(p);
  }
  return checker.problems;
}

}  // namespace perrev
