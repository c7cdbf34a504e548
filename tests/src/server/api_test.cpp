// The handlers without sockets: a request value in, a response value out.
#include "src/server/api.h"

#include <doctest/doctest.h>

#include <future>
#include <nlohmann/json.hpp>

#include "src/page/assets.h"
#include "src/server/json_body.h"
#include "src/server/service.h"
#include "tests/src/run_perrev.h"
#include "tests/src/server/served.h"
#include "tests/src/shipped.h"

using namespace perrev;
using perrev::test::Served;
using perrev::test::shipped_rules;
using Json = nlohmann::ordered_json;

namespace {

const Rules& rule_set() {
  static const Rules made =
      std::make_shared<const RuleSet>(shipped_rules(), std::vector<NamedAnswer>(), "bytes");
  return made;
}

struct Server : Served {
  explicit Server(Access given = {}, Trust with = {})
      : Served(rule_set(), std::move(given), std::move(with)) {}

  Response ask(const std::string& method, const std::string& target, const std::string& body = {},
               std::vector<std::pair<std::string, std::string>> headers = {}) {
    Request request;
    request.method = method;
    request.target = target;
    request.headers = std::move(headers);
    request.headers.emplace_back("Host", "localhost:8640");
    if (!body.empty()) {
      request.headers.emplace_back("Content-Length", std::to_string(body.size()));
      if (request.count("Content-Type") == 0)
        request.headers.emplace_back("Content-Type", "application/json");
    }
    const Admission admission = service.admit(request);
    if (admission.response) return *admission.response;
    request.body = body;
    return answer(admission, std::move(request));
  }
};

std::string entry(const std::string& id,
                  const std::string& more = R"("fact":"complaint_words","value":"shakes")") {
  return R"({"id":")" + id + R"(","at":"2026-05-04T09:12:00Z","by":"write_up",)" + more + "}";
}

std::string header(const Response& response, const std::string& name) {
  for (const auto& [key, value] : response.headers)
    if (key == name) return value;
  return {};
}

}  // namespace

TEST_CASE("a case is begun once, and the same again changes nothing") {
  Server server;
  CHECK(server.ask("PUT", "/api/cases/case-one", R"({"label":"one"})").status == 201);
  CHECK(server.ask("PUT", "/api/cases/case-one", R"({"label":"one"})").status == 200);
  CHECK(server.ask("PUT", "/api/cases/case-one", R"({"label":"two"})").status == 409);
  CHECK(server.ask("PATCH", "/api/cases/case-one", R"({"label":"two"})").status == 200);
  CHECK(server.ask("PATCH", "/api/cases/case-none", R"({"label":"two"})").status == 404);
  const Json kept = Json::parse(server.ask("GET", "/api/cases/case-one").body);
  CHECK(kept["case"]["label"] == "two");
  CHECK(kept["last"] == *server.store->last_seq());
}

TEST_CASE("entries are taken all or none, and a repeated request finds them there") {
  Server server;
  REQUIRE(server.ask("PUT", "/api/cases/case-one", R"({"label":"one"})").status == 201);
  const std::string path = "/api/cases/case-one/entries";
  const std::string both = R"({"entries":[)" + entry("a-1") + "," + entry("a-2") + "]}";
  const Response first = server.ask("POST", path, both), again = server.ask("POST", path, both);
  CHECK(first.status == 200);
  CHECK(first.body == again.body);
  CHECK(Json::parse(first.body)["accepted"] == Json{"a-1", "a-2"});
  const std::string half_wrong =
      R"({"entries":[)" + entry("a-3") + "," + entry("a-4", R"("fact":"none","value":"x")") + "]}";
  const Response refused = server.ask("POST", path, half_wrong);
  CHECK(refused.status == 422);
  CHECK(Json::parse(refused.body)["problems"][0]["where"].get<std::string>().find("/entries/1") ==
        0);
  CHECK(Json::parse(server.ask("GET", "/api/cases/case-one").body)["case"]["entries"].size() == 2);
}

