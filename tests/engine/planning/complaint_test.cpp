// Simulated complaints: drawn as the model says, repeatable, and kept as a case would keep them.
#include "engine/planning/complaint.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "engine/reasoning/feature.h"
#include "tests/engine/planning/cut_models.h"
#include "tests/engine/planning/tally.h"
#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

bool always_asked(const RuleBase& base, int fact) {
  const Fact& of = base.facts[at(fact)];
  return of.kind != FactKind::text && !of.after_repair &&
         truth_somewhere(base, of.asked_if, Answers(at(base.slot_count), -1)) == Truth::yes;
}

// What is there, for the enumeration.
Present present_of(const RuleBase& base, const Hypothesis& h) {
  Present out;
  for (const int cause : {h.first, h.second})
    if (cause >= 0 && cause != base.nothing_left()) out.push_back(cause);
  return out;
}

double probability(const World& world, const Hypothesis& h, const Sheet& sheet) {
  return h.first < 0 ? world.brute.with_base(sheet)
                     : world.brute.with_causes(present_of(world.base, h), sheet);
}

// What somebody enters who asks this complaint: its readings, each a moment later than the last.
class Writer {
 public:
  explicit Writer(const RuleBase& base) : base_(base) {}

  void enter_check(int check, const CaseFacts& facts) {
    for (const int fact : base_.checks[at(check)].learns)
      for (const Reading& reading : facts.now().readings)
        if (reading.fact == fact && !entered_[{fact, reading.place}]) enter(reading);
  }
  void enter_repair(int repair) {
    Entry entry = repaired(base_.repairs[at(repair)].id, 0);
    entry.at = moment();
    file.add(entry);
    for (auto& [where, entered] : entered_)
      entered = entered && base_.facts[at(where.first)].lasts_with_vehicle;
  }

  CaseFile file;

 private:
  void enter(const Reading& reading) {
    const Fact& fact = base_.facts[at(reading.fact)];
    const std::string place = reading.place < 0 ? "" : places_of(fact.per)[at(reading.place)];
    entered_[{reading.fact, reading.place}] = true;
    file.add(answer_entry(base_, reading.fact, place, reading.answers, reading.by, moment()));
  }
  std::string moment() {
    char text[32];
    std::snprintf(text, sizeof text, "2026-05-04T%02d:%02d:00Z", 6 + minutes_ / 60, minutes_ % 60);
    ++minutes_;
    return text;
  }

  const RuleBase& base_;
  std::map<std::pair<int, int>, bool> entered_;
  int minutes_ = 0;
};

RuleBase stopping_base() {
  BaseText text;
  text.facts = R"(
complaint_now: {ask: Now, kind: one, answers: {gone: G, less: L, same: S, other: O}, base: {gone: 0.3, less: 0.2, same: 0.4, other: 0.1}, asked_at: [road], after_repair: yes}
)";
  text.causes = cause_text("a", 10) + cause_text("b", 10);
  text.rules =
      "- {rule: loose, when: {loose: yes}, for: {a: strong}, because: B., origin: invented}\n";
  text.checks = R"(
ask_loose: {what: Ask, by: write_up, learns: [loose], minutes: 1, moves: no}
look: {what: Look, by: bay, learns: [sound], minutes: 1, moves: no}
drive: {what: Drive, by: road, learns: [sound, complaint_now], minutes: 10, moves: yes}
)";
  text.path = R"(
gates: {safe: {guards: [moves], asks: [loose], what: Safe}}
ends: {verdict: {what: Found}}
edges: [{from: start, to: [ask_loose, look, safe]}, {from: safe, to: drive, when: passed}, {from: [ask_loose, look, drive], to: verdict}]
)";
  return small_base(text);
}

}  // namespace

TEST_CASE("what is wrong is drawn as the priors say") {
  const Reasoner& reasoner = shipped_planner().reasoner();
  const std::size_t causes = reasoner.base().causes.size();
  std::vector<Tally> tallies(causes + 2);  // each cause alone, two at once, not listed
  for (std::uint64_t seed = 0; seed < 4000; ++seed) {
    const Hypothesis truth = Complaint(reasoner, seed).truth();
    tallies[causes].add(reasoner.base().shares.pairs, truth.second >= 0);
    tallies[causes + 1].add(reasoner.base().shares.not_listed, truth.first < 0);
    for (int c = 0; c < static_cast<int>(causes); ++c)
      tallies[at(c)].add(std::exp(reasoner.log_prior(c)), truth == Hypothesis{c, -1});
  }
  double squares = 0.0, compared = 0.0;
  for (std::size_t t = 0; t < tallies.size(); ++t) {
    if (!tallies[t].says_something()) continue;
    CAPTURE(t);
    CHECK(tallies[t].off() <= 4.0);
    squares += std::pow(tallies[t].off(), 2.0);
    compared += 1.0;
  }
  MESSAGE("chi-square " << squares << " of " << compared);
  CHECK(compared > 20.0);
  CHECK(std::abs(squares - compared) <= 4.0 * std::sqrt(2.0 * compared));
}

