#include "src/server/request.h"

#include <doctest/doctest.h>

#include "src/server/json_body.h"
#include "src/server/response.h"
#include "src/server/routes.h"
#include "src/server/secret.h"
#include "src/store/digest.h"

using namespace perrev;

TEST_CASE("a target is split as RFC 9112, 3.2 has it") {
  struct Row {
    const char* target;
    bool ok;
    const char* path;
    const char* authority;
  };
  const Row rows[] = {
      {"/", true, "/", ""},
      {"/a/b?c=d&e=f", true, "/a/b", ""},
      {"/a?", true, "/a", ""},
      {"http://Host:80/a?b", true, "/a", "host:80"},
      {"HTTPS://host", true, "/", "host"},
      {"http:///a", false, "", ""},
      {"*", false, "", ""},
      {"host:443", false, "", ""},
      {"", false, "", ""},
      {"/a?b=%", false, "", ""},
      {"/a?b=%4", false, "", ""},
  };
  for (const Row& row : rows) {
    CAPTURE(row.target);
    Request request;
    request.target = row.target;
    CHECK(request.take_target() == row.ok);
    if (!row.ok) continue;
    CHECK(request.path == row.path);
    CHECK(request.authority == row.authority);
  }
  Request request;
  request.target = "/a?b=c%20d+e&f&b=second&%41=%C3%A9";
  REQUIRE(request.take_target());
  CHECK(request.asked("b") == "c d e");
  CHECK(request.asked("f") == "");
  CHECK(request.asked("A") == "\u00e9");
  CHECK_FALSE(request.asked("c"));
}

TEST_CASE("UTF-8 is what RFC 3629 says it is") {
  for (const char* good : {"", "a", "\u00e9", "\u20ac", "\U0010ffff", "\ufeff"})
    CHECK(is_utf8(good));
  for (const char* bad :
       {"\xff", "\xc0\x80", "\xc1\xbf", "\xe0\x80\x80", "\xed\xa0\x80", "\xf4\x90\x80\x80",
        "\xf0\x80\x80\x80", "\xe2\x82", "\x80", "\xf8\x88\x80\x80\x80"})
    CHECK_FALSE(is_utf8(bad));
}

TEST_CASE("every path of the API is found by its methods alone, and HEAD is where GET is") {
  for (const Route& route : routes()) {
    std::string path(route.pattern);
    if (const auto open = path.find("{}"); open != std::string::npos)
      path.replace(open, 2, "some-id");
    CAPTURE(path);
    CHECK(find_route(route.method, path).route == &route);
    if (route.method == "GET") CHECK(find_route("HEAD", path).route == &route);
    CHECK(find_route("TRACE", path).route == nullptr);
    CHECK(find_route("TRACE", path).allowed.find(route.method) != std::string::npos);
    CHECK(find_route(route.method, path + "/").route == nullptr);
    CHECK(find_route(route.method, path + "/").allowed.empty());
  }
}

TEST_CASE(
    "an answer carries its length and the headers of every answer; 204 and 304 have no length") {
  for (const int status : {200, 201, 204, 304, 400, 404, 503}) {
    Response response;
    response.status = status;
    response.body = status == 204 || status == 304 ? "" : "hello";
    const std::string head = head_text(response, true);
    CAPTURE(status);
    CHECK(head.find("HTTP/1.1 " + std::to_string(status) + " ") == 0);
    CHECK(head.find("Content-Security-Policy: default-src 'none';") != std::string::npos);
    CHECK(head.find("nosniff") != std::string::npos);
    CHECK(head.find("Referrer-Policy: no-referrer") != std::string::npos);
    const bool has_length = head.find("Content-Length: 5\r\n") != std::string::npos;
    CHECK(has_length == (status != 204 && status != 304));
    CHECK(head.substr(head.size() - 4) == "\r\n\r\n");
  }
}

// RFC 4648, 10 has the letters of base32, FIPS 180-4 the digest.
TEST_CASE("secrets: random, in base32, compared whatever way they are typed") {
  const std::string one = random_word(16), other = random_word(16);
  CHECK(one.size() == 26);  // 128 bits at 5 a letter
  CHECK(one != other);
  CHECK(one.find_first_not_of("abcdefghijklmnopqrstuvwxyz234567") == std::string::npos);
  CHECK(out_of_groups(in_groups(one)) == one);
  CHECK(out_of_groups(" AB-cd ") == "abcd");
  CHECK(same_secret("abc", "abc"));
  CHECK_FALSE(same_secret("abc", "abd"));
  CHECK_FALSE(same_secret("abc", "abcd"));
  CHECK(sha256_hex("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}