TEST_CASE(
    "what takes something back is judged in its case, and told where it stood in the request") {
  Server server;
  REQUIRE(server.ask("PUT", "/api/cases/case-one", R"({"label":"one"})").status == 201);
  const std::string path = "/api/cases/case-one/entries";
  REQUIRE(server.ask("POST", path, R"({"entries":[)" + entry("a-1") + "]}").status == 200);
  CHECK(server.ask("POST", path, R"({"entries":[)" + entry("a-2", R"("retracts":"a-1")") + "]}")
            .status == 200);
  CHECK(server.ask("POST", path, R"({"entries":[)" + entry("a-2", R"("retracts":"a-1")") + "]}")
            .status == 200);
  const Response wrong = server.ask(
      "POST", path,
      R"({"entries":[)" + entry("a-3") + "," + entry("a-4", R"("retracts":"z-9")") + "]}");
  CHECK(wrong.status == 422);
  CHECK(Json::parse(wrong.body)["problems"][0]["where"] == "/entries/1/retracts");
}

TEST_CASE("the ranking that comes with an addition is the ranking of the case with it") {
  Server server;
  REQUIRE(server.ask("PUT", "/api/cases/case-one", R"({"label":"one"})").status == 201);
  const Json file = Json::parse(
      perrev::test::read_whole(perrev::test::project("cases/shakes_after_new_tires.json")));
  for (const Json& one : file["entries"]) {
    const Response answer = server.ask("POST", "/api/cases/case-one/entries?ranking=1",
                                       Json{{"entries", {one}}}.dump());
    REQUIRE(answer.status == 200);
    const auto text = server.store->case_text("case-one");
    REQUIRE(text.ok());
    const Json now = Json::parse(server.rules.now()->answers.answer("ranking", "{}", text->text));
    CHECK(Json::parse(answer.body)["ranking"] == now["ok"]["ranking"]);
    const Json ranking = Json::parse(answer.body)["ranking"];
    for (const auto& ranked : ranking) CHECK(ranked.size() == 4);
  }
}

TEST_CASE(
    "many at once for one case: everybody is ranked, with all that was accepted before the "
    "ranking") {
  Server server;
  REQUIRE(server.ask("PUT", "/api/cases/case-one", R"({"label":"one"})").status == 201);
  std::vector<std::future<Response>> all;
  for (int i = 0; i < 60; ++i)
    all.push_back(std::async(std::launch::async, [&server, i] {
      return server.ask("POST", "/api/cases/case-one/entries?ranking=1",
                        R"({"entries":[)" + entry("m-" + std::to_string(i)) + "]}");
    }));
  for (auto& one : all) {
    const Response answer = one.get();
    CHECK(answer.status == 200);
    CHECK(Json::parse(answer.body).contains("ranking"));
  }
  CHECK(Json::parse(server.ask("GET", "/api/cases/case-one").body)["case"]["entries"].size() == 60);
}

TEST_CASE("answers over a stored case are those of the same case in a request") {
  Server server;
  Json document = Json::parse(
      perrev::test::read_whole(perrev::test::project("cases/shakes_after_new_tires.json")));
  document.erase("reference");
  REQUIRE(
      server.ask("PUT", "/api/cases/case-one", Json{{"label", document["label"]}}.dump()).status ==
      201);
  REQUIRE(
      server
          .ask("POST", "/api/cases/case-one/entries", Json{{"entries", document["entries"]}}.dump())
          .status == 200);
  for (const char* name : {"diagnosis", "plan", "road"}) {
    CAPTURE(name);
    const Response stored = server.ask("GET", std::string("/api/cases/case-one/") + name);
    const Response sent =
        server.ask("POST", std::string("/api/answers/") + name, Json{{"case", document}}.dump());
    CHECK(stored.status == 200);
    CHECK(sent.status == 200);
    CHECK(stored.body == sent.body);
  }
}

