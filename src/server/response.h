// A response as a plain value, and how it looks on the wire.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "engine/result.h"

namespace perrev {

// The answer goes on as a stream of server-sent events.
struct EventsWish {
  bool wanted = false;
  std::string case_id;      // empty: all cases
  std::int64_t after = -1;  // the last seq that the reader has; -1: what comes from now on
};

struct Response {
  int status = 200;
  std::vector<std::pair<std::string, std::string>> headers;
  std::string body;
  std::string_view fixed;  // stands for `body` where it is not empty: bytes that never move
  std::shared_ptr<const void> held{};  // what `fixed` stands in, where that is not for ever
  EventsWish events;
  bool close = false;  // nothing more is read from this connection

  std::string_view content() const { return fixed.empty() ? std::string_view(body) : fixed; }
  Response& with(std::string name, std::string value);
};

Response json_response(int status, std::string text);
// {"problems": [...]}
Response problems_response(int status, const Problems& problems);
Response refused(int status, std::string what, std::string right = {});

std::string_view reason_phrase(int status);  // RFC 9110, 15

// The status line and all headers, with those that every answer carries.
std::string head_text(const Response& response, bool keep_alive);

}  // namespace perrev
