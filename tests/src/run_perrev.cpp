#include "tests/src/run_perrev.h"

#include <fcntl.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>

namespace perrev::test {

namespace {

[[noreturn]] void become_perrev(const std::vector<std::string>& arguments,
                                const std::vector<std::string>& before) {
  std::vector<char*> argv;
  for (const std::string& a : before) argv.push_back(const_cast<char*>(a.c_str()));
  argv.push_back(const_cast<char*>(PERREV_BINARY));
  for (const std::string& a : arguments) argv.push_back(const_cast<char*>(a.c_str()));
  argv.push_back(nullptr);
  ::execvp(argv[0], argv.data());
  ::_exit(127);
}

}  // namespace

Ran run_perrev(const std::vector<std::string>& arguments, const std::string& input,
               const std::vector<std::string>& before) {
  ::signal(SIGPIPE, SIG_IGN);
  // Tests leave the user's cache alone; kept_trees_test names a folder of its own.
  ::setenv("PERREV_CACHE", "off", 0);
  int in[2], out[2], err[2];
  if (::pipe(in) != 0 || ::pipe(out) != 0 || ::pipe(err) != 0) return {};
  const pid_t child = ::fork();
  if (child == 0) {
    ::dup2(in[0], 0);
    ::dup2(out[1], 1);
    ::dup2(err[1], 2);
    for (const int d : {in[0], in[1], out[0], out[1], err[0], err[1]}) ::close(d);
    become_perrev(arguments, before);
  }
  for (const int d : {in[0], out[1], err[1]}) ::close(d);
  Ran ran;
  std::size_t sent = 0;
  if (input.empty()) ::close(in[1]);
  bool in_open = !input.empty(), out_open = true, err_open = true;
  while (in_open || out_open || err_open) {
    pollfd waits[3] = {{in_open ? in[1] : -1, POLLOUT, 0},
                       {out_open ? out[0] : -1, POLLIN, 0},
                       {err_open ? err[0] : -1, POLLIN, 0}};
    ::poll(waits, 3, 60000);
    if (in_open && waits[0].revents != 0) {
      const ssize_t put = ::write(in[1], input.data() + sent, input.size() - sent);
      if (put > 0) sent += static_cast<std::size_t>(put);
      if (put < 0 || sent == input.size()) {
        ::close(in[1]);
        in_open = false;
      }
    }
    const auto take = [](int from, std::string& to, bool& open) {
      char buffer[4096];
      const ssize_t got = ::read(from, buffer, sizeof buffer);
      if (got > 0)
        to.append(buffer, static_cast<std::size_t>(got));
      else
        open = false;
    };
    if (out_open && waits[1].revents != 0) take(out[0], ran.out, out_open);
    if (err_open && waits[2].revents != 0) take(err[0], ran.err, err_open);
  }
  ::close(out[0]);
  ::close(err[0]);
  int status = 0;
  ::waitpid(child, &status, 0);
  ran.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  return ran;
}

Running::Running(const std::vector<std::string>& arguments, const std::vector<std::string>& before,
                 const std::string& log) {
  ::signal(SIGPIPE, SIG_IGN);
  ::setenv("PERREV_CACHE", "off", 0);
  int out[2];
  if (::pipe2(out, O_CLOEXEC) != 0) return;
  child_ = ::fork();
  if (child_ == 0) {
    ::dup2(out[1], 1);
    const int errors = ::open(log.c_str(), O_WRONLY | O_CREAT | O_APPEND, 0600);
    ::dup2(errors, 2);
    become_perrev(arguments, before);
  }
  ::close(out[1]);
  out_ = out[0];
}

Running::~Running() {
  if (child_ > 0) end(SIGTERM);
  ::close(out_);
}

std::string Running::until(const std::string& text, int milliseconds) {
  using Clock = std::chrono::steady_clock;
  const auto end = Clock::now() + std::chrono::milliseconds(milliseconds);
  std::size_t at = 0;
  while ((at = got_.find(text)) == std::string::npos) {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(end - Clock::now());
    pollfd wait{out_, POLLIN, 0};
    char buffer[4096];
    if (left.count() <= 0 || ::poll(&wait, 1, static_cast<int>(left.count())) <= 0) break;
    const ssize_t got = ::read(out_, buffer, sizeof buffer);
    if (got <= 0) break;
    got_.append(buffer, static_cast<std::size_t>(got));
  }
  const std::size_t size = at == std::string::npos ? got_.size() : at + text.size();
  std::string out = got_.substr(0, size);
  got_.erase(0, size);
  return out;
}

int Running::end(int signal) {
  ::kill(child_, signal);
  int status = 0;
  ::waitpid(child_, &status, 0);
  child_ = -1;
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

}  // namespace perrev::test
