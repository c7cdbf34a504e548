#include "src/server/guards.h"

#include <doctest/doctest.h>

using namespace perrev;

namespace {

Request asking(const std::string& host, const std::string& method = "GET") {
  Request out;
  out.method = method;
  out.target = "/";
  out.headers = {{"Host", host}};
  return out;
}

}  // namespace

TEST_CASE(
    "an authority is ours when host and port are (RFC 9110, 4.2.1: 80 and 443 may be left out)") {
  const Reached local{false, {"localhost", "127.0.0.1", "[::1]"}, 8640};
  for (const char* ours : {"localhost:8640", "LOCALHOST:8640", "127.0.0.1:8640", "[::1]:8640"})
    CHECK(local.is_ours(ours));
  for (const char* not_ours :
       {"localhost", "localhost:80", "localhost:08640x", "localhost:", ":8640", "", "[::1]", "[::1",
        "::1:8640", "localhost.:8640", "127.0.0.1.nip.example:8640", "a@localhost:8640"})
    CHECK_FALSE(local.is_ours(not_ours));
  const Reached usual{true, {"shop.local"}, 443};
  CHECK(usual.is_ours("shop.local"));
  CHECK(usual.is_ours("shop.local:443"));
  CHECK(usual.is_our_origin("https://shop.local"));
  CHECK_FALSE(usual.is_our_origin("http://shop.local"));
  CHECK_FALSE(usual.is_our_origin("null"));
  CHECK_FALSE(usual.is_our_origin("https://shop.local/path"));
}

TEST_CASE("a safe request of another site may come from a link, one that changes something never") {
  const Reached local{false, {"localhost"}, 8640};
  for (const char* method : {"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE"}) {
    const bool safe = std::string(method) == "GET" || std::string(method) == "HEAD";
    for (const char* site : {"cross-site", "same-site", "same-origin", "none"}) {
      CAPTURE(method);
      CAPTURE(site);
      Request request = asking("localhost:8640", method);
      request.headers.emplace_back("Sec-Fetch-Site", site);
      const bool own = std::string(site) == "same-origin" || std::string(site) == "none";
      const auto refused = refuse_request(request, local);
      CHECK(refused.has_value() == !(safe || own));
      if (refused) CHECK(refused->status == 403);
    }
  }
}
