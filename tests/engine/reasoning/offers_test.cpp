// What is offered: gates, stops and the frontier of the path.
#include "engine/reasoning/offers.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

#include "tests/engine/reasoning/frontier.h"
#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

bool offers_movement(const World& world, const CaseFile& file) {
  const Offers offers = offers_of(world.base, world.facts(file));
  return std::any_of(offers.checks.begin(), offers.checks.end(),
                     [&](int c) { return world.base.checks[at(c)].moves != Moves::no; });
}

Entry loosened(int hour, Asker by, const std::string& fact, const std::string& value) {
  Entry out = says(fact, value, 0, by);
  out.at = "2026-05-04T" + std::to_string(hour) + ":30:00Z";
  return out;
}

// A fact of three answers, one of which is neither clear nor a stop.
RuleBase gate_base() {
  BaseText text;
  text.facts = R"(
feel:
  ask: Feel
  kind: one
  answers: {normal: N, odd: O, bad: B}
  base: {normal: 0.7, odd: 0.2, bad: 0.1}
  asked_at: [road]
  clear: normal
  stop: {answers: [bad], reason: Bad, caution: No, cleared_by: sound}
nuts: {ask: Nuts, kind: yesno, base: 0.9, asked_at: [bay], per: axle, clear: yes}
x: {ask: X, kind: yesno, base: 0.2, asked_at: [road]}
v: {ask: V, kind: yesno, base: 0.2, asked_at: [bay], asked_if: {loose: no}}
smoke:
  ask: Smoke
  kind: yesno
  base: 0.1
  asked_at: [road]
  stop: {answers: [yes], reason: Smoke, caution: No, cleared_by: sound}
)";
  text.causes = cause_text("a", 30) + cause_text("b", 10);
  text.rules = "- {rule: r, when: {x: yes}, for: {a: strong}, because: B., origin: invented}\n";
  text.checks = R"(
look: {what: Look, by: bay, learns: [nuts], minutes: 5, moves: no}
ask: {what: Ask, by: write_up, learns: [loose, feel], minutes: 1, moves: no}
drive: {what: Drive, by: road, learns: [x], minutes: 10, moves: yes}
listen: {what: Listen, by: bay, learns: [v], minutes: 10, moves: no}
lamp: {what: Lamp, by: bay, learns: [x], minutes: 10, moves: no, equipment: [lamp]}
after: {what: After, by: bay, learns: [sound], minutes: 10, moves: no}
)";
  text.path = R"(
gates: {safe: {guards: [moves], asks: [loose, feel, nuts], what: Safe}}
ends: {verdict: {what: Found}}
edges:
  - {from: start, to: [ask, look, safe, lamp, listen]}
  - {from: safe, to: drive, when: passed}
  - {from: drive, to: after, when: {x: no}}
  - {from: [ask, look, drive, lamp, listen, after], to: verdict}
)";
  return small_base(text);
}

Entry nuts(const std::string& place, const std::string& value, int at_minute) {
  Entry out = says("nuts", value, at_minute);
  out.place = place;
  return out;
}

}  // namespace

TEST_CASE("offers are the frontier of the path") {
  int offered = 0, moving = 0, passed = 0;
  for (std::uint64_t seed = 0; seed < 1500; ++seed) {
    CAPTURE(seed);
    World world(seed + 130000);
    CaseFile file =
        random_case(world.base, world.random, {world.random.between(0, 20), 0.15, 0.08, 0.06});
    if (world.random.chance(0.5)) {  // else few cases come behind a gate
      file.add(loosened(10, Asker::bay, "sound", "yes"));
      file.add(loosened(10, Asker::write_up, "loose", "no"));
    }
    const CaseFacts facts = world.facts(file);
    const Offers offers = offers_of(world.base, facts);
    const Frontier frontier(world.base, file, facts);
    REQUIRE(std::set<int>(offers.checks.begin(), offers.checks.end()) == frontier.checks());
    REQUIRE(std::is_sorted(offers.checks.begin(), offers.checks.end()));
    REQUIRE(offers.gates.size() == world.base.gates.size());
    for (const GateState& gate : offers.gates) {
      REQUIRE(gate.passed == frontier.passed(world.base.gates[at(gate.gate)]));
      REQUIRE(gate.passed == gate.missing.empty());
      passed += gate.passed;
    }
    offered += !offers.checks.empty();
    moving += offers_movement(world, file);
  }
  CHECK(offered > 700);
  CHECK(moving > 150);
  CHECK(passed > 200);
}

