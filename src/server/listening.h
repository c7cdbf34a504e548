// The sockets that are listened on, and how the server is reached through them.
#pragma once

#include <vector>

#include "engine/result.h"
#include "src/server/asio.h"
#include "src/server/guards.h"

namespace perrev {

struct Listening {
  std::vector<boost::asio::ip::tcp::acceptor> acceptors;
  std::uint16_t port = 0;
};

// Loopback, or with `lan` every address of this machine; IPv6 as well where there is any. With port
// 0 one that is free in both.
Result<Listening, Problems> listen(boost::asio::io_context& sockets, bool lan, std::uint16_t port);

}  // namespace perrev
