#include "src/files.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <filesystem>

namespace perrev {

namespace {

Problem at_file(const std::string& path, std::string what, std::string right) {
  return Problem{{path, 0, 0, {}}, std::move(what), std::move(right), {}};
}

std::string directory_of(const std::string& path) {
  const auto slash = path.rfind('/');
  return slash == std::string::npos ? "." : slash == 0 ? "/" : path.substr(0, slash);
}

Result<std::string> read_all(int descriptor, const std::string& path, std::size_t most) {
  std::string text;
  char buffer[1 << 16];
  for (;;) {
    const ssize_t got = ::read(descriptor, buffer, sizeof buffer);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0)
      return at_file(path, std::string("cannot be read: ") + std::strerror(errno),
                     "a readable file");
    if (got == 0) return text;
    text.append(buffer, static_cast<std::size_t>(got));
    if (text.size() > most)
      return at_file(path, "is larger than " + std::to_string(most >> 20) + " MiB",
                     "a smaller file");
  }
}

bool write_all(int descriptor, const std::string& text) {
  for (std::size_t at = 0; at < text.size();) {
    const ssize_t put = ::write(descriptor, text.data() + at, text.size() - at);
    if (put < 0 && errno == EINTR) continue;
    if (put <= 0) return false;
    at += static_cast<std::size_t>(put);
  }
  return true;
}

}  // namespace

Result<std::string> read_file(const std::string& path, std::size_t most) {
  const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
  if (descriptor < 0)
    return at_file(
        path,
        errno == ENOENT ? "no such file" : std::string("cannot be opened: ") + std::strerror(errno),
        "the path of a readable file");
  struct stat info{};
  const bool known = ::fstat(descriptor, &info) == 0;
  if (!known || S_ISDIR(info.st_mode)) {
    ::close(descriptor);
    return known ? at_file(path, "is a directory", "the path of a file")
                 : at_file(path, "cannot be read", "the path of a readable file");
  }
  // Opened without waiting; a pipe is then read like any other.
  if (!S_ISREG(info.st_mode)) ::fcntl(descriptor, F_SETFL, 0);
  auto text = read_all(descriptor, path, most);
  ::close(descriptor);
  return text;
}

Result<std::string> read_file_or_input(const std::string& path, std::size_t most) {
  return path == "-" ? read_all(STDIN_FILENO, "standard input", most) : read_file(path, most);
}

std::string link_target(const std::string& path) {
  std::error_code unknown;
  const auto target = std::filesystem::weakly_canonical(path, unknown);
  return unknown ? path : target.string();
}

