// The program as a server: how it starts, what reaches a reader, how it ends.
#include <doctest/doctest.h>

#include <chrono>
#include <csignal>
#include <nlohmann/json.hpp>
#include <thread>

#include "tests/src/run_perrev.h"
#include "tests/src/server/serving.h"

using namespace perrev::test;
using Json = nlohmann::ordered_json;

namespace {

std::string entry(const std::string& id) {
  return R"({"entries":[{"id":")" + id +
         R"(","at":"2026-05-04T09:12:00Z","by":"write_up","fact":"complaint_words","value":"hums"}]})";
}

constexpr int kSecond = 1000;  // milliseconds

}  // namespace

TEST_CASE("it tells a port in use, and options that do not fit, with exit code 2") {
  const Folder folder;
  const Serving server(folder.path("shop.db"));
  REQUIRE(server.port() != 0);
  const Ran taken = run_perrev(
      {"serve", "--store", folder.path("other.db"), "--port", std::to_string(server.port())});
  CHECK(taken.code == 2);
  CHECK(taken.err.find("port " + std::to_string(server.port())) != std::string::npos);
  CHECK(run_perrev({"serve", "--store", folder.path("other.db"), "--name", "shop"}).code == 2);
  CHECK(
      run_perrev({"serve", "--store", folder.path("other.db"), "--lan", "--cert", "a.pem"}).code ==
      2);
  CHECK(run_perrev({"serve", "--store", folder.path("other.db"), "--port", "70000"}).code == 2);
  CHECK(run_perrev({"serve", "--store", "/dev/null/shop.db", "--port", "0"}).code == 2);
}

TEST_CASE("it ends with 0 when it is asked to, closes its streams, and has kept all it accepted") {
  for (const int signal : {SIGINT, SIGTERM}) {
    const Folder folder;
    const std::string store = folder.path("shop.db");
    Serving server(store);
    REQUIRE(ask(server, "PUT", "/api/cases/case-one", "{}").status == 201);
    Client stream(server.port());
    stream.send(request(server, "GET", "/api/events"));
    REQUIRE(stream.answer().status == 200);
    REQUIRE(ask(server, "POST", "/api/cases/case-one/entries", entry("a-1")).status == 200);
    CHECK(server.end(signal) == 0);
    CHECK(stream.is_closed(5 * kSecond));
    CHECK(run_perrev({"store", "check", "--store", store}).code == 0);
    const Serving again(store);
    CHECK(Json::parse(ask(again, "GET", "/api/cases/case-one").body)["case"]["entries"].size() ==
          1);
  }
}

TEST_CASE("what is committed is on every stream within a second") {
  const Folder folder;
  const Serving server(folder.path("shop.db"));
  REQUIRE(ask(server, "PUT", "/api/cases/case-one", "{}").status == 201);
  REQUIRE(ask(server, "PUT", "/api/cases/case-two", "{}").status == 201);
  Client of_one(server.port()), of_two(server.port()), of_all(server.port());
  of_one.send(request(server, "GET", "/api/cases/case-one/events"));
  of_two.send(request(server, "GET", "/api/cases/case-two/events"));
  of_all.send(request(server, "GET", "/api/events"));
  for (Client* one : {&of_one, &of_two, &of_all}) {
    const Answer answer = one->answer();
    CHECK(answer.status == 200);
    CHECK(answer.headers.at("content-type") == "text/event-stream");
    CHECK(answer.headers.at("cache-control") == "no-store");
    one->until("retry:", kSecond);
  }
  REQUIRE(ask(server, "POST", "/api/cases/case-one/entries", entry("a-1")).status == 200);
  CHECK(of_one.until("\"id\":\"a-1\"", kSecond).find("event: entry\ndata: {\"seq\":") !=
        std::string::npos);
  CHECK(of_all.until("\"case\":\"case-one\"", kSecond).find("event: case\n") != std::string::npos);
  CHECK(of_two.until("a-1", kSecond / 2).find("a-1") == std::string::npos);
  REQUIRE(ask(server, "PATCH", "/api/cases/case-one", R"({"label":"new"})").status == 200);
  CHECK(of_one.until("\"label\":\"new\"", kSecond).find("event: head\n") != std::string::npos);
}

TEST_CASE("what another process adds is on the streams within a second of its end") {
  const Folder folder;
  const std::string store = folder.path("shop.db");
  const Serving server(store);
  Client all(server.port());
  all.send(request(server, "GET", "/api/events"));
  REQUIRE(all.answer().status == 200);
  const Ran ran = run_perrev(
      {"store", "import", "--store", store, project("cases/shakes_after_new_tires.json")});
  REQUIRE(ran.code == 0);
  CHECK(all.until("event: case", kSecond).find("event: case") != std::string::npos);
}

