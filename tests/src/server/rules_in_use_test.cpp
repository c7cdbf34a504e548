// A rule base that is replaced while the server runs: taken whole or not at all, between requests.
#include "src/server/rules_in_use.h"

#include <doctest/doctest.h>

#include <atomic>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <thread>

#include "src/saves.h"
#include "tests/src/run_perrev.h"
#include "tests/src/server/serving.h"
#include "tests/src/shipped.h"

using namespace perrev;
using namespace perrev::test;
using Json = nlohmann::ordered_json;
namespace fs = std::filesystem;

namespace {

constexpr int kPatience = 20000;  // milliseconds; a loaded machine is slow

std::string entry(const std::string& id) {
  return R"({"entries":[{"id":")" + id +
         R"(","at":"2026-05-04T09:12:00Z","by":"write_up","fact":"complaint_words","value":"hums"}]})";
}

// A copy of the shipped rule base, and what is written into it by rename, as an editor saves.
struct Copied {
  Copied() { fs::copy(project("rules"), folder.path("rules"), fs::copy_options::recursive); }

  void save(const std::string& name, const std::string& text) const {
    folder.write("new", text);
    fs::rename(folder.path("new"), folder.path("rules/" + name));
  }

  Folder folder;
};

// The same with one number otherwise: as sound, of another digest, ranking otherwise.
std::string usual_of_static_imbalance(const std::string& wheel, const std::string& number) {
  std::string out = wheel;
  const std::string now = "usual: 93";
  const auto at = out.find(now);
  REQUIRE(at != std::string::npos);
  return out.replace(at, now.size(), "usual: " + number);
}

// What the server says of itself once it says something else than in `before`; in the end, what it
// says at all.
Json about_after(const Serving& server, const Json& before) {
  Json now;
  for (int left = kPatience; left > 0; left -= 50) {
    now = Json::parse(ask(server, "GET", "/api/about").body);
    if (now != before) break;
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
  }
  return now;
}

std::string diagnosis(const Serving& server) {
  return ask(server, "GET", "/api/cases/case-one/diagnosis").body;
}

}  // namespace

TEST_CASE("a rule base that is saved is in use from then on, told on every stream, and named") {
  const Copied rules;
  const Serving server(rules.folder.path("shop.db"), {"--rules", rules.folder.path("rules")});
  REQUIRE(ask(server, "PUT", "/api/cases/case-one", "{}").status == 201);
  REQUIRE(ask(server, "POST", "/api/cases/case-one/entries", entry("a-1")).status == 200);
  const Json before = Json::parse(ask(server, "GET", "/api/about").body);
  const std::string ranked = diagnosis(server);
  CHECK(Json::parse(ranked)["rules_digest"] == before["rules_digest"]);
  Client of_all(server.port()), of_one(server.port());
  of_all.send(request(server, "GET", "/api/events"));
  of_one.send(request(server, "GET", "/api/cases/case-one/events"));
  REQUIRE(of_all.answer().status == 200);
  REQUIRE(of_one.answer().status == 200);
  rules.save("causes/wheel.yaml",
             usual_of_static_imbalance(rules.folder.read("rules/causes/wheel.yaml"), "2"));
  const Json after = about_after(server, before);
  CHECK(after["rules_digest"] != before["rules_digest"]);
  CHECK(after["rules_problems"].empty());
  const std::string digest = after["rules_digest"];
  for (Client* one : {&of_all, &of_one})
    CHECK(one->until(digest, kPatience).find("event: rules\ndata: {\"rules_digest\":\"" + digest) !=
          std::string::npos);
  const std::string again = diagnosis(server);
  CHECK(Json::parse(again)["rules_digest"] == digest);
  CHECK(Json::parse(again)["ranking"] != Json::parse(ranked)["ranking"]);
  const Json added =
      Json::parse(ask(server, "POST", "/api/cases/case-one/entries?ranking=1", entry("a-2")).body);
  CHECK(added["rules_digest"] == digest);
  CHECK_FALSE(added["ranking"].empty());
  CHECK(ask(server, "GET", "/api/rules/" + digest).status == 200);
  CHECK(ask(server, "GET", "/api/rules/" + before["rules_digest"].get<std::string>()).status ==
        404);
}

