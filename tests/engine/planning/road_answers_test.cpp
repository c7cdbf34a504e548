// What a check could find, by hand.
#include "engine/planning/road_answers.h"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "tests/engine/planning/road_world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

const RuleBase& base() {
  static const RuleBase made = road_base();
  return made;
}
const Reasoner& reasoner() {
  static const Reasoner made(base());
  return made;
}

std::vector<AnswerTable> tables(const std::string& check, const std::vector<Told>& told) {
  const auto facts = facts_of(road_case(told), base());
  REQUIRE(facts.ok());
  return answers_to_learn(reasoner(), *facts, base().check_index(check),
                          {base().cause_index("brake"), base().cause_index("tire_once")});
}

}  // namespace

TEST_CASE("of one answer a case: the strength multiplies the odds") {
  // Base 0.2, odds 0.25, twenty times that is 5: a yes in 5/6.
  const auto found = tables("brake", {});
  REQUIRE(found.size() == 1);
  CHECK(found[0].rows[0][1] == doctest::Approx(5.0 / 6.0).epsilon(1e-12));
  CHECK(found[0].rows[1][1] == doctest::Approx(0.2).epsilon(1e-12));
  CHECK(total_variation(found[0].rows[0], found[0].rows[1]) ==
        doctest::Approx(5.0 / 6.0 - 0.2).epsilon(1e-12));
}

TEST_CASE("read at four wheels: whether any of them is a yes") {
  // Base 0.05; at the faulty wheel 1 in 1.95 is a yes (0.05 x 20 / (0.95 + 1)), so none of the four
  // with 0.95^3 x 0.95 / 1.95 under the cause, with 0.95^4 without it.
  const double none = 0.95 * 0.95 * 0.95 * 0.95;
  const auto found = tables("feel_heat", {});
  REQUIRE(found.size() == 1);
  CHECK(found[0].rows[0][0] == doctest::Approx(none / 1.95).epsilon(1e-12));
  CHECK(found[0].rows[1][0] == doctest::Approx(none).epsilon(1e-12));
  // Three wheels are cold: the fourth is hot with 1 in 1.95, had the fault been as likely at each;
  // but the cold ones make the fourth more likely the faulty one.
  const auto last = tables(
      "feel_heat", {{"wheel_hot", "no", "", "front_axle"}, {"wheel_hot", "no", "", "left_rear"}});
  REQUIRE(last.size() == 1);
  const double cold = 1.0 / 1.95;               // of a cold wheel, against the base
  const double now = (3.0 * cold + 1.0) / 4.0;  // the mean over the places of the fault
  const double hot = (3.0 * cold + 20.0 / 1.95) / 4.0;
  CHECK(last[0].rows[0][1] == doctest::Approx(0.05 * hot / now).epsilon(1e-12));
}

TEST_CASE("nothing to learn where it is known, of a text, of a frequency, or where no rule asks") {
  CHECK(tables("brake", {{"light_brake", "no", ""}}).empty());
  CHECK(tables("record", {}).empty());
  CHECK(tables("prove", {}).empty());     // not asked before a repair
  CHECK(tables("speed_up", {}).empty());  // no rule of this base asks for a speed
}