TEST_CASE("answers come as often as the enumeration says, alone and two together") {
  int compared = 0, together = 0, after_repair = 0;
  double most = 0.0;
  for (std::uint64_t seed = 0; seed < 12; ++seed) {
    CAPTURE(seed);
    const World world(seed + 210000);
    const RuleBase& base = world.base;
    const bool repaired = seed % 3 == 2;
    std::vector<std::pair<std::size_t, int>> slots;  // and how many of its answers are looked at
    for (const Variable& variable : base.variables)
      for (int s = 0; s < variable.slots; ++s)
        if (always_asked(base, variable.fact))
          slots.emplace_back(at(variable.first_slot + s), std::min(2, variable.size()));
    // By hypothesis, slots (the second may be the first), and their answers.
    std::map<std::vector<int>, std::pair<double, Tally>> tallies;
    const auto count = [&](const Hypothesis& h, std::size_t x, std::size_t y, int first, int second,
                           const Answers& given) {
      const auto [found, fresh] = tallies.try_emplace(
          {h.first, h.second, static_cast<int>(x), static_cast<int>(y), first, second});
      if (fresh) {
        Sheet sheet(at(base.slot_count), -1);
        sheet[x] = first;
        sheet[y] = second;
        found->second.first = probability(world, h, sheet);
      }
      found->second.second.add(found->second.first, given[x] == first && given[y] == second);
    };
    for (int i = 0; i < 2000; ++i) {
      Complaint complaint(world.reasoner, 104729 * seed + at(i));
      if (repaired) complaint.repair({0});
      for (int c = 0; c < static_cast<int>(base.checks.size()); ++c) complaint.learn(c);
      const Answers& given = complaint.facts().now().answers;
      for (std::size_t i1 = 0; i1 < slots.size(); ++i1)
        for (std::size_t i2 = i1; i2 < std::min(slots.size(), i1 + 3); ++i2) {
          const auto [x, answers_x] = slots[i1];
          const auto [y, answers_y] = slots[i2];
          for (int first = 0; first < answers_x; ++first)
            for (int second = 0; second < answers_y; ++second)
              if (given[x] >= 0 && given[y] >= 0 && (x != y || first == second))
                count(complaint.now(), x, y, first, second, given);
        }
    }
    for (const auto& [key, found] : tallies) {
      const Tally& tally = found.second;
      CAPTURE(doctest::toString(key[0]) + " " + doctest::toString(key[1]));  // what was wrong
      if (tally.variance < 1e-9) REQUIRE(std::abs(tally.seen - tally.expected) <= 1e-6);
      if (!tally.says_something()) continue;
      CHECK(tally.off() <= 4.0);
      most = std::max(most, tally.off());
      ++compared;
      together += key[2] != key[3];
      after_repair += repaired;
    }
  }
  MESSAGE(compared << " frequencies, " << together << " of two answers, " << after_repair
                   << " after a repair; at most " << most << " sd off");
  CHECK(compared > 500);
  CHECK(together > 200);
  CHECK(after_repair > 50);
}

namespace {

// Of a variable at a slot when nothing is known: by the rules, or by what computes it.
std::vector<double> expected_of(const Reasoner& reasoner, const Hypothesis& truth, int variable,
                                std::size_t slot, const Answers& nothing) {
  const int fact = reasoner.base().variables[at(variable)].fact;
  const Provider* owner = reasoner.owner_of(fact);
  if (!owner) return prospect(reasoner, truth, variable, slot, nothing);
  std::vector<double> out;
  const CaseFacts facts = nothing_known(reasoner.base());
  const Feature feature{fact, variable, {}, owner, owner->expect(reasoner.base(), facts, variable)};
  for (const std::vector<double>& row : table_of(reasoner, facts, feature, {truth}))
    out.push_back(row.front());
  return out;
}

}  // namespace

