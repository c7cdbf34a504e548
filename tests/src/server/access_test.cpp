#include "src/server/access.h"

#include <doctest/doctest.h>

#include "src/server/secret.h"

using namespace perrev;

namespace {

const std::string kKey = "abcdefghijklmnopqrstuvwxyz";

Request from(const std::string& peer, const std::string& method = "GET",
             const std::string& cookie = {}) {
  Request out;
  out.method = method;
  out.peer = peer;
  if (!cookie.empty()) out.headers = {{"Cookie", cookie}};
  return out;
}

std::string cookie_of(const Response& response) {
  for (const auto& [name, value] : response.headers)
    if (name == "Set-Cookie") return value;
  return {};
}

}  // namespace

TEST_CASE("without a key everybody on this machine is let in") {
  Access access;
  CHECK_FALSE(access.refuse(from("127.0.0.1", "POST"), false, Clock::now()));
}

TEST_CASE("with one, nothing but a session opens, and a session is only had for the key") {
  Access access(kKey);
  const auto now = Clock::now();
  CHECK(access.refuse(from("10.0.0.2"), false, now)->status == 401);
  CHECK_FALSE(access.refuse(from("10.0.0.2"), true, now));
  CHECK(access.enter(from("10.0.0.2"), "abcdefghijklmnopqrstuvwxya", now).status == 401);
  const Response let_in = access.enter(from("10.0.0.3"), in_groups(kKey), now);
  CHECK(let_in.status == 200);
  const std::string cookie = cookie_of(let_in);
  // RFC 6265bis, 4.1.3.2: __Host- needs Secure, Path=/ and no Domain.
  for (const char* word :
       {"__Host-perrev=", "; Secure", "; HttpOnly", "; SameSite=Strict", "; Path=/"})
    CHECK(cookie.find(word) != std::string::npos);
  CHECK(cookie.find("Domain") == std::string::npos);
  const std::string mine = cookie.substr(0, cookie.find(';'));
  CHECK_FALSE(access.refuse(from("10.0.0.3", "GET", "other=1; " + mine), false, now));
  for (const std::string& forged :
       {std::string("__Host-perrev="), mine + "x", mine.substr(0, mine.size() - 1),
        "__host-perrev" + mine.substr(13), "__Host-perrev=" + kKey})
    CHECK(access.refuse(from("10.0.0.3", "GET", forged), false, now)->status == 401);
  access.leave(from("10.0.0.3", "DELETE", mine));
  CHECK(access.refuse(from("10.0.0.3", "GET", mine), false, now)->status == 401);
}

TEST_CASE("each wrong key makes the next try wait longer, for its own address alone") {
  Access access(kKey);
  auto now = Clock::now();
  int before = 0;
  for (int i = 0; i < 8; ++i) {
    REQUIRE(access.enter(from("10.0.0.2"), "wrong", now).status == 401);
    const Response next = access.enter(from("10.0.0.2"), kKey, now);
    REQUIRE(next.status == 429);
    std::string after;
    for (const auto& [name, value] : next.headers)
      if (name == "Retry-After") after = value;
    const int wait = std::stoi(after);
    CHECK(wait >= before);
    CHECK(wait <= 60);
    before = wait;
    now += std::chrono::seconds(wait);
  }
  CHECK(before == 60);
  CHECK(access.enter(from("10.0.0.9"), kKey, now).status == 200);
  CHECK(access.enter(from("10.0.0.2"), kKey, now).status == 200);
}

TEST_CASE("an address of IPv6 guesses for its whole network") {
  Access access(kKey);
  const auto now = Clock::now();
  REQUIRE(access.enter(from("fd00:1:2:3::1"), "wrong", now).status == 401);
  CHECK(access.enter(from("fd00:1:2:3::2"), kKey, now).status == 429);
  CHECK(access.enter(from("fd00:1:2:4::1"), kKey, now).status == 200);
}

TEST_CASE("changes that come too fast from one address are put off, reading is not") {
  Access access(kKey);
  const auto now = Clock::now();
  int refused = 0;
  for (int i = 0; i < 300; ++i) {
    const auto answer = access.refuse(from("10.0.0.2", "POST"), true, now);
    if (answer) {
      CHECK(answer->status == 429);
      ++refused;
    }
  }
  CHECK(refused == 100);  // a burst of 200
  CHECK_FALSE(access.refuse(from("10.0.0.2", "GET"), true, now));
  CHECK_FALSE(access.refuse(from("10.0.0.3", "POST"), true, now));
  CHECK_FALSE(access.refuse(from("10.0.0.2", "POST"), true, now + std::chrono::seconds(1)));
}
