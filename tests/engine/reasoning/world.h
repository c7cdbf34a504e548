// A random rule base with all that is compiled from it, and everything it says of a case as text.
#pragma once

#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "engine/reasoning/next.h"
#include "engine/reasoning/offers.h"
#include "engine/reasoning/ranking.h"
#include "engine/reasoning/reasons.h"
#include "tests/engine/reasoning/brute_force.h"
#include "tests/engine/reasoning/random_base.h"
#include "tests/engine/reasoning/random_case.h"

namespace perrev::testing {

// Pairs below this are counted but not listed (ranking.h).
inline constexpr double kLeastPairListed = 1e-4;

// Stays where it is: the reasoner and the brute force point into `base`.
struct World {
  explicit World(std::uint64_t seed) : World(std::make_unique<Lcg>(seed)) {}
  explicit World(RuleBase given) : random(0), base(std::move(given)), reasoner(base), brute(base) {}
  World(const World&) = delete;
  World& operator=(const World&) = delete;

  CaseFacts facts(const CaseFile& file) const {
    auto read = facts_of(file, base);
    if (!read) throw std::runtime_error(read.error().front().text());
    return std::move(read).value();
  }
  Ranking ranking(const CaseFile& file) const { return rank(reasoner, facts(file)); }

  Lcg random;
  RuleBase base;
  Reasoner reasoner;
  BruteForce brute;

 private:
  explicit World(std::unique_ptr<Lcg> seeded)
      : random(*seeded), base(random_base(random)), reasoner(base), brute(base) {}
};

// The ranking, to the last bit of every number.
std::string told_ranking(const Ranking& ranking);
// Ranking, states, reasons, stops, gates, offers, next steps: all that a program could print.
std::string told(const Reasoner& reasoner, const CaseFile& file);

// A base written out for cases worked by hand. The facts `loose` (a stop) and `sound` (which lifts
// it), the repairs of the causes a and b, and a path with one gate before a drive are added.
struct BaseText {
  std::string facts, causes, rules;
  std::string limits = "{}\n";
  std::string checks = R"(
ask_loose: {what: Ask, by: write_up, learns: [loose], minutes: 1, moves: no}
drive: {what: Drive, by: road, learns: [sound], minutes: 10, moves: yes}
)";
  std::string path = R"(
gates: {safe: {guards: [moves], asks: [loose], what: Safe}}
ends: {verdict: {what: Found}}
edges:
  - {from: start, to: [ask_loose, safe]}
  - {from: safe, to: drive, when: passed}
  - {from: [ask_loose, drive], to: verdict}
)";
};
RuleBase small_base(const BaseText& text);

// "id: {name: ..., ...}": a cause with what every cause must have, and `more` ("needs: {...}").
std::string cause_text(const std::string& id, double usual, const std::string& more = {});

// Short forms of entries. `at` is a minute of the hour.
Entry says(const std::string& fact, const std::string& value, int at, Asker by = Asker::bay);
Entry says_unsure(const std::string& fact, int at, Asker by = Asker::bay);
Entry repaired(const std::string& repair, int at);
CaseFile case_of(std::vector<Entry> entries);

}  // namespace perrev::testing