TEST_CASE("a stop always stops, whatever else is answered, until the bay clears it") {
  int would_move = 0, past_the_gate = 0;
  for (std::uint64_t seed = 0; seed < 600; ++seed) {
    CAPTURE(seed);
    World world(seed + 140000);
    Lcg& random = world.random;
    CaseFile file = random_case(world.base, random, {12, 0.1, 0.08, 0.06});
    const std::string stop = random.chance(0.5) ? "loose" : "smoke";
    file.add(loosened(10, random.pick(std::vector<Asker>{Asker::write_up, Asker::road, Asker::bay}),
                      stop, "yes"));
    const auto held = [&](const CaseFile& now) {
      REQUIRE(world.facts(now).stopped());
      past_the_gate += offers_of(world.base, world.facts(now)).gates[0].passed;
      REQUIRE(!offers_movement(world, now));
    };
    held(file);
    // Clear answers of the wrong source, unsure, a denial, an older clear answer of the bay; a
    // repair.
    for (const Entry& entry :
         {loosened(11, Asker::write_up, "sound", "yes"), loosened(11, Asker::road, "sound", "yes"),
          loosened(11, Asker::bay, "sound", "no"), loosened(11, Asker::bay, "loose", "no"),
          loosened(11, Asker::bay, stop, "no"), says("sound", "yes", 59),
          repaired(world.base.repairs[0].id, 59)}) {
      file.add(entry);
      held(file);
    }
    for (int i = 0; i < 10; ++i) {
      Entry entry = random_answer(world.base, random, 0.1);
      entry.at = "2026-05-04T11:" + std::to_string(random.between(10, 59)) + ":00Z";
      if (entry.fact == "sound" && entry.by == Asker::bay) continue;
      file.add(entry);
      held(file);
    }
    file.add(loosened(12, Asker::bay, "sound", "yes"));
    REQUIRE(!world.facts(file).stopped());
    would_move += offers_movement(world, file);
    const std::string clearing = file.entries().back().id;
    // The bay takes it back: by a later answer, or by retracting.
    CaseFile again = file;
    again.add(loosened(13, Asker::bay, "sound", "no"));
    held(again);
    again.add(loosened(14, Asker::bay, "sound", "yes"));
    REQUIRE(!world.facts(again).stopped());
    // A new stop needs a new look.
    again.add(loosened(15, Asker::write_up, stop, "yes"));
    held(again);
    Entry retraction;
    retraction.kind = Entry::Kind::retraction;
    retraction.retracts = clearing;
    retraction.at = "2026-05-04T13:00:00Z";
    file.add(retraction);
    held(file);
  }
  CHECK(would_move > 50);  // so that the stop is what held it
  CHECK(past_the_gate > 50);
}