TEST_CASE("one that is not sound is told, and the one before answers on") {
  const Copied rules;
  const Serving server(rules.folder.path("shop.db"), {"--rules", rules.folder.path("rules/")});
  REQUIRE(ask(server, "PUT", "/api/cases/case-one", "{}").status == 201);
  const Json before = Json::parse(ask(server, "GET", "/api/about").body);
  const std::string ranked = diagnosis(server);
  const std::string families = rules.folder.read("rules/families.yaml");
  rules.save("families.yaml", families + "tier: {nmae: Tier}\n");
  const Json refused = about_after(server, before);
  CHECK(refused["rules_digest"] == before["rules_digest"]);
  REQUIRE_FALSE(refused["rules_problems"].empty());
  const Json& first = refused["rules_problems"][0];
  CHECK(first["where"].get<std::string>().find("families.yaml:") == 0);
  CHECK(first["right"].get<std::string>().find("did you mean 'name'?") != std::string::npos);
  CHECK(diagnosis(server) == ranked);
  // A file that ends in the middle, and then none at all.
  rules.save("families.yaml", families.substr(0, families.size() / 2));
  const Json cut = about_after(server, refused);
  CHECK_FALSE(cut["rules_problems"].empty());
  fs::rename(rules.folder.path("rules"), rules.folder.path("elsewhere"));
  const Json gone = about_after(server, cut);
  CHECK(gone["rules_problems"][0]["where"] == "the rule base");
  CHECK(diagnosis(server) == ranked);
  fs::rename(rules.folder.path("elsewhere"), rules.folder.path("rules"));
  CHECK(about_after(server, gone) == cut);
  rules.save("families.yaml", families);
  const Json mended = about_after(server, cut);
  CHECK(mended == before);
  CHECK(diagnosis(server) == ranked);
}

TEST_CASE("whatever is asked while rule bases are swapped is answered by one of them alone") {
  const RuleBase& one = shipped_rules();
  RuleBase other = one;
  other.digest = "the other";
  for (Cause& cause : other.causes) cause.name += " by the other";
  const auto made = [](const RuleBase& base) {
    return std::make_shared<const RuleSet>(base, std::vector<NamedAnswer>(), base.digest);
  };
  const Rules sets[] = {made(one), made(other)};
  const std::string question = R"({"case":{"perrev_case":1,"label":"","entries":[]}})";
  const std::string answers[] = {sets[0]->answers.answer("ranking", question),
                                 sets[1]->answers.answer("ranking", question)};
  REQUIRE(answers[0] != answers[1]);
  RulesInUse rules(sets[0]);
  std::atomic<bool> stop{false};
  std::atomic<int> torn{0};
  std::vector<std::thread> askers;
  for (int i = 0; i < 4; ++i)
    askers.emplace_back([&] {
      while (!stop) {
        const Rules now = rules.now();
        const std::size_t which = now->base.digest == one.digest ? 0 : 1;
        if (now->bytes != now->base.digest ||
            now->answers.answer("ranking", question) != answers[which])
          ++torn;
      }
    });
  for (int i = 0; i < 200; ++i) {
    CHECK(rules.take(sets[(i + 1) % 2]));
    CHECK_FALSE(rules.take(sets[(i + 1) % 2]));  // nothing new
    if (i % 10 == 0) {
      CHECK(rules.take(Problems{problem("broken")}));
      CHECK(rules.now() == sets[(i + 1) % 2]);
      CHECK(rules.refused().size() == 1);
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
  stop = true;
  for (std::thread& asker : askers) asker.join();
  CHECK(torn == 0);
}

TEST_CASE("what is still being written is not taken, and what was written meanwhile is seen") {
  const Folder folder;
  folder.write("a.yaml", "1");
  Saves saves({folder.path("")});
  CHECK_FALSE(saves.saved());
  folder.write("a.yaml", "22");
  CHECK_FALSE(saves.saved());  // it may go on
  folder.write("a.yaml", "333");
  CHECK_FALSE(saves.saved());
  CHECK(saves.saved());
  CHECK(saves.still());
  CHECK_FALSE(saves.saved());
  folder.write("b.yaml", "1");  // as while the others are read
  CHECK_FALSE(saves.still());
  CHECK_FALSE(saves.saved());
  CHECK(saves.saved());
}
