// The built program as a server on a free port, and a client that sends whatever bytes it is given.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "tests/src/run_perrev.h"

namespace perrev::test {

struct Answer {
  int status = 0;                              // 0: closed without any
  std::map<std::string, std::string> headers;  // names in lower case; the last of each
  std::string body;
};

class Serving {
 public:
  // `perrev serve --store STORE --port 0` and `more`; `before` and `log` as of Running.
  explicit Serving(const std::string& store, const std::vector<std::string>& more = {},
                   const std::vector<std::string>& before = {},
                   const std::string& log = "/dev/null");

  std::uint16_t port() const { return port_; }
  std::string announced() const { return announced_; }
  std::string host() const { return "localhost:" + std::to_string(port_); }
  // Ends it; its exit code, 128 + n when a signal n ended it.
  int end(int signal) { return running_.end(signal); }
  pid_t id() const { return running_.id(); }

 private:
  Running running_;
  std::uint16_t port_ = 0;
  std::string announced_;
};

class Client {
 public:
  explicit Client(std::uint16_t port);
  ~Client();
  Client(const Client&) = delete;
  Client& operator=(const Client&) = delete;

  void send(const std::string& bytes);
  void end_sending();
  Answer answer(bool to_head = false);
  // What comes until `text` was in it, or `milliseconds` have gone.
  std::string until(const std::string& text, int milliseconds);
  bool is_closed(int milliseconds);

 private:
  bool more(int milliseconds);
  int socket_ = -1;
  std::string got_;
};

// One request on a connection of its own.
Answer ask(const Serving& server, const std::string& method, const std::string& path,
           const std::string& json = {}, const std::string& headers = {});
std::string request(const Serving& server, const std::string& method, const std::string& path,
                    const std::string& json = {}, const std::string& headers = {});

}  // namespace perrev::test
