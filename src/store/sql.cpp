#include "src/store/sql.h"

#include <sqlite3.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <thread>
#include <utility>

namespace perrev::sql {

namespace {

// `error` is errno of what failed below SQLite; 0: nothing did.
Refused refusal(const std::string& path, int code, int error, const std::string& told) {
  const auto refused = [&](Refused::Kind kind, std::string what, std::string right) {
    return Refused{kind, {Problem{{path, 0, 0, {}}, std::move(what), std::move(right), {}}}};
  };
  switch (code & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return refused(Refused::Kind::busy, "another program keeps the store busy", "try again");
    case SQLITE_NOTADB:
      return refused(Refused::Kind::broken, "this is no store", "a file that perrev made");
    case SQLITE_CORRUPT:
      return refused(Refused::Kind::broken, "the store is damaged: " + told, "a backup");
    case SQLITE_FULL:
      return refused(Refused::Kind::broken, "there is no room to write", "more room on the disk");
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_CANTOPEN:
      return refused(Refused::Kind::broken, "the store cannot be opened for writing: " + told,
                     "a file and a folder that you may write");
    case SQLITE_IOERR:
      if (error == ENOSPC || error == EFBIG || error == EDQUOT)
        return refused(Refused::Kind::broken,
                       std::string("there is no room to write: ") + std::strerror(error),
                       "more room on the disk");
      return refused(Refused::Kind::broken,
                     "the store cannot be read or written: " +
                         (error != 0 ? std::string(std::strerror(error)) : told),
                     "a sound disk, and perrev store check");
    default:
      return refused(Refused::Kind::broken, "the store failed: " + told, "perrev store check");
  }
}

}  // namespace

Stored<std::unique_ptr<Connection>> Connection::open(const std::string& path, int flags,
                                                     const Patience& patience) {
  sqlite3* handle = nullptr;
  // A path as it is, never a URI; the connection is its holder's alone, so it needs no mutex.
  const int code = sqlite3_open_v2(path.c_str(), &handle,
                                   flags | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE, nullptr);
  std::unique_ptr<Connection> out(new Connection(path, handle, patience));
  if (code != SQLITE_OK)
    return refusal(path, code, handle ? sqlite3_system_errno(handle) : 0,
                   handle ? sqlite3_errmsg(handle) : "not enough memory");
  sqlite3_busy_handler(
      handle,
      [](void* of, int times) {
        return static_cast<Connection*>(of)->wait_again(times == 0) ? 1 : 0;
      },
      out.get());
  sqlite3_db_config(handle, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  out->run("PRAGMA foreign_keys = ON");
  out->run("PRAGMA synchronous = FULL");
  if (auto failure = out->take_failure()) return *std::move(failure);
  return out;
}

bool Connection::wait_again(bool first) {
  constexpr auto kPause = std::chrono::milliseconds(10), kSilent = std::chrono::milliseconds(1000);
  const auto now = std::chrono::steady_clock::now();
  if (first) {
    waits_since_ = now;
    told_ = false;
  }
  const auto left = patience_.longest - (now - waits_since_);
  if (left <= left.zero()) return false;
  if (!told_ && now - waits_since_ >= kSilent && patience_.told) {
    told_ = true;
    patience_.told();
  }
  std::this_thread::sleep_for(std::min<std::chrono::nanoseconds>(left, kPause));
  return true;
}

Connection::~Connection() {
  for (const auto& [text, held] : prepared_) sqlite3_finalize(held);
  sqlite3_close(handle_);
}

bool Connection::read_only() const { return sqlite3_db_readonly(handle_, "main") == 1; }

Statement Connection::statement(const char* text) {
  if (failed()) return Statement(*this, nullptr);
  const auto found = prepared_.find(std::string_view(text));
  if (found != prepared_.end()) return Statement(*this, found->second);
  sqlite3_stmt* held = nullptr;
  note(sqlite3_prepare_v3(handle_, text, -1, SQLITE_PREPARE_PERSISTENT, &held, nullptr));
  if (held) prepared_.emplace(text, held);
  return Statement(*this, held);
}

void Connection::run(const char* text) {
  if (!failed()) note(sqlite3_exec(handle_, text, nullptr, nullptr, nullptr));
}

std::optional<Refused> Connection::take_failure() { return std::exchange(failure_, std::nullopt); }

void Connection::note(int code) {
  if (code != SQLITE_OK && code != SQLITE_ROW && code != SQLITE_DONE && !failed())
    failure_ = refusal(path_, code, sqlite3_system_errno(handle_), sqlite3_errmsg(handle_));
}

Statement::~Statement() {
  if (!held_) return;
  sqlite3_reset(held_);
  sqlite3_clear_bindings(held_);
}

// Bound texts are read while the statement runs; callers hold them that long only by copies.
Statement& Statement::with(std::string_view text) {
  if (held_)
    connection_.note(sqlite3_bind_text64(held_, next_++, text.data() ? text.data() : "",
                                         text.size(), SQLITE_TRANSIENT, SQLITE_UTF8));
  return *this;
}

Statement& Statement::with(std::int64_t number) {
  if (held_) connection_.note(sqlite3_bind_int64(held_, next_++, number));
  return *this;
}

Statement& Statement::with_bytes(std::string_view bytes) {
  if (held_)
    connection_.note(sqlite3_bind_blob64(held_, next_++, bytes.data() ? bytes.data() : "",
                                         bytes.size(), SQLITE_TRANSIENT));
  return *this;
}

Statement& Statement::with_nothing() {
  if (held_) connection_.note(sqlite3_bind_null(held_, next_++));
  return *this;
}

bool Statement::row() {
  if (!held_ || connection_.failed()) return false;
  const int code = sqlite3_step(held_);
  connection_.note(code);
  return code == SQLITE_ROW;
}

void Statement::run() {
  while (row()) {
  }
}

std::int64_t Statement::number(int column) const { return sqlite3_column_int64(held_, column); }

std::string Statement::text(int column) const {
  const void* bytes = sqlite3_column_blob(held_, column);
  const auto size = static_cast<std::size_t>(sqlite3_column_bytes(held_, column));
  return bytes ? std::string(static_cast<const char*>(bytes), size) : std::string();
}

// A writing one asks for its lock at once: asked for later, it could not be waited for.
Transaction::Transaction(Connection& connection, Kind kind) : connection_(connection) {
  connection_.run(kind == Kind::writing ? "BEGIN IMMEDIATE" : "BEGIN");
  open_ = !connection_.failed();
}

Transaction::~Transaction() {
  if (open_) sqlite3_exec(connection_.handle(), "ROLLBACK", nullptr, nullptr, nullptr);
}

bool Transaction::commit() {
  connection_.run("COMMIT");
  if (connection_.failed()) return false;
  open_ = false;
  return true;
}

}  // namespace perrev::sql
