// What a Store holds: one connection that writes, and as many that read as are wanted at once.
// Internal to this folder.
#pragma once

#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "src/store/sql.h"
#include "src/store/store.h"

namespace perrev {

class Store::Inside {
 public:
  Inside(std::string path, std::unique_ptr<sql::Connection> writing)
      : path_(std::move(path)), writing_(std::move(writing)) {}

  const std::string& path() const { return path_; }
  const Patience& patience() const { return writing_->patience(); }
  std::vector<std::optional<Refused>> change(const std::vector<Work>& works);

  // What `ask` makes of one state of the store, whatever is added meanwhile.
  template <class T, class Ask>
  Stored<T> read(const Ask& ask) {
    auto connection = lend();
    if (!connection) return connection.error();
    sql::Connection& reading = **connection;
    Stored<T> out = [&]() -> Stored<T> {
      const sql::Transaction transaction(reading, sql::Transaction::Kind::reading);
      return ask(reading);
    }();
    if (auto failure = reading.take_failure()) return *std::move(failure);
    give_back(std::move(connection).value());
    return out;
  }

 private:
  Stored<std::unique_ptr<sql::Connection>> lend();
  void give_back(std::unique_ptr<sql::Connection> connection);

  const std::string path_;
  std::mutex writing_in_turn_;
  std::unique_ptr<sql::Connection> writing_;
  std::mutex idle_in_turn_;
  std::vector<std::unique_ptr<sql::Connection>> idle_;
};

}  // namespace perrev
