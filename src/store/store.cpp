#include "src/store/store.h"

#include <fcntl.h>
#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <utility>

#include "src/store/case_json.h"
#include "src/store/changes.h"
#include "src/store/inside.h"
#include "src/store/schema.h"

namespace perrev {

namespace {

Refused at_path(const std::string& path, Refused::Kind kind, std::string what, std::string right) {
  return Refused{kind, {Problem{{path, 0, 0, {}}, std::move(what), std::move(right), {}}}};
}

// SQLite gives the files beside it the rights of this one.
std::optional<Refused> made(const std::string& path) {
  std::error_code failure;
  const auto folder = std::filesystem::path(path).parent_path();
  if (!folder.empty()) std::filesystem::create_directories(folder, failure);
  const int descriptor = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (descriptor < 0)
    return at_path(path, Refused::Kind::broken,
                   std::string("the store cannot be made: ") + std::strerror(errno),
                   "a place that can be written");
  ::close(descriptor);
  return std::nullopt;
}

}  // namespace

bool is_case_id(const std::string& id) {
  return id.size() >= 6 && id.size() <= 40 && std::all_of(id.begin(), id.end(), [](char c) {
           return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
         });
}

Stored<std::unique_ptr<Store>> Store::open(const std::string& path, Mode mode,
                                           const Patience& patience) {
  if (path.find('\0') != std::string::npos || path.empty() || path == ":memory:")
    return at_path(path, Refused::Kind::missing, "this is no path of a store", "a file");
  if (mode == Mode::create) {
    if (auto failure = made(path)) return *std::move(failure);
  } else if (::access(path.c_str(), F_OK) != 0) {
    return at_path(path, Refused::Kind::missing, "no such store", "the path of a store's file");
  } else if (struct stat there; ::stat(path.c_str(), &there) == 0 && there.st_size == 0) {
    return at_path(path, Refused::Kind::broken, "is empty, and so no store",
                   "the path of a store's file");
  }
  auto connection = sql::Connection::open(
      path, mode == Mode::reading ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE, patience);
  if (!connection) return connection.error();
  if (auto failure = migrate(**connection, path)) return *std::move(failure);
  return std::unique_ptr<Store>(
      new Store(std::make_unique<Inside>(path, std::move(connection).value())));
}

Store::Store(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Store::~Store() = default;

const std::string& Store::path() const { return inside_->path(); }

Stored<std::unique_ptr<sql::Connection>> Store::Inside::lend() {
  {
    const std::lock_guard lock(idle_in_turn_);
    if (!idle_.empty()) {
      auto out = std::move(idle_.back());
      idle_.pop_back();
      return out;
    }
  }
  auto out = sql::Connection::open(path_, SQLITE_OPEN_READWRITE, patience());
  if (!out) return out.error();
  (*out)->run("PRAGMA query_only = ON");
  if (auto failure = (*out)->take_failure()) return *std::move(failure);
  return out;
}

void Store::Inside::give_back(std::unique_ptr<sql::Connection> connection) {
  constexpr std::size_t kMostIdle = 16;
  const std::lock_guard lock(idle_in_turn_);
  if (idle_.size() < kMostIdle) idle_.push_back(std::move(connection));
}

namespace {

bool was_taken_away(const sql::Connection& connection) {
  int moved = 0;
  sqlite3_file_control(connection.handle(), "main", SQLITE_FCNTL_HAS_MOVED, &moved);
  return moved != 0;
}

// Kept or undone by itself within the transaction around it.
std::optional<Refused> done_by_itself(sql::Connection& connection, const Store::Work& work) {
  connection.run("SAVEPOINT one");
  std::optional<Refused> refusal;
  if (!connection.failed()) refusal = work(*changes_on(connection));
  if (auto failure = connection.take_failure()) refusal = std::move(failure);
  if (refusal) connection.run("ROLLBACK TO one");
  connection.run("RELEASE one");
  return refusal;
}

}  // namespace

std::vector<std::optional<Refused>> Store::Inside::change(const std::vector<Work>& works) {
  const std::lock_guard lock(writing_in_turn_);
  if (was_taken_away(*writing_))
    return std::vector<std::optional<Refused>>(
        works.size(),
        at_path(path_, Refused::Kind::broken, "the store was moved or deleted while it was in use",
                "its file in its place, and a new start"));
  std::vector<std::optional<Refused>> out(works.size());
  {
    sql::Transaction transaction(*writing_, sql::Transaction::Kind::writing);
    for (std::size_t i = 0; i < works.size() && !writing_->failed(); ++i)
      out[i] = done_by_itself(*writing_, works[i]);
    transaction.commit();
  }
  if (const auto failure = writing_->take_failure())
    for (auto& answer : out)
      if (!answer) answer = failure;
  return out;
}

std::vector<std::optional<Refused>> Store::change(const std::vector<Work>& works) {
  return inside_->change(works);
}

std::optional<Refused> Store::change(const Work& work) { return inside_->change({work}).front(); }

namespace {

// `add` gives a value or a refusal; the value counts once it is committed.
template <class T, class Add>
Stored<T> in_a_change(Store& store, const Add& add) {
  std::optional<T> out;
  const auto refusal = store.change([&](Changes& changes) -> std::optional<Refused> {
    auto added = add(changes);
    if (!added) return added.error();
    out = std::move(added).value();
    return std::nullopt;
  });
  if (refusal) return *refusal;
  return *std::move(out);
}

}  // namespace

Stored<Added> Store::add_case(const std::string& id, const std::string& head_json) {
  return in_a_change<Added>(*this, [&](Changes& c) { return c.add_case(id, head_json); });
}

Stored<Added> Store::set_head(const std::string& case_id, const std::string& head_json) {
  return in_a_change<Added>(*this, [&](Changes& c) { return c.set_head(case_id, head_json); });
}

Stored<Added> Store::add_entries(const std::string& case_id,
                                 const std::vector<std::string>& entries_json) {
  return in_a_change<Added>(*this,
                            [&](Changes& c) { return c.add_entries(case_id, entries_json); });
}

Stored<std::string> Store::add_photo(const std::string& case_id, const std::string& bytes,
                                     const std::string& type) {
  return in_a_change<std::string>(*this,
                                  [&](Changes& c) { return c.add_photo(case_id, bytes, type); });
}

}  // namespace perrev
