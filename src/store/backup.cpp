// A copy of a store while it is used.
#include <fcntl.h>
#include <sqlite3.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <string>

#include "src/store/inside.h"

namespace perrev {

namespace {

Refused failed(const std::string& to, const std::string& what) {
  return Refused{Refused::Kind::broken,
                 {Problem{{to, 0, 0, {}}, what, "a new file in a place with room", {}}}};
}

bool flushed(const std::string& path, int flags) {
  const int descriptor = ::open(path.c_str(), flags | O_CLOEXEC);
  if (descriptor < 0) return false;
  const bool out = ::fsync(descriptor) == 0;
  ::close(descriptor);
  return out;
}

// The whole file page by page, as it is at one moment.
std::optional<Refused> copied(sql::Connection& from, const std::string& beside) {
  auto to = sql::Connection::open(beside, SQLITE_OPEN_READWRITE);
  if (!to) return to.error();
  sqlite3_backup* copy = sqlite3_backup_init((*to)->handle(), "main", from.handle(), "main");
  if (!copy) return failed(beside, "the copy cannot be begun");
  const int stepped = sqlite3_backup_step(copy, -1);
  const int code = sqlite3_backup_finish(copy);
  if (stepped != SQLITE_DONE || code != SQLITE_OK)
    return failed(beside, std::string("the copy failed: ") + sqlite3_errstr(code));
  // One file without others beside it, which a disc that cannot be written to may hold.
  (*to)->run("PRAGMA journal_mode = DELETE");
  return (*to)->take_failure();
}

// A copy of a damaged store would take the place of the last good one.
std::optional<Refused> unsound(const std::string& beside) {
  const auto copy = Store::open(beside, Store::Mode::reading);
  const auto found = copy ? (*copy)->check(Store::Index::without) : Stored<Problems>(copy.error());
  if (!found) return found.error();
  if (found->empty()) return std::nullopt;
  return Refused{Refused::Kind::broken, *found};
}

}  // namespace

std::optional<Refused> Store::backup(const std::string& to) const {
  const std::filesystem::path target(to);
  const auto folder = target.has_parent_path() ? target.parent_path() : std::filesystem::path(".");
  const std::string beside = (folder / ("." + target.filename().string() + ".part")).string();
  if (::access(to.c_str(), F_OK) == 0) return failed(to, "the file is there already");
  ::unlink(beside.c_str());  // of a backup that was killed
  const int descriptor =
      ::open(beside.c_str(), O_RDWR | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0600);
  if (descriptor < 0)
    return failed(to, std::string("the copy cannot be made: ") + std::strerror(errno));
  ::close(descriptor);
  auto from = sql::Connection::open(path(), SQLITE_OPEN_READWRITE, inside_->patience());
  auto failure = from ? copied(**from, beside) : std::optional<Refused>(from.error());
  if (!failure) failure = unsound(beside);
  if (!failure && !flushed(beside, O_RDWR)) failure = failed(to, "the copy cannot be flushed");
  // A link is made only where nothing is.
  if (!failure && ::link(beside.c_str(), to.c_str()) != 0)
    failure = failed(to, std::string("the copy cannot be named: ") + std::strerror(errno));
  ::unlink(beside.c_str());
  if (!failure && !flushed(folder.string(), O_RDONLY | O_DIRECTORY))
    failure = failed(to, "the folder cannot be flushed");
  return failure;
}

}  // namespace perrev
