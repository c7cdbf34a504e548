#include "src/server/asio.h"
// The one above must come first.
#include <boost/beast/ssl/ssl_stream.hpp>

#include "src/server/session.h"

namespace perrev {

using TlsStream = boost::beast::ssl_stream<boost::beast::tcp_stream>;

template <>
void Session<TlsStream>::start() {
  lowest().expires_after(kHead);
  stream_.async_handshake(boost::asio::ssl::stream_base::server,
                          [me = self()](Error error) { error ? me->close() : me->wait(); });
}

void start_tls(Door& door, boost::asio::ip::tcp::socket socket, boost::asio::ssl::context& tls) {
  auto peer = let_in(door, socket);
  if (!peer) return;
  std::make_shared<Session<TlsStream>>(door, std::move(*peer), std::move(socket), tls)->start();
}

}  // namespace perrev
