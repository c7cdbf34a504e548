// Who may use the server on a local network: the key at the door and the sessions behind it.
//
// On loopback nobody is asked. A session is a random word in a cookie, kept in memory: a new start
// ends them all. Called from one thread.
#pragma once

#include <map>
#include <optional>
#include <string>

#include "src/server/rate.h"
#include "src/server/request.h"
#include "src/server/response.h"

namespace perrev {

class Access {
 public:
  Access() = default;                                         // loopback: open
  explicit Access(std::string key) : key_(std::move(key)) {}  // without groups

  bool lan() const { return !key_.empty(); }
  // Nothing when the request may go on; 401 without a session, 429 when it came too often.
  std::optional<Response> refuse(const Request& request, bool open_to_all, Clock::time_point now);

  // POST and DELETE /api/session.
  Response enter(const Request& request, const std::string& typed_key, Clock::time_point now);
  Response leave(const Request& request);

 private:
  std::string session_of(const Request& request) const;  // the digest that sessions_ is keyed by

  std::string key_;
  std::map<std::string, Clock::time_point> sessions_;  // digest of the word, and last use
  RateLimit changes_{20.0, 200.0};
  Guesses guesses_;
};

}  // namespace perrev
