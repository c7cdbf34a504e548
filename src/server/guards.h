// What is checked of every request before anything else looks at it, and in which order: the shape
// of the request (400, 501), who is addressed (421), who asks (403). Pure functions.
//
// A page of another origin must not reach a server on its reader's own machine. A name that was
// re-bound to our address is told by Host, a form or script of another origin by Origin and
// Sec-Fetch-Site, and every request that changes something has a content type that no form can
// send.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "src/server/request.h"
#include "src/server/response.h"

namespace perrev {

// Where this server is reached.
struct Reached {
  bool tls = false;
  std::vector<std::string> hosts;  // lower case, without port; IPv6 in brackets
  std::uint16_t port = 0;

  bool is_ours(std::string_view authority) const;  // "host" or "host:port"
  bool is_our_origin(std::string_view origin) const;
};

// Takes the target apart too.
std::optional<Response> refuse_request(Request& request, const Reached& reached);

}  // namespace perrev
