// Connections to the server as bytes, without sockets: requests in, responses out. It reads as
// src/server/session.h does, with the same library, and keeps nothing else of a connection.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "src/server/response.h"
#include "tests/src/server/served.h"

namespace perrev::fuzz {

// The requests of an input, each as it goes over the wire. A line of "====" stands between two.
// Within the head a line ends as it must whether or not the input has the CR, and @L stands for the
// length of the content.
std::vector<std::string> requests_in(std::string_view input);

// The response to one of them, and nothing where the connection is closed without any.
std::optional<Response> response_to(test::Served& server, std::string_view request);

}  // namespace perrev::fuzz
