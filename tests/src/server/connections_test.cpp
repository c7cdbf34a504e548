// More connections than there are places for: idle ones, slow writers, slow readers, closed halves.
// The server goes on answering, within its files and its memory.
#include <doctest/doctest.h>
#include <sys/resource.h>

#include <algorithm>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <memory>
#include <nlohmann/json.hpp>
#include <thread>

#include "tests/src/run_perrev.h"
#include "tests/src/server/serving.h"

using namespace perrev::test;

namespace {

constexpr int kSecond = 1000;  // milliseconds
constexpr std::size_t kPlaces = 2000;

std::size_t open_files(const Serving& server) {
  const auto all =
      std::filesystem::directory_iterator("/proc/" + std::to_string(server.id()) + "/fd");
  return static_cast<std::size_t>(std::distance(begin(all), end(all)));
}

// Of the server's memory at most, in KiB (proc(5), VmHWM).
long most_memory(const Serving& server) {
  std::ifstream status("/proc/" + std::to_string(server.id()) + "/status");
  for (std::string word; status >> word;)
    if (word == "VmHWM:") {
      long out = 0;
      status >> out;
      return out;
    }
  return 0;
}

// How many connections this test may hold itself, of those it wants.
std::size_t held_here(std::size_t wanted) {
  rlimit files{};
  REQUIRE(::getrlimit(RLIMIT_NOFILE, &files) == 0);
  files.rlim_cur = files.rlim_max;
  ::setrlimit(RLIMIT_NOFILE, &files);
  const std::size_t most = files.rlim_cur > 64 ? static_cast<std::size_t>(files.rlim_cur) - 64 : 0;
  if (most < wanted)
    MESSAGE("this system lets the test hold " << most << " connections of " << wanted);
  return std::min(most, wanted);
}

using Clients = std::vector<std::unique_ptr<Client>>;

void add(Clients& to, const Serving& server, std::size_t number, const std::string& bytes) {
  for (std::size_t i = 0; i < number; ++i) {
    to.push_back(std::make_unique<Client>(server.port()));
    to.back()->send(bytes);
  }
}

std::string beginning(const Serving& server, const std::string& path, std::size_t length) {
  return "POST " + path + " HTTP/1.1\r\nHost: " + server.host() +
         "\r\nContent-Type: application/json\r\nContent-Length: " + std::to_string(length) +
         "\r\n\r\n";
}

bool still_answers(const Serving& server) {
  return ask(server, "GET", "/api/about").status == 200 &&
         ask(server, "GET", "/api/cases").status == 200;
}

}  // namespace

TEST_CASE("thousands of connections that say nothing, or a byte now and then, shut nobody out") {
  const Folder folder;
  const Serving server(folder.path("shop.db"), {}, {}, folder.path("log"));
  REQUIRE(ask(server, "PUT", "/api/cases/case-one", "{}").status == 201);
  const long before = most_memory(server);
  Clients all;
  const std::size_t each = held_here(3000) / 3;
  for (const std::string& bytes : {std::string(), std::string("GET / HTTP/1.1\r\nX-Slow: "),
                                   beginning(server, "/api/answers/diagnosis", 60000) + "{"}) {
    add(all, server, each, bytes);
    CHECK(still_answers(server));
    for (const auto& one : all) one->send("a");
    CHECK(still_answers(server));
  }
  CHECK(ask(server, "POST", "/api/cases/case-one/entries",
            R"({"entries":[{"id":"a-1","at":"2026-05-04T09:12:00Z","by":"write_up",)"
            R"("fact":"complaint_words","value":"hums"}]})")
            .status == 200);
  CHECK(open_files(server) < kPlaces + 200);
  const long grown = most_memory(server) - before;
  MESSAGE(all.size() << " connections took " << grown << " KiB at most");
  CHECK(grown < 400L * 1024);
  if (all.size() > kPlaces)
    CHECK(folder.read("log").find("all 2000 connections are taken") != std::string::npos);
}

TEST_CASE(
    "with few files it takes fewer connections, says so, and writes to the store all the same") {
  const Folder folder;
  // What the threads of this machine need, and some room for connections.
  const std::string files =
      std::to_string(128 + 6 * std::max(2u, std::thread::hardware_concurrency()));
  const Serving server(folder.path("shop.db"), {}, {"prlimit", "--nofile=" + files + ":" + files},
                       folder.path("log"));
  REQUIRE(server.port() != 0);
  Clients all;
  add(all, server, 300, "");
  CHECK(ask(server, "PUT", "/api/cases/case-one", "{}").status == 201);
  CHECK(still_answers(server));
  CHECK(folder.read("log").find("connections: the system lets this program open few files") !=
        std::string::npos);
}

TEST_CASE("with too few files for the store it does not start, and says how many it needs") {
  const Folder folder;
  const Ran ran = run_perrev({"serve", "--store", folder.path("shop.db"), "--port", "0"}, {},
                             {"prlimit", "--nofile=40:40"});
  CHECK(ran.code == 2);
  CHECK(ran.err.find("no more than 40 files; at least ") != std::string::npos);
}

TEST_CASE("a peer that has closed its half is answered, and one that asked nothing is let go") {
  const Folder folder;
  const Serving server(folder.path("shop.db"));
  Clients asking, silent;
  add(asking, server, 50, request(server, "GET", "/api/about"));
  add(silent, server, 50, "");
  for (auto* all : {&asking, &silent})
    for (const auto& one : *all) one->end_sending();
  for (const auto& one : asking) {
    CHECK(one->answer().status == 200);
    CHECK(one->is_closed(20 * kSecond));
  }
  for (const auto& one : silent) CHECK(one->is_closed(20 * kSecond));
}

TEST_CASE(
    "long requests share 256 MiB: beyond it they are put off, short ones and answers are not") {
  const Folder folder;
  const Serving server(folder.path("shop.db"));
  constexpr std::size_t kLongest = 16u << 20;
  Clients taken;
  add(taken, server, 16, beginning(server, "/api/answers/diagnosis", kLongest));
  CHECK(still_answers(server));  // the server has read what was sent before
  Client more(server.port());
  more.send(beginning(server, "/api/answers/diagnosis", kLongest));
  const perrev::test::Answer refused = more.answer();
  CHECK(refused.status == 503);
  CHECK(refused.headers.at("retry-after") == "1");
  CHECK(ask(server, "POST", "/api/answers/catalogue", "{}").status == 200);
  taken.clear();
  for (int tries = 0; tries < 200; ++tries) {
    Client again(server.port());
    again.send(beginning(server, "/api/answers/diagnosis", kLongest) + "{");
    again.end_sending();
    if (again.answer().status != 503) return;
  }
  FAIL("what was held was not given back");
}

TEST_CASE("a thousand readers of events, and one more is told to come later") {
  const Folder folder;
  const Serving server(folder.path("shop.db"));
  if (held_here(1100) < 1100) return;
  Clients readers;
  add(readers, server, 1000, request(server, "GET", "/api/events"));
  for (const auto& one : readers) REQUIRE(one->answer().status == 200);
  Client late(server.port());
  late.send(request(server, "GET", "/api/events"));
  CHECK(late.answer().status == 503);
  CHECK(ask(server, "PUT", "/api/cases/case-one", "{}").status == 201);
  int heard = 0;
  for (const auto& one : readers)
    if (one->until("case-one", 20 * kSecond).find("case-one") != std::string::npos) ++heard;
  CHECK(heard == 1000);
}
