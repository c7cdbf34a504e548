// A thin layer over SQLite: a connection, its prepared statements, a transaction.
//
// Failure is remembered by the connection: from the first one on, statements give no rows and
// nothing is committed, until the failure is taken. So a caller looks once, at the end.
// A connection belongs to one thread at a time.
#pragma once

#include <chrono>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "src/store/store.h"

struct sqlite3;
struct sqlite3_stmt;

namespace perrev::sql {

class Statement;

class Connection {
 public:
  // `flags` of sqlite3_open_v2. Sets foreign_keys and synchronous=FULL.
  static Stored<std::unique_ptr<Connection>> open(const std::string& path, int flags,
                                                  const Patience& patience = {});
  ~Connection();
  Connection(const Connection&) = delete;
  Connection& operator=(const Connection&) = delete;

  // Prepared once and kept; ready for its first parameter.
  Statement statement(const char* text);
  // Statements without parameters or rows.
  void run(const char* text);

  bool failed() const { return failure_.has_value(); }
  // The failure, if any; afterwards the connection works again.
  std::optional<Refused> take_failure();
  sqlite3* handle() const { return handle_; }
  // A file on a disk, or of rights, that let nobody write.
  bool read_only() const;
  const Patience& patience() const { return patience_; }

 private:
  friend class Statement;
  Connection(std::string path, sqlite3* handle, const Patience& patience)
      : path_(std::move(path)), handle_(handle), patience_(patience) {}
  void note(int code);
  bool wait_again(bool first);

  std::string path_;
  sqlite3* handle_;
  const Patience patience_;
  std::chrono::steady_clock::time_point waits_since_;
  bool told_ = false;
  std::map<std::string, sqlite3_stmt*, std::less<>> prepared_;
  std::optional<Refused> failure_;
};

// Used up and given back when it goes. No two of one text at a time.
class Statement {
 public:
  ~Statement();
  Statement(const Statement&) = delete;
  Statement& operator=(const Statement&) = delete;

  // The next parameter.
  Statement& with(std::string_view text);
  Statement& with(std::int64_t number);
  Statement& with_bytes(std::string_view bytes);
  Statement& with_nothing();

  bool row();  // false: no more of them, or failure
  void run();  // for statements without rows

  std::int64_t number(int column) const;
  std::string text(int column) const;  // of bytes, too; empty for NULL

 private:
  friend class Connection;
  Statement(Connection& connection, sqlite3_stmt* held) : connection_(connection), held_(held) {}
  Connection& connection_;
  sqlite3_stmt* held_;  // null after a failure
  int next_ = 1;
};

// Undone when it goes, unless committed.
class Transaction {
 public:
  enum class Kind { reading, writing };
  Transaction(Connection& connection, Kind kind);
  ~Transaction();
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  // False when it was not, or an earlier step failed.
  bool commit();

 private:
  Connection& connection_;
  bool open_ = false;
};

}  // namespace perrev::sql