TEST_CASE("a gate passes on clear answers of this round alone") {
  const World world(gate_base());
  const std::vector<Entry> clear = {says("loose", "no", 1, Asker::write_up),
                                    says("feel", "normal", 1, Asker::road), nuts("all", "yes", 1)};
  const auto with = [&](std::vector<Entry> more) {
    std::vector<Entry> entries = clear;
    entries.insert(entries.end(), more.begin(), more.end());
    return entries;
  };
  struct Row {
    std::string what;
    std::vector<Entry> entries;
    std::vector<std::string> missing;
  };
  const std::vector<Row> rows = {
      {"nothing is known", {}, {"loose", "feel", "nuts"}},
      {"all clear", clear, {}},
      {"unknown", {clear[0], clear[2]}, {"feel"}},
      {"unsure", {clear[0], says_unsure("feel", 1), clear[2]}, {"feel"}},
      {"unsure never displaces", with({says_unsure("feel", 2)}), {}},
      {"neither clear nor a stop", {clear[0], says("feel", "odd", 1), clear[2]}, {"feel"}},
      {"one axle of two", {clear[0], clear[1], nuts("front_axle", "yes", 1)}, {"nuts"}},
      {"one axle not clear", with({nuts("rear_axle", "no", 2)}), {"nuts"}},
      {"a repair opens a round", with({repaired("mend_a", 2)}), {"loose", "feel", "nuts"}},
      {"asked again after it",
       with({repaired("mend_a", 2), says("loose", "no", 3), says("feel", "normal", 3),
             nuts("all", "yes", 3)}),
       {}},
      {"a stop holds", with({says("loose", "yes", 2, Asker::write_up)}), {"loose"}},
      {"a stop that was lifted",
       with({says("loose", "yes", 2, Asker::write_up), says("sound", "yes", 3)}),
       {}},
      {"sound says the road, not the bay",
       with({says("feel", "odd", 2), says("sound", "yes", 3, Asker::road)}),
       {"feel"}},
      {"neither clear nor a stop, but sound says the bay",
       with({says("feel", "odd", 2), says("sound", "yes", 3)}),
       {}},
      {"sound alone answers for what it lifts",
       {says("sound", "yes", 1), nuts("all", "yes", 1)},
       {}},
      {"sound, but a newer stop",
       with({says("sound", "yes", 2), says("loose", "yes", 3, Asker::write_up)}),
       {"loose"}},
      {"lifted in the round before",
       with({says("loose", "yes", 2), says("sound", "yes", 3), repaired("mend_a", 4),
             says("feel", "normal", 5), nuts("all", "yes", 5)}),
       {"loose"}},
      {"lifted before, and then an answer that is not clear",
       with({says("feel", "bad", 2), says("sound", "yes", 3), repaired("mend_a", 4),
             says("loose", "no", 5), says("feel", "odd", 5), nuts("all", "yes", 5)}),
       {"feel"}},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const Offers offers = offers_of(world.base, world.facts(case_of(row.entries)));
    std::vector<std::string> missing;
    for (const int fact : offers.gates.at(0).missing)
      missing.push_back(world.base.facts[at(fact)].id);
    CHECK(missing == row.missing);
    CHECK(offers.gates[0].passed == row.missing.empty());
    const int drive = world.base.check_index("drive");
    CHECK((std::find(offers.checks.begin(), offers.checks.end(), drive) != offers.checks.end()) ==
          row.missing.empty());
  }
}

TEST_CASE(
    "a check is offered once its way is open, and no more when it is done or cannot be done") {
  const World world(gate_base());
  const auto offered = [&](std::vector<Entry> entries) {
    std::vector<std::string> out;
    for (const int c : offers_of(world.base, world.facts(case_of(std::move(entries)))).checks)
      out.push_back(world.base.checks[at(c)].id);
    return out;
  };
  Entry not_possible;
  not_possible.kind = Entry::Kind::not_possible;
  not_possible.check = "look";
  not_possible.at = minute(1);
  using List = std::vector<std::string>;
  CHECK(offered({}) == List{"look", "ask", "listen"});  // the shop has no lamp
  CHECK(offered({says("loose", "no", 1)}) == List{"look", "ask", "listen"});
  CHECK(offered({says("loose", "no", 1), says_unsure("feel", 1)}) == List{"look", "listen"});
  CHECK(offered({not_possible}) == List{"ask", "listen"});
  CHECK(offered({not_possible, repaired("mend_a", 2)}) == List{"look", "ask", "listen"});
  CHECK(offered({nuts("front_axle", "yes", 1)}) == List{"look", "ask", "listen"});
  CHECK(offered({nuts("all", "yes", 1)}) == List{"ask", "listen"});
  const std::vector<Entry> clear = {says("loose", "no", 1), says("feel", "normal", 1),
                                    nuts("all", "yes", 1)};
  CHECK(offered(clear) == List{"drive", "listen"});
  std::vector<Entry> smoking = clear;  // a stop that no gate asks for
  smoking.push_back(says("smoke", "yes", 2, Asker::write_up));
  CHECK(offered(smoking) == List{"listen"});
  smoking.push_back(says("smoke", "no", 3));  // the worst answer stands
  CHECK(offered(smoking) == List{"listen"});
  smoking.push_back(says("sound", "yes", 4));
  CHECK(offered(smoking) == List{"drive", "listen"});
  // x was entered though nobody was sent to drive: what follows on it is open.
  CHECK(offered({says("x", "no", 1)}) == List{"look", "ask", "listen", "after"});
  CHECK(offered({says("x", "yes", 1)}) == List{"look", "ask", "listen"});
  CHECK(offered({says_unsure("x", 1)}) == List{"look", "ask", "listen"});  // unknown is not true
  // What is not asked while it is loose need not be learned.
  CHECK(offered({says("loose", "yes", 1)}) == List{"look", "ask"});
}