namespace {

std::string part_of(const std::string& target) {
  const auto slash = target.rfind('/');
  return slash == std::string::npos
             ? "." + target + ".part"
             : target.substr(0, slash + 1) + "." + target.substr(slash + 1) + ".part";
}

std::vector<Problem> cannot_be(const std::string& target, const std::string& doing, int why) {
  return {at_file(target, "cannot be " + doing + ": " + std::strerror(why),
                  "a place that can be written")};
}

bool is_at(int descriptor, const std::string& path) {
  struct stat held{}, there{};
  return ::fstat(descriptor, &held) == 0 && ::lstat(path.c_str(), &there) == 0 &&
         S_ISREG(there.st_mode) && held.st_ino == there.st_ino && held.st_dev == there.st_dev;
}

// Ours alone, as long as it is there and the descriptor is open. What a killed program left there
// is taken away; another writer is waited for. -1 and errno where it cannot be.
int open_part(const std::string& beside, mode_t mode) {
  constexpr int kTries = 200;
  constexpr timespec kBetween{0, 10'000'000};
  const auto is_ours = [&](int descriptor) {
    return ::flock(descriptor, LOCK_EX | LOCK_NB) == 0 && is_at(descriptor, beside);
  };
  for (int tried = 0; tried < kTries; ++tried) {
    const int made = ::open(beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
    if (made >= 0 && is_ours(made)) return made;
    if (made >= 0) ::close(made);
    if (made < 0 && errno != EEXIST) return -1;
    const int left = ::open(beside.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (left < 0 && errno != ENOENT) return -1;
    struct stat info{};
    if (left >= 0 && ::fstat(left, &info) == 0 && !S_ISREG(info.st_mode)) {
      ::close(left);
      errno = EEXIST;
      return -1;
    }
    const bool taken_away = left >= 0 && is_ours(left) && ::unlink(beside.c_str()) == 0;
    if (left >= 0) ::close(left);
    if (!taken_away) ::nanosleep(&kBetween, nullptr);
  }
  errno = EBUSY;
  return -1;
}

// The text flushed to the disk beside the file, to be put in its place; held by `descriptor`, so
// that nobody else writes there.
std::vector<Problem> stage(const std::string& target, const std::string& text, Rights rights,
                           int& descriptor) {
  const std::string beside = part_of(target);
  struct stat info{};
  const bool exists = ::lstat(target.c_str(), &info) == 0 && S_ISREG(info.st_mode);
  if (exists && ::access(target.c_str(), W_OK) != 0) return cannot_be(target, "written", errno);
  descriptor = open_part(beside, rights == Rights::owner ? 0600 : 0666);
  if (descriptor < 0) return cannot_be(target, "written", errno);
  const bool keeps_rights = exists && rights == Rights::usual;
  const bool written = (!keeps_rights || ::fchmod(descriptor, info.st_mode & 07777u) == 0) &&
                       write_all(descriptor, text) && ::fsync(descriptor) == 0;
  const int why = errno;
  if (written) return {};
  ::unlink(beside.c_str());
  ::close(descriptor);
  return cannot_be(target, "written", why);
}

void flush_folder(const std::string& path) {
  const int folder = ::open(path.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (folder < 0) return;
  ::fsync(folder);
  ::close(folder);
}

void take_back(const std::string& target, int descriptor) {
  ::unlink(part_of(target).c_str());
  ::close(descriptor);
}

std::vector<Problem> put_in_place(const std::string& target, int descriptor) {
  if (::rename(part_of(target).c_str(), target.c_str()) != 0) {
    const int why = errno;
    take_back(target, descriptor);
    return cannot_be(target, "replaced", why);
  }
  ::close(descriptor);
  flush_folder(directory_of(target));
  return {};
}

bool is_still(const FileChange& change) {
  struct stat info{};
  if (!change.before)
    return ::lstat(change.path.c_str(), &info) != 0 && (errno == ENOENT || errno == ENOTDIR);
  const auto now = read_file(change.path, change.before->size());
  return now && *now == *change.before;
}

// The folders down to that of the file, as far as they are not there; those made are added to
// `made`, the outermost first.
std::vector<Problem> make_folders(const std::string& target, std::vector<std::string>& made) {
  const std::string folder = directory_of(target);
  struct stat info{};
  if (::stat(folder.c_str(), &info) == 0 || folder == target) return {};
  std::vector<Problem> problems = make_folders(folder, made);
  if (!problems.empty()) return problems;
  if (::mkdir(folder.c_str(), 0777) == 0) {
    made.push_back(folder);
    flush_folder(directory_of(folder));
  } else if (errno != EEXIST) {
    return cannot_be(target, "written", errno);
  }
  return {};
}

std::vector<Problem> not_still(const FileChange& change) {
  if (is_still(change)) return {};
  return {change.before ? at_file(change.path, "was changed by somebody else meanwhile",
                                  "the same once more, on what stands there now")
                        : at_file(change.path, "is there already", "another name")};
}

// Looked at once more when nobody else can write there any more.
std::vector<Problem> make_ready(const FileChange& change, std::vector<std::string>& made,
                                int& descriptor) {
  std::vector<Problem> problems = not_still(change);
  if (problems.empty()) problems = make_folders(change.path, made);
  if (problems.empty()) problems = stage(change.path, change.after, Rights::usual, descriptor);
  if (!problems.empty()) return problems;
  problems = not_still(change);
  if (!problems.empty()) take_back(change.path, descriptor);
  return problems;
}

void put_back(const FileChange& change) {
  if (change.before)
    write_file(change.path, *change.before);
  else
    ::unlink(change.path.c_str());
}

}  // namespace

std::vector<Problem> write_file(const std::string& target, const std::string& text, Rights rights) {
  int descriptor = -1;
  std::vector<Problem> problems = stage(target, text, rights, descriptor);
  return problems.empty() ? put_in_place(target, descriptor) : problems;
}

std::vector<Problem> write_output(const std::string& path, const std::string& text,
                                  const std::vector<std::string>& begins) {
  constexpr std::size_t kBegin = 64;
  const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
  if (descriptor >= 0) {
    char buffer[kBegin];
    const ssize_t got = ::read(descriptor, buffer, sizeof buffer);
    ::close(descriptor);
    const std::string there(buffer, got > 0 ? static_cast<std::size_t>(got) : 0);
    bool of_the_kind = there.empty();
    for (const std::string& begin : begins) of_the_kind |= there.rfind(begin, 0) == 0;
    if (!of_the_kind)
      return {at_file(path, "is there already, and is something else", "another name")};
  }
  return write_file(path, text);
}

std::vector<Problem> write_files(const std::vector<FileChange>& changes) {
  std::vector<Problem> problems;
  std::vector<std::string> made;
  std::vector<int> held;
  std::size_t tried = 0;
  while (problems.empty() && held.size() < changes.size()) {
    int descriptor = -1;
    problems = make_ready(changes[held.size()], made, descriptor);
    if (problems.empty()) held.push_back(descriptor);
  }
  while (problems.empty() && tried < changes.size()) {
    problems = put_in_place(changes[tried].path, held[tried]);
    ++tried;
  }
  if (problems.empty()) return {};
  for (std::size_t done = 0; done + 1 < tried; ++done) put_back(changes[done]);
  for (std::size_t i = tried; i < held.size(); ++i) take_back(changes[i].path, held[i]);
  for (auto folder = made.rbegin(); folder != made.rend(); ++folder) ::rmdir(folder->c_str());
  return problems;
}

}  // namespace perrev