TEST_CASE("photos come back as they were, under the digest of their bytes") {
  Server server;
  REQUIRE(server.ask("PUT", "/api/cases/case-one", R"({"label":"one"})").status == 201);
  std::string jpeg("\xff\xd8\xff\xe0\x00\x10JFIF\x00", 11);
  jpeg += std::string(100, 'x') + "\xff\xd9";
  const Response added =
      server.ask("POST", "/api/cases/case-one/photos", jpeg, {{"Content-Type", "image/jpeg"}});
  REQUIRE(added.status == 201);
  const Response got =
      server.ask("GET", "/api/photos/" + Json::parse(added.body)["photo"].get<std::string>());
  CHECK(got.status == 200);
  CHECK(std::string(got.content()) == jpeg);
  CHECK(header(got, "Content-Type") == "image/jpeg");
  CHECK(server.ask("POST", "/api/cases/case-one/photos", jpeg, {{"Content-Type", "image/png"}})
            .status == 422);
}

TEST_CASE("the rule base is had under its digest alone, for ever") {
  Server server;
  const Response got = server.ask("GET", "/api/rules/" + shipped_rules().digest);
  CHECK(got.status == 200);
  CHECK(got.content() == "bytes");
  CHECK(header(got, "Cache-Control").find("immutable") != std::string::npos);
  CHECK(server.ask("GET", "/api/rules/other").status == 404);
}

TEST_CASE(
    "a page's file is sent once: its tag answers 304, and each coding has its own (RFC 9110, 8.8.3 "
    "and 13.1.2)") {
  Server server;
  const Response plain = server.ask("GET", "/");
  REQUIRE(plain.status == 200);
  CHECK(plain.content() == find_asset("/index.html")->bytes);
  const std::string tag = header(plain, "ETag");
  CHECK(tag.find(find_asset("/index.html")->digest) == 1);
  for (const std::string& known : {tag, "W/" + tag, "\"other\", " + tag, std::string("*")}) {
    const Response same = server.ask("GET", "/", {}, {{"If-None-Match", known}});
    CHECK(same.status == 304);
    CHECK(same.content().empty());
  }
  CHECK(server.ask("GET", "/", {}, {{"If-None-Match", "\"other\""}}).status == 200);
  const Asset* asset = find_asset("/index.html");
  for (const char* accepts : {"gzip", "br, gzip", "gzip;q=0.5"}) {
    const Response packed = server.ask("GET", "/", {}, {{"Accept-Encoding", accepts}});
    CHECK((header(packed, "Content-Encoding") == "gzip") == !asset->gzip.empty());
    CHECK(header(packed, "Vary") == "Accept-Encoding");
    if (!asset->gzip.empty()) CHECK(header(packed, "ETag") != tag);
  }
  for (const char* accepts : {"br", "gzip;q=0", "identity"})
    CHECK(header(server.ask("GET", "/", {}, {{"Accept-Encoding", accepts}}), "Content-Encoding")
              .empty());
}

TEST_CASE("on a local network only the page and the door are open to all") {
  Server server(Access("abcdefghijklmnopqrstuvwxyz"), {"PEM", "AA:BB", "https://shop:8640/"});
  for (const char* open : {"/", "/trust", "/ca.crt"}) CHECK(server.ask("GET", open).status == 200);
  for (const Route& route : routes()) {
    if (route.open_to_all) continue;
    std::string path(route.pattern);
    if (const auto id = path.find("{}"); id != std::string::npos) path.replace(id, 2, "case-one");
    CHECK(server.ask(std::string(route.method), path).status == 401);
  }
  CHECK(server.ask("GET", "/no-such-file").status == 401);
  const Response entered =
      server.ask("POST", "/api/session", R"({"key":"ABCD-EFGH-IJKL-MNOP-QRST-UVWX-YZ"})");
  REQUIRE(entered.status == 200);
  const std::string cookie = header(entered, "Set-Cookie");
  CHECK(server.ask("GET", "/api/about", {}, {{"Cookie", cookie.substr(0, cookie.find(';'))}})
            .status == 200);
}

TEST_CASE("on loopback there is no authority to trust") {
  Server server;
  CHECK(server.ask("GET", "/trust").status == 404);
  CHECK(server.ask("GET", "/ca.crt").status == 404);
}
