// Complaints drawn from the model are calibrated: of the causes given a probability of about p,
// about p are there.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

struct Bin {
  double expected = 0.0, seen = 0.0, variance = 0.0;
  int count = 0;
};

// A vehicle with a drawn fault, and what was asked of it.
struct Drawn {
  CaseFile file;
  Present present;  // now
};

// Enters what the sheet says of a random part of the facts (`vehicle`: those that last with it).
void ask(World& world, const Sheet& sheet, bool vehicle, double share, const std::string& when,
         CaseFile& file) {
  const RuleBase& base = world.base;
  for (std::size_t f = 0; f < base.facts.size(); ++f) {
    const Fact& fact = base.facts[f];
    if (fact.kind == FactKind::text || fact.lasts_with_vehicle != vehicle) continue;
    for (int place = 0; place < base.variables[at(fact.first_variable)].slots; ++place) {
      if (!world.random.chance(share)) continue;
      std::vector<int> answers;
      for (int v = 0; v < fact.variable_count; ++v)
        answers.push_back(
            sheet[at(base.variables[at(fact.first_variable + v)].first_slot + place)]);
      const std::string where = fact.per == Per::vehicle_case ? "" : places_of(fact.per)[at(place)];
      file.add(answer_entry(base, static_cast<int>(f), where, answers, Asker::bay, when));
    }
  }
}

Drawn draw_case(World& world) {
  const RuleBase& base = world.base;
  const std::size_t h = world.random.pick_weighted(world.brute.priors());
  const Present first = world.brute.hypotheses()[h];
  const bool not_listed = first.empty();
  const double share = world.random.pick(std::vector<double>{0.2, 0.5, 0.9});
  Drawn out{{}, first};
  const Sheet nothing(at(base.slot_count), -1);
  const Sheet sheet = world.brute.draw(first, not_listed, nothing, world.random);
  ask(world, sheet, true, share, minute(0), out.file);
  ask(world, sheet, false, share, minute(10), out.file);
  for (int round = 1; round <= 2 && world.random.chance(0.4); ++round) {
    Entry repair;
    repair.kind = Entry::Kind::repair;
    repair.done = true;
    const Repair& done = world.random.pick(base.repairs);
    repair.repair = done.id;
    repair.at = minute(10 + 20 * round - 1);
    out.file.add(repair);
    for (const int cured : done.cures)
      out.present.erase(std::remove(out.present.begin(), out.present.end(), cured),
                        out.present.end());
    // The vehicle stays what it is; its symptoms are drawn anew for what is left.
    Sheet again = nothing;
    for (const Variable& variable : base.variables)
      for (int s = 0; s < variable.slots; ++s)
        if (variable.lasts_with_vehicle)
          again[at(variable.first_slot + s)] = sheet[at(variable.first_slot + s)];
    ask(world, world.brute.draw(out.present, not_listed, again, world.random), false, share,
        minute(10 + 20 * round), out.file);
  }
  return out;
}

}  // namespace

TEST_CASE("complaints drawn from the model are calibrated, after repairs as well") {
  std::array<Bin, 10> bins;
  for (std::uint64_t seed = 0; seed < 400; ++seed) {
    World world(seed + 80000);
    for (int i = 0; i < 120; ++i) {
      const Drawn drawn = draw_case(world);
      const Ranking ranking = world.ranking(drawn.file);
      // One prediction a case, so that they are independent; the leading ones, so that every bin is
      // used.
      const Ranked& asked = ranking.causes[at(world.random.below(3))];
      const double p = std::min(asked.probability, 1.0);
      Bin& bin = bins[std::min<std::size_t>(9, static_cast<std::size_t>(10.0 * p))];
      bin.expected += p;
      bin.variance += p * (1.0 - p);
      bin.seen +=
          std::find(drawn.present.begin(), drawn.present.end(), asked.cause) != drawn.present.end()
              ? 1.0
              : 0.0;
      ++bin.count;
    }
  }
  for (std::size_t b = 0; b < bins.size(); ++b) {
    CAPTURE(b);
    CAPTURE(bins[b].expected / bins[b].count);
    CAPTURE(bins[b].seen / bins[b].count);
    CHECK(bins[b].count >= 100);
    CHECK(std::abs(bins[b].seen - bins[b].expected) <= 3.0 * std::sqrt(bins[b].variance));
  }
}

TEST_CASE("not_listed and nothing_left are calibrated too") {
  Bin not_listed, nothing_left;
  for (std::uint64_t seed = 0; seed < 150; ++seed) {
    World world(seed + 90000);
    for (int i = 0; i < 60; ++i) {
      const Drawn drawn = draw_case(world);
      const Ranking ranking = world.ranking(drawn.file);
      // Neither can be told from the other by what is present: their sum is.
      const double p = ranking.not_listed + ranking.nothing_left;
      Bin& bin = ranking.round == 0 ? not_listed : nothing_left;
      bin.expected += p;
      bin.variance += p * (1.0 - p);
      bin.seen += drawn.present.empty() ? 1.0 : 0.0;
      ++bin.count;
    }
  }
  for (const Bin& bin : {not_listed, nothing_left}) {
    CHECK(bin.count > 1000);
    CHECK(std::abs(bin.seen - bin.expected) <= 3.0 * std::sqrt(bin.variance));
  }
}
