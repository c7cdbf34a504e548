// The paths of the API and who answers them. docs/server.md and openapi.json tell them to people.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "src/server/request.h"
#include "src/server/response.h"

namespace perrev {

class Api;

struct Call {
  Request request;
  std::vector<std::string> ids;  // what stands for the {} of the pattern
};

using Done = std::function<void(Response)>;

struct Route {
  // Where it runs. Quick ones are a read or a ranking, slow ones take tenths of seconds and more:
  // these must not keep those waiting.
  enum class Lane { sockets, quick, slow };
  enum class Body { none, json, image };

  std::string_view method;
  std::string_view pattern;  // {} stands for one segment
  Lane lane;
  Body body;
  std::size_t most_body;
  bool open_to_all;  // without a session
  Response (*answer)(Api&, const Call&);
  void (*answer_later)(Api&, Call, const Done&);  // where `answer` is null
};

struct Found {
  const Route* route = nullptr;
  std::vector<std::string> ids;
  std::string allowed;  // methods of this path, where the path is known; else empty
};

// HEAD finds what GET does (RFC 9110, 9.3.2).
Found find_route(std::string_view method, std::string_view path);
const std::vector<Route>& routes();

// What the route asks of the head of a request: 411, 413, 415, a body where none belongs.
std::optional<Response> refuse_head(const Route& route, const Request& request);

}  // namespace perrev