TEST_CASE(
    "a reader that comes back gets what it missed; Last-Event-ID counts more than after (WHATWG "
    "HTML, 9.2.4)") {
  const Folder folder;
  const Serving server(folder.path("shop.db"));
  REQUIRE(ask(server, "PUT", "/api/cases/case-one", "{}").status == 201);
  std::int64_t last = 0;
  for (const char* id : {"a-1", "a-2", "a-3"}) {
    const Answer answer = ask(server, "POST", "/api/cases/case-one/entries", entry(id));
    REQUIRE(answer.status == 200);
    if (std::string(id) == "a-2") last = Json::parse(answer.body)["last"].get<std::int64_t>();
  }
  const std::string path = "/api/cases/case-one/events?after=";
  Client by_address(server.port()), by_header(server.port());
  by_address.send(request(server, "GET", path + "0"));
  by_header.send(
      request(server, "GET", path + "0", {}, "Last-Event-ID: " + std::to_string(last) + "\r\n"));
  REQUIRE(by_address.answer().status == 200);
  REQUIRE(by_header.answer().status == 200);
  const std::string all = by_address.until("a-3", 5 * kSecond),
                    rest = by_header.until("a-3", 5 * kSecond);
  for (const char* id : {"a-1", "a-2", "a-3"}) CHECK(all.find(id) != std::string::npos);
  CHECK(rest.find("a-2") == std::string::npos);
  CHECK(rest.find("a-3") != std::string::npos);
}

TEST_CASE("HEAD is GET without content, also of a stream (RFC 9110, 9.3.2)") {
  const Folder folder;
  const Serving server(folder.path("shop.db"));
  for (const char* path :
       {"/", "/api/about", "/api/openapi.json", "/api/cases", "/api/events", "/api/none"}) {
    CAPTURE(path);
    Client client(server.port());
    client.send(request(server, "HEAD", path, {}, "Connection: close\r\n"));
    const Answer head = client.answer(true);
    CHECK(client.is_closed(5 * kSecond));
    CHECK(client.until("never", 0).empty());
    if (std::string(path) == "/api/events") {
      CHECK(head.status == 200);
      continue;
    }
    const Answer get = ask(server, "GET", path);
    CHECK(head.status == get.status);
    CHECK(head.headers.at("content-length") == std::to_string(get.body.size()));
  }
}

TEST_CASE(
    "requests on one connection are answered in their order, also when they were sent at once") {
  const Folder folder;
  const Serving server(folder.path("shop.db"));
  Client client(server.port());
  client.send(request(server, "GET", "/api/about") +
              request(server, "PUT", "/api/cases/case-one", "{}") +
              request(server, "GET", "/api/cases/case-one") + request(server, "GET", "/api/none"));
  for (const int status : {200, 201, 200, 404}) CHECK(client.answer().status == status);
}

TEST_CASE(
    "a client that waits to be told to go on is told (RFC 9110, 10.1.1), and is refused before it "
    "sends") {
  const Folder folder;
  const Serving server(folder.path("shop.db"));
  const std::string start =
      "PUT /api/cases/case-one HTTP/1.1\r\nHost: " + server.host() +
      "\r\nExpect: 100-continue\r\nContent-Type: application/json\r\nContent-Length: ";
  Client good(server.port());
  good.send(start + "2\r\n\r\n");
  CHECK(good.until("100 Continue\r\n\r\n", 5 * kSecond).find("HTTP/1.1 100") == 0);
  good.send("{}");
  CHECK(good.answer().status == 201);
  Client large(server.port());
  large.send(start + "9000000\r\n\r\n");
  CHECK(large.answer().status == 413);
  CHECK(large.is_closed(10 * kSecond));
}

TEST_CASE("chunked content is content (RFC 9112, 7.1)") {
  const Folder folder;
  const Serving server(folder.path("shop.db"));
  Client client(server.port());
  client.send(
      "PUT /api/cases/case-one HTTP/1.1\r\nHost: " + server.host() +
      "\r\nContent-Type: application/json; charset=UTF-8\r\nTransfer-Encoding: chunked\r\n\r\n"
      "1\r\n{\r\n10;ext=1\r\n\"label\":\"chunks\"\r\n1\r\n}\r\n0\r\n\r\n");
  CHECK(client.answer().status == 201);
  CHECK(Json::parse(ask(server, "GET", "/api/cases/case-one").body)["case"]["label"] == "chunks");
}

TEST_CASE(
    "a header that does not come to its end within 10 s ends the connection, and keeps nobody "
    "waiting") {
  const Folder folder;
  const Serving server(folder.path("shop.db"));
  std::vector<std::unique_ptr<Client>> slow;
  for (int i = 0; i < 100; ++i) {
    slow.push_back(std::make_unique<Client>(server.port()));
    slow.back()->send("GET / HTTP/1.1\r\nX-Slow: ");
  }
  for (int i = 0; i < 4; ++i) {
    std::this_thread::sleep_for(std::chrono::seconds(3));
    for (const auto& one : slow) one->send("a");
    CHECK(ask(server, "GET", "/api/about").status == 200);
  }
  for (const auto& one : slow) CHECK(one->is_closed(5 * kSecond));
}