TEST_CASE("the shipped rules: answers come as often as they were to be expected") {
  const Reasoner& reasoner = shipped_planner().reasoner();
  const RuleBase& base = reasoner.base();
  for (const char* id :
       {"ask_where_felt", "ask_worst_speed", "ask_braking", "ask_wheels_safe", "look_at_tires"}) {
    CAPTURE(id);
    const int check = base.check_index(id);
    REQUIRE(check >= 0);
    // By cause, slot and answer; and whatever the cause is (-2).
    std::map<std::vector<int>, Tally> tallies;
    for (std::uint64_t seed = 0; seed < 2500; ++seed) {
      Complaint complaint(reasoner, seed + 50000);
      const Answers nothing = complaint.facts().now().answers;
      const Hypothesis truth = complaint.truth();
      complaint.learn(check);
      for (const int fact : base.checks[at(check)].learns) {
        if (!always_asked(base, fact)) continue;
        const Fact& of = base.facts[at(fact)];
        for (int v = of.first_variable; v < of.first_variable + of.variable_count; ++v)
          for (int s = 0; s < base.variables[at(v)].slots; ++s) {
            const std::size_t slot = at(base.variables[at(v)].first_slot + s);
            const std::vector<double> p = expected_of(reasoner, truth, v, slot, nothing);
            const int given = complaint.facts().now().answers[slot];
            REQUIRE(given >= 0);
            for (int a = 0; a < static_cast<int>(p.size()); ++a) {
              tallies[{-2, static_cast<int>(slot), a}].add(p[at(a)], given == a);
              if (truth.second >= 0) continue;
              tallies[{truth.first, static_cast<int>(slot), a}].add(p[at(a)], given == a);
            }
          }
      }
    }
    int compared = 0;
    for (const auto& [key, tally] : tallies) {
      if (!tally.says_something()) continue;
      CAPTURE(doctest::toString(key[1]) + ": " + doctest::toString(key[2]));
      CHECK(tally.off() <= 4.0);
      ++compared;
    }
    CHECK(compared >= 2);
  }
}

TEST_CASE("the same seed gives the same answers; the fault does not hang on what is asked") {
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    CAPTURE(seed);
    World world(seed + 220000);
    for (const double corrupted : {0.0, 0.3}) {
      Complaint one(world.reasoner, seed, corrupted), other(world.reasoner, seed, corrupted);
      CHECK(one.truth() == Complaint(world.reasoner, seed, 0.5).truth());
      for (int i = 0; i < 6; ++i) {
        const int check = world.random.below(static_cast<int>(world.base.checks.size()));
        one.learn(check);
        other.learn(check);
        if (world.random.chance(0.2)) {
          one.repair({0});
          other.repair({0});
        }
        REQUIRE(one.now() == other.now());
        REQUIRE(one.facts().now().answers == other.facts().now().answers);
        REQUIRE(one.facts().stopped() == other.facts().stopped());
      }
    }
  }
}

TEST_CASE("a stop answer stops, and only a clear answer of the bay lifts it") {
  const RuleBase base = stopping_base();
  const Reasoner reasoner(base);
  const auto says_yes = [&](const Complaint& complaint, const char* fact) {
    return complaint.facts().now().find(base.fact_index(fact))->answers[0] == 1;
  };
  int lifted = 0;
  for (std::uint64_t seed = 0; seed < 3000; ++seed) {
    CAPTURE(seed);
    Complaint complaint(reasoner, seed);
    complaint.learn(base.check_index("ask_loose"));
    REQUIRE(complaint.facts().stopped() == says_yes(complaint, "loose"));
    if (!complaint.facts().stopped()) continue;
    if (seed % 2 == 0) {  // what is seen on the road lifts nothing
      complaint.learn(base.check_index("drive"));
      REQUIRE(complaint.facts().stopped());
      continue;
    }
    complaint.learn(base.check_index("look"));
    REQUIRE(complaint.facts().stopped() == !says_yes(complaint, "sound"));
    lifted += !complaint.facts().stopped();
    complaint.lift_stops();
    REQUIRE(!complaint.facts().stopped());
  }
  CHECK(lifted > 50);
}

