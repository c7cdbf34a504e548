// What the connections share: whom they ask, where they sign in, how they start.
#pragma once

#include <chrono>
#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>

#include "src/server/asio.h"
#include "src/server/events.h"
#include "src/server/service.h"

namespace perrev {

class Connection {
 public:
  virtual ~Connection() = default;
  virtual void stop() = 0;  // at once, unless an answer is on its way
  // Since when its peer could have sent its request, or taken the answer; nothing while one is
  // worked out, and of streams.
  virtual std::optional<std::chrono::steady_clock::time_point> waits_since() const = 0;
  virtual void give_way() = 0;  // closed for another one
};

// Bytes of long requests, or of long answers, that all connections together hold. A short one is
// always taken: their number is bounded by that of connections.
class Held {
 public:
  static constexpr std::size_t kMost = 256u << 20;
  static constexpr std::size_t kShort = 64u << 10;

  explicit Held(std::size_t& of_all) : of_all_(of_all) {}
  ~Held() { give_back(); }
  Held(const Held&) = delete;
  Held& operator=(const Held&) = delete;

  // Instead of what was taken before; false: the others hold too much.
  bool take(std::size_t bytes) {
    give_back();
    if (bytes <= kShort) return true;
    if (of_all_ + bytes > kMost) return false;
    of_all_ += mine_ = bytes;
    return true;
  }
  void give_back() {
    of_all_ -= mine_;
    mine_ = 0;
  }

 private:
  std::size_t& of_all_;
  std::size_t mine_ = 0;
};

struct Door {
  static constexpr std::size_t kMostConnections = 2000;
  static constexpr std::size_t kMostOfOnePeer = 250;  // on a local network
  static constexpr auto kToldAgain = std::chrono::minutes(1);

  boost::asio::io_context& sockets;
  Service& service;
  EventHub& hub;
  std::function<void(const std::string&)> log;      // one line
  std::size_t most_connections = kMostConnections;  // fewer where files are short
  bool lan = false;
  bool stopping = false;
  std::set<Connection*> connections{};
  std::map<std::string, std::size_t> peers{};  // and how many connections each has
  std::size_t requests = 0, answers = 0;       // bytes, by Held
  std::chrono::steady_clock::time_point told_full{};

  // Whether one more may come. When all places are taken, the connection whose peer has kept us
  // waiting longest gives way: a page asks at once, what only holds a place does not.
  bool has_room();
};

// An accepted socket becomes a connection that holds itself.
void start_plain(Door& door, boost::asio::ip::tcp::socket socket);
void start_tls(Door& door, boost::asio::ip::tcp::socket socket, boost::asio::ssl::context& tls);

}  // namespace perrev
