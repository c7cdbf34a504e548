// From a request to its response, free of sockets: the guards, the page's files, the API.
#pragma once

#include <atomic>
#include <optional>
#include <string>

#include "src/server/access.h"
#include "src/server/api.h"
#include "src/server/guards.h"
#include "src/server/routes.h"

namespace perrev {

// What the head of a request comes to: it is refused, it is answered at once, or its content is
// read (`most_body` bytes at most) and `answer` is called.
struct Admission {
  std::optional<Response> response;
  std::size_t most_body = 0;
  const Route* route = nullptr;
  std::vector<std::string> ids;
};

// What the page /trust shows; empty on loopback.
struct Trust {
  std::string certificate_pem;  // of the authority, for /ca.crt
  std::string fingerprint;
  std::string address;
};

class Service {
 public:
  Service(Api& api, Access& access, Workers& slow, Reached reached, Trust trust)
      : api_(api),
        access_(access),
        slow_(slow),
        reached_(std::move(reached)),
        trust_(std::move(trust)) {}

  // Both on the thread of the sockets. `done` is called once, on any thread.
  Admission admit(Request& request);
  void answer(const Admission& admission, Request request, Done done);
  // Answers that are being worked out.
  int open() const { return open_; }

 private:
  std::optional<Response> site_file(const Request& request) const;

  Api& api_;
  Access& access_;
  Workers& slow_;
  const Reached reached_;
  const Trust trust_;
  std::atomic<int> open_{0};
};

}  // namespace perrev
