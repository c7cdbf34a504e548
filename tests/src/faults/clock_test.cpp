// The wall clock goes backwards: nothing of a case gets out of order, and nothing waits for it.
#include <doctest/doctest.h>

#include <csignal>
#include <nlohmann/json.hpp>

#include "src/server/rate.h"
#include "tests/src/run_perrev.h"
#include "tests/src/server/serving.h"

using namespace perrev::test;
using Json = nlohmann::json;

namespace {

constexpr int kPatience = 20000;  // milliseconds
constexpr const char* kDay = "86400";

static_assert(perrev::Clock::is_steady);  // sessions, rates of changes, waits after wrong keys

// Words that start the program with a clock of the test's own.
std::vector<std::string> with_clock(const Folder& folder) {
  return {"env", "LD_PRELOAD=" PERREV_CLOCK_BACK, "PERREV_CLOCK_BACK=" + folder.path("back"),
          "ASAN_OPTIONS=verify_asan_link_order=0"};
}

std::string entry(const std::string& id) {
  return R"({"entries":[{"id":")" + id +
         R"(","at":"2026-05-04T09:12:00Z","by":"write_up","fact":"complaint_words","value":"hums"}]})";
}

}  // namespace

TEST_CASE("an answer that is given after the clock went back is still the later one") {
  const Folder folder;
  folder.write("back", "0");
  const auto answer = [&](const std::string& back, const std::string& typed) {
    folder.write("back", back);
    REQUIRE(run_perrev({"interview", folder.path("case.json")}, typed, with_clock(folder)).code ==
            0);
    return Json::parse(folder.read("case.json"))["entries"];
  };
  const Json first = answer("0", "Shakes\nno\n");
  const Json then = answer("31536000", "no\nback\nunsure\n");
  REQUIRE(then.size() > first.size() + 1);
  const auto later = [](const Json& one, const Json& other) {
    return one["at"].get<std::string>() >= other["at"].get<std::string>();
  };
  for (std::size_t i = 1; i < then.size(); ++i) CHECK(later(then[i], then[i - 1]));
  const Json undisturbed = answer("0", "no\n");
  CHECK(later(undisturbed.back(), then.back()));
  // The clock is the test's own: a new case is as old as it says.
  folder.write("back", "31536000");
  REQUIRE(run_perrev({"interview", folder.path("old.json")}, "Shakes\n", with_clock(folder)).code ==
          0);
  CHECK_FALSE(later(Json::parse(folder.read("old.json"))["entries"][0], first[0]));
}

TEST_CASE("a server whose clock jumps a day back numbers, keeps and sends on as before") {
  const Folder folder;
  folder.write("back", "0");
  Serving server(folder.path("shop.db"), {}, with_clock(folder));
  REQUIRE(ask(server, "PUT", "/api/cases/case-one", "{}").status == 201);
  Client stream(server.port());
  stream.send(request(server, "GET", "/api/events"));
  REQUIRE(stream.answer().status == 200);
  std::int64_t last = 0;
  for (const char* back : {"0", kDay, "0", "-86400", kDay}) {
    folder.write("back", back);
    const std::string id = "a-" + std::to_string(last);
    const Answer added = ask(server, "POST", "/api/cases/case-one/entries", entry(id));
    REQUIRE(added.status == 200);
    const auto now = Json::parse(added.body)["last"].get<std::int64_t>();
    CHECK(now > last);
    last = now;
    const std::string seq = "\"seq\":" + std::to_string(last) + "}";
    CHECK(stream.until(seq, kPatience).find(seq) != std::string::npos);
  }
  CHECK(server.end(SIGTERM) == 0);
  CHECK(run_perrev({"store", "check", "--store", folder.path("shop.db")}).code == 0);
}

TEST_CASE("certificates made while the clock was ahead are made anew: no device would take them") {
  const Folder folder;
  const std::string store = folder.path("shop.db");
  const auto made = [&](const char* back) {
    folder.write("back", back);
    const Serving server(store, {"--lan"}, with_clock(folder));
    REQUIRE(server.port() != 0);
    return folder.read("shop.db-lan/authority.pem") + folder.read("shop.db-lan/server.pem");
  };
  const std::string ahead = made("-31536000");
  const std::string now = made("0");
  CHECK(now != ahead);
  CHECK(made("0") == now);
  CHECK(made("3000") == now);  // within the hour that certificates reach back
}
