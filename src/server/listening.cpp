#include "src/server/listening.h"

#include <boost/asio/ip/v6_only.hpp>

namespace perrev {

namespace {

namespace ip = boost::asio::ip;

// What went wrong, if anything.
boost::system::error_code add(Listening& to, boost::asio::io_context& sockets,
                              const ip::address& address, std::uint16_t port) {
  boost::system::error_code error;
  ip::tcp::acceptor one(sockets);
  const ip::tcp::endpoint at(address, port);
  one.open(at.protocol(), error);
  if (!error) one.set_option(ip::tcp::acceptor::reuse_address(true), error);
  if (!error && address.is_v6()) one.set_option(ip::v6_only(true), error);
  if (!error) one.bind(at, error);
  if (!error) one.listen(1024, error);
  if (error) return error;
  to.port = one.local_endpoint().port();
  to.acceptors.push_back(std::move(one));
  return error;
}

}  // namespace

Result<Listening, Problems> listen(boost::asio::io_context& sockets, bool lan, std::uint16_t port) {
  const ip::address four = lan ? ip::address(ip::address_v4::any()) : ip::address_v4::loopback();
  const ip::address six = lan ? ip::address(ip::address_v6::any()) : ip::address_v6::loopback();
  constexpr int kTries = 10;
  boost::system::error_code error;
  for (int i = 0; i < (port == 0 ? kTries : 1); ++i) {
    Listening out;
    error = add(out, sockets, four, port);
    if (error) break;
    // Somebody else on our port under the other family would be taken for us.
    error = add(out, sockets, six, out.port);
    if (error != boost::asio::error::address_in_use) return out;
  }
  return Problems{
      problem("port " + std::to_string(port) + " cannot be listened on: " + error.message(),
              "another --port, or 0 for any that is free")};
}

}  // namespace perrev