TEST_CASE("a repair leaves what it does not cure") {
  std::unique_ptr<World> world;
  int right = 0, one_of_two = 0, wrong = 0;
  for (std::uint64_t seed = 0; seed < 3000; ++seed) {
    CAPTURE(seed);
    if (seed % 30 == 0) world = std::make_unique<World>(seed + 230000);
    const RuleBase& base = world->base;
    Complaint complaint(world->reasoner, seed);
    Present left = present_of(base, complaint.truth());
    const bool listed = !left.empty();
    REQUIRE(complaint.now() == complaint.truth());
    for (int round = 1; round <= 3; ++round) {
      for (int c = 0; c < static_cast<int>(base.checks.size()); ++c) complaint.learn(c);
      std::vector<int> repairs;
      for (int r = 0; r < static_cast<int>(base.repairs.size()); ++r)
        if (world->random.chance(0.4)) repairs.push_back(r);
      const Present before = left;
      for (const int r : repairs)
        for (const int cured : base.repairs[at(r)].cures)
          left.erase(std::remove(left.begin(), left.end(), cured), left.end());
      complaint.repair(repairs);
      REQUIRE(present_of(base, complaint.now()) == left);
      REQUIRE((complaint.now().first < 0) == !listed);
      REQUIRE(complaint.is_right() == (listed && left.empty()));
      right += complaint.is_right();
      one_of_two += before.size() == 2 && left.size() == 1;
      wrong += left == before && listed && !left.empty();
    }
  }
  CHECK(right > 100);
  CHECK(one_of_two > 30);
  CHECK(wrong > 100);
}

TEST_CASE("the drive after a repair shows whether the complaint is gone") {
  const RuleBase base = stopping_base();
  const Reasoner reasoner(base);
  const int fact = base.fact_index("complaint_now");
  const int a = base.repair_index("mend_a"), b = base.repair_index("mend_b");
  const int one = base.cause_index("a"), other = base.cause_index("b");
  struct Row {
    Hypothesis truth;
    std::vector<int> repairs;
    const char* says;
  };
  const std::vector<Row> rows = {
      {{one, -1}, {a}, "gone"},    {{one, -1}, {b}, "same"},    {{one, -1}, {a, b}, "gone"},
      {{one, other}, {a}, "less"}, {{one, other}, {b}, "less"}, {{one, other}, {a, b}, "gone"},
      {{one, other}, {}, "same"},  {{other, -1}, {b}, "gone"},  {{-1, -1}, {a, b}, "same"},
  };
  std::vector<int> met(rows.size(), 0);
  for (std::uint64_t seed = 0; seed < 400; ++seed)
    for (std::size_t r = 0; r < rows.size(); ++r) {
      Complaint complaint(reasoner, seed);
      if (!(complaint.truth() == rows[r].truth)) continue;
      CAPTURE(r);
      complaint.repair(rows[r].repairs);
      const int said = complaint.facts().now().find(fact)->answers[0];
      REQUIRE(base.facts[at(fact)].answers[at(said)].id == rows[r].says);
      ++met[r];
    }
  for (const int count : met) CHECK(count > 0);
}

TEST_CASE("a complaint keeps its facts as a case does that was told the same") {
  int rounds = 0, lifted = 0;
  for (std::uint64_t seed = 0; seed < 1200; ++seed) {
    CAPTURE(seed);
    World world(seed + 240000);
    const RuleBase& base = world.base;
    Complaint complaint(world.reasoner, seed);
    Writer writer(base);
    for (int i = 0; i < 12; ++i) {
      if (world.random.chance(0.2)) {
        const int repair = world.random.below(static_cast<int>(base.repairs.size()));
        complaint.repair({repair});
        writer.enter_repair(repair);
      } else {
        const int check = world.random.below(static_cast<int>(base.checks.size()));
        complaint.learn(check);
        writer.enter_check(check, complaint.facts());
      }
      const CaseFacts &kept = complaint.facts(), told = world.facts(writer.file);
      REQUIRE(kept.rounds.size() == told.rounds.size());
      REQUIRE(kept.vehicle == told.vehicle);
      for (std::size_t r = 0; r < told.rounds.size(); ++r) {
        REQUIRE(kept.rounds[r].answers == told.rounds[r].answers);
        REQUIRE(kept.rounds[r].opened_by == told.rounds[r].opened_by);
      }
      const auto same = [](const Reading& one, const Reading& other) {
        return one.fact == other.fact && one.place == other.place && one.by == other.by &&
               one.answers == other.answers;
      };
      REQUIRE(std::equal(kept.now().readings.begin(), kept.now().readings.end(),
                         told.now().readings.begin(), told.now().readings.end(), same));
      REQUIRE(kept.stops.size() == told.stops.size());
      for (std::size_t s = 0; s < told.stops.size(); ++s) {
        REQUIRE(kept.stops[s].fact == told.stops[s].fact);
        REQUIRE(kept.stops[s].lifted == told.stops[s].lifted);
      }
      rounds += told.rounds.size() > 1;
      lifted += !told.stops.empty() && !told.stopped();
      REQUIRE(offers_of(base, kept).checks == offers_of(base, told).checks);
    }
  }
  CHECK(rounds > 500);
  CHECK(lifted > 100);
}
