#include "src/server/asio.h"
// The one above must come first.
#include "src/server/session.h"

namespace perrev {

template <>
void Session<boost::beast::tcp_stream>::start() {
  wait();
}

void start_plain(Door& door, boost::asio::ip::tcp::socket socket) {
  auto peer = let_in(door, socket);
  if (!peer) return;
  std::make_shared<Session<boost::beast::tcp_stream>>(door, std::move(*peer), std::move(socket))
      ->start();
}

}  // namespace perrev
