// Additions of many callers, gathered into few transactions.
//
// One thread takes whatever waits and commits it together (group commit): with a flush a
// transaction, a hundred waiting callers cost about what one does. Each piece of work is kept or
// undone by itself. An answer is given after the commit, never before; when the commit fails,
// everybody in it is told so.
#pragma once

#include <cstdint>
#include <functional>
#include <future>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "src/store/store.h"

namespace perrev {

class Writer {
 public:
  static constexpr std::size_t kMostWaiting = 4096;  // beyond it: refused as busy
  static constexpr std::size_t kMostTogether = 256;  // in one transaction

  // `committed` is called on the writer's thread after each commit, before the answers, with the
  // newest seq of the store: the moment to tell listeners. The store must outlive the writer.
  explicit Writer(Store& store, std::function<void(std::int64_t)> committed = {});
  // Does what waits, then ends.
  ~Writer();
  Writer(const Writer&) = delete;
  Writer& operator=(const Writer&) = delete;

  // `work` and `done` run on the writer's thread; `done` must be quick and must not wait for the
  // writer. Both must not throw.
  void submit(Store::Work work, std::function<void(std::optional<Refused>)> done);

  // As in Changes; the future is ready after the commit.
  std::future<Stored<Added>> add_case(std::string id, std::string head_json);
  std::future<Stored<Added>> set_head(std::string case_id, std::string head_json);
  std::future<Stored<Added>> add_entries(std::string case_id,
                                         std::vector<std::string> entries_json);
  std::future<Stored<std::string>> add_photo(std::string case_id, std::string bytes,
                                             std::string type);

 private:
  class Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace perrev
