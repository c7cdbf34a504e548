// What the connections share: whom they ask, where they sign in, how they start.
#pragma once

#include <functional>
#include <map>
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
};

struct Door {
  static constexpr std::size_t kMostConnections = 2000;
  static constexpr std::size_t kMostOfOnePeer = 250;  // on a local network

  boost::asio::io_context& sockets;
  Service& service;
  EventHub& hub;
  std::function<void(const std::string&)> log;  // one line
  bool lan = false;
  bool stopping = false;
  std::set<Connection*> connections{};
  std::map<std::string, std::size_t> peers{};  // and how many connections each has
};

// An accepted socket becomes a connection that holds itself.
void start_plain(Door& door, boost::asio::ip::tcp::socket socket);
void start_tls(Door& door, boost::asio::ip::tcp::socket socket, boost::asio::ssl::context& tls);

}  // namespace perrev
