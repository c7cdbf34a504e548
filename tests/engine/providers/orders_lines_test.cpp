// The lines of a rule base, each once.
#include "engine/providers/orders_lines.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "engine/providers/orders.h"
#include "tests/engine/providers/shaking_base.h"
#include "tests/engine/shipped_rules.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

bool alike(const Cause& one, const Cause& other) {
  return std::equal(one.shakes.begin(), one.shakes.end(), other.shakes.begin(), other.shakes.end(),
                    [](const Shake& a, const Shake& b) {
                      return a.source == b.source && a.kind == b.kind && a.share == b.share &&
                             a.low_order == b.low_order && a.high_order == b.high_order;
                    });
}

}  // namespace

TEST_CASE("a cause keeps the shares of its shakes, spread evenly over the orders of a range") {
  for (const RuleBase* base : {&shaking_rules(), &shipped_rules()}) {
    const ShakeBook book(*base);
    REQUIRE(book.mix_of.size() == base->causes.size());
    for (std::size_t c = 0; c < base->causes.size(); ++c) {
      const Cause& cause = base->causes[c];
      CAPTURE(cause.id);
      std::map<std::pair<std::string, double>, double> expected, kept;
      for (const Shake& shake : cause.shakes) {
        const bool plain = shake.kind == Shake::Kind::number;
        const double orders = shake.high_order - shake.low_order + 1.0;
        for (double order = shake.low_order; order < shake.high_order + 0.5; order += 1.0)
          expected[{shake.source, plain ? order : 0.0}] += shake.share / orders;
      }
      for (const ShakeBook::Part& part : book.mixes[book.mix_of[c]]) {
        const ShakeLine& line = book.lines[part.line];
        kept[{line.source, line.kind == Shake::Kind::number ? line.order : 0.0}] += part.share;
      }
      REQUIRE(kept.size() == expected.size());
      for (const auto& [line, share] : expected)
        CHECK(kept[line] == doctest::Approx(share).epsilon(1e-12));
    }
  }
}

TEST_CASE("lines and mixes stand there once, and causes that shake alike share a mix") {
  for (const RuleBase* base : {&shaking_rules(), &shipped_rules()}) {
    const ShakeBook book(*base);
    for (std::size_t i = 0; i < book.lines.size(); ++i)
      CHECK(std::count(book.lines.begin(), book.lines.end(), book.lines[i]) == 1);
    for (std::size_t c = 0; c < base->causes.size(); ++c)
      for (std::size_t d = 0; d < c; ++d) {
        const bool one_mix = book.mix_of[c] == book.mix_of[d];
        const bool by_size = base->causes[c].id == "mismatched_tires_beating" ||
                             base->causes[d].id == "mismatched_tires_beating";
        CHECK(one_mix == (!by_size && alike(base->causes[c], base->causes[d])));
      }
  }
}

TEST_CASE("a provider that is asked about two rule bases in turn takes neither for the other") {
  const OrdersProvider in_turn;
  for (int i = 0; i < 2; ++i)
    for (const RuleBase* base : {&shaking_rules(), &shipped_rules()}) {
      const CaseFacts facts = facts_from(*base, {{"how_fast", {"as_shaft"}, "", {}}});
      const ProviderWeights said = in_turn.weigh(*base, facts, 0);
      CHECK(said.by_cause.size() == base->causes.size());
      CHECK(said.by_cause == OrdersProvider().weigh(*base, facts, 0).by_cause);
      CHECK(said.facts == std::vector<int>{base->fact_index("how_fast")});
    }
}
