// What entries add up to: which of several counts, rounds, stops, verdicts, places and limits.
#include "engine/casefile/facts_of.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include "tests/engine/casefile/tiny_base.h"

using perrev::CaseFacts;
using perrev::Condition;
using perrev::Reading;
using perrev::StopState;
using perrev::Truth;
using perrev::tiny::base;
using perrev::tiny::facts_in;
using perrev::tiny::in_force;
using perrev::tiny::repaired;
using perrev::tiny::retract;
using perrev::tiny::said;
using perrev::tiny::unsure;

namespace {

using Entries = std::vector<std::string>;

// An entry with an id and a moment of its own.
std::string at(const std::string& id, const std::string& moment, const std::string& entry) {
  return "\"id\": \"" + id + "\", \"at\": \"2026-05-04T" + moment + "Z\", " + entry;
}

std::string place(const std::string& name) { return "\"place\": \"" + name + "\""; }

std::string rim(const std::string& where, const std::string& value) {
  return said("bay", "rim_radial_runout", value, place(where));
}

// "nuts_loose by entry 0, in force"
std::string stops_in(const Entries& entries) {
  std::string out;
  for (const StopState& stop : facts_in(entries).stops)
    out += base().facts[static_cast<std::size_t>(stop.fact)].id + " by entry " +
           std::to_string(stop.entry) + (stop.lifted ? ", lifted" : ", in force");
  return out;
}

std::string causes(const std::vector<int>& indices) {
  std::string out;
  for (const int cause : indices)
    out += (out.empty() ? "" : " ") + base().causes[static_cast<std::size_t>(cause)].id;
  return out;
}

Condition runout_is_bad() {
  Condition out = Condition::of(Condition::Kind::test, {});
  out.variable =
      base().facts[static_cast<std::size_t>(base().fact_index("rim_radial_runout"))].first_variable;
  out.answers = 2;
  return out;
}

}  // namespace

TEST_CASE("of several entries: the highest source, then the latest moment, then the largest id") {
  const std::string yes = "\"yes\"", no = "\"no\"";
  struct Row {
    std::string what;
    Entries entries;
    std::string value;
  };
  const Row rows[] = {
      {"one", {said("write_up", "pull", yes)}, "pull=yes"},
      {"later", {said("write_up", "pull", yes), said("write_up", "pull", no)}, "pull=no"},
      {"bay over road", {said("bay", "pull", yes), said("road", "pull", no)}, "pull=yes"},
      {"road over write-up", {said("road", "pull", yes), said("write_up", "pull", no)}, "pull=yes"},
      {"bay over write-up, whenever",
       {said("write_up", "pull", no), said("bay", "pull", yes), said("write_up", "pull", no)},
       "pull=yes"},
      {"later in time, not in the file",
       {at("1", "10:00:00", said("road", "pull", yes)),
        at("2", "09:00:00", said("road", "pull", no))},
       "pull=yes"},
      {"later by its offset",
       {"\"id\": \"1\", \"at\": \"2026-05-04T10:00:00+02:00\", " + said("road", "pull", yes),
        at("2", "08:00:01", said("road", "pull", no))},
       "pull=no"},
      {"ids as numbers",
       {at("10", "09:00:00", said("road", "pull", yes)),
        at("9", "09:00:00", said("road", "pull", no))},
       "pull=yes"},
      {"other ids after numbers, in the order of text",
       {at("b", "09:00:00", said("road", "pull", yes)),
        at("a", "09:00:00", said("road", "pull", no)),
        at("99", "09:00:00", said("road", "pull", no))},
       "pull=yes"},
      {"unsure after a value", {said("write_up", "pull", yes), unsure("bay", "pull")}, "pull=yes"},
      {"a value after unsure", {unsure("bay", "pull"), said("write_up", "pull", no)}, "pull=no"},
      {"unsure alone", {unsure("write_up", "pull"), unsure("road", "pull")}, "pull=unsure"},
      {"a tick box of which nothing is ticked", {said("write_up", "felt_at", "[]")}, "felt_at="},
      {"the whole list counts, not each tick",
       {said("road", "felt_at", "[\"seat\", \"floor\"]"),
        said("write_up", "felt_at", "[\"seat\"]")},
       "felt_at=seat, floor"},
      {"true and false", {said("write_up", "pull", "true")}, "pull=yes"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    CHECK(in_force(row.entries) == row.value);
  }
}

TEST_CASE("a retraction takes an entry away, and a retraction of it brings it back") {
  const std::string pull = said("write_up", "pull", "\"yes\"");
  CHECK(in_force({pull, retract("1")}).empty());
  CHECK(in_force({pull, retract("1"), retract("2")}) == "pull=yes");
  CHECK(in_force({pull, retract("1"), retract("2"), retract("3")}).empty());
  CHECK(in_force({pull, retract("1"), retract("1"), retract("2")}).empty());
  CHECK(in_force({pull, said("bay", "pull", "\"no\""), retract("2")}) == "pull=yes");
  // The moment of a retraction is of no account, nor is its place in the file.
  CHECK(in_force({at("2", "08:00:00", retract("1")), at("1", "09:00:00", pull)}).empty());
  CHECK(in_force({repaired("rebalance"), pull, retract("1")}) == "pull=yes");
  CHECK(facts_in({repaired("rebalance"), pull, retract("1")}).rounds.size() == 1);
  // A circle that an entry in force breaks from outside is none.
  CHECK(in_force({retract("2"), retract("1"), pull, retract("2")}) == "pull=yes");
}

TEST_CASE("the variables of an answer: unknown where it says nothing") {
  const CaseFacts facts =
      facts_in({said("write_up", "felt_at", "[\"seat\"]"),
                said("write_up", "worst_speed", "\"65 mph\""), unsure("write_up", "pull")});
  const auto answers = [&](const char* fact) {
    const Reading* reading = facts.now().find(base().fact_index(fact));
    return reading ? reading->answers : std::vector<int>{-9};
  };
  CHECK(answers("felt_at") == std::vector<int>{0, 1, 0});
  CHECK(answers("worst_speed") == std::vector<int>{1});  // 0..55, 55..75, 75..124 mph
  CHECK(answers("pull") == std::vector<int>{-1});
  CHECK(answers("wheel_type") == std::vector<int>{-9});
  CHECK(facts.now().asked(base().fact_index("pull")));
  CHECK_FALSE(facts.now().asked(base().fact_index("wheel_type")));
}

TEST_CASE("a band holds its low end, the last one its high end too") {
  for (const auto& [speed, band] : std::vector<std::pair<std::string, int>>{{"0 mph", 0},
                                                                            {"54.99 mph", 0},
                                                                            {"55 mph", 1},
                                                                            {"74.99 mph", 1},
                                                                            {"75 mph", 2},
                                                                            {"200 km/h", 2}}) {
    CAPTURE(speed);
    const auto read = perrev::read_value(base(), base().fact_index("worst_speed"), {speed}, {});
    REQUIRE(read.ok());
    CHECK(read->answers == std::vector<int>{band});
  }
}

TEST_CASE("several readings count by their median") {
  struct Row {
    std::string values;
    double metres;
  };
  for (const Row& row : {Row{"\"0.9 mm\"", 0.0009}, Row{"[\"0.9 mm\"]", 0.0009},
                         Row{"[\"0.9 mm\", \"0.1 mm\", \"0.02 in\"]", 0.000508},
                         Row{"[\"4 mm\", \"0.2 mm\", \"0.4 mm\", \"0.1 mm\"]", 0.0003}}) {
    CAPTURE(row.values);
    const CaseFacts facts = facts_in({rim("left_rear", row.values)});
    const Reading* reading = facts.now().find(base().fact_index("rim_radial_runout"), 2);
    REQUIRE(reading);
    CHECK(reading->number == doctest::Approx(row.metres));
  }
}

TEST_CASE("places: a wheel, both of an axle, all; text without a place is for all") {
  const std::string value = "\"0.9 mm\"", lf = "rim_radial_runout@left_front=", bad = " (between)";
  CHECK(in_force({rim("left_front", value)}) == lf + "0.9 mm" + bad);
  CHECK(
      in_force(
          {rim("all", "\"2 mm\""), rim("front_axle", value), rim("left_front", "\"0.1 mm\"")}) ==
      "rim_radial_runout@left_front=0.1 mm (good), rim_radial_runout@right_front=0.9 mm (between), "
      "rim_radial_runout@left_rear=2 mm (bad), rim_radial_runout@right_rear=2 mm (bad)");
  CHECK(in_force({said("bay", "brake_drags", "\"yes\"", place("rear_axle"))}) ==
        "brake_drags@rear_axle=yes");
  CHECK(in_force({said("bay", "brake_drags", "\"no\"", place("all"))}) ==
        "brake_drags@front_axle=no, brake_drags@rear_axle=no");
  CHECK(in_force({said("bay", "working_angle", "\"1 deg\"", place("rear_shaft"))}) ==
        "working_angle@rear_shaft=1 deg (good)");
  CHECK(in_force({said("write_up", "tire_size", "\"225/60R16\""),
                  said("bay", "tire_size", "\"T125/70D16\"", place("right_rear"))}) ==
        "tire_size@left_front=225/60R16, tire_size@right_front=225/60R16, "
        "tire_size@left_rear=225/60R16, tire_size@right_rear=T125/70D16");
}

TEST_CASE("against a limit: good, between, bad; without the class only what all classes agree on") {
  struct Row {
    std::string type, value, result;
  };
  const Row rows[] = {
      {"alloy", "0.5 mm", "good"},     {"alloy", "0.51 mm", "between"},
      {"alloy", "0.79 mm", "between"}, {"alloy", "0.8 mm", "bad"},
      {"steel", "0.8 mm", "good"},     {"steel", "0.9 mm", "between"},
      {"steel", "1.0 mm", "bad"},      {"", "0.5 mm", "good"},
      {"", "0.6 mm", "between"},       {"", "0.8 mm", "between"},
      {"", "0.99 mm", "between"},      {"", "1.0 mm", "bad"},
      {"unsure", "0.6 mm", "between"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.type);
    CAPTURE(row.value);
    Entries entries = {rim("left_front", "\"" + row.value + "\"")};
    if (row.type == "unsure")
      entries.push_back(unsure("bay", "wheel_type"));
    else if (!row.type.empty())
      entries.push_back(said("bay", "wheel_type", "\"" + row.type + "\""));
    CHECK(in_force(entries).rfind("(" + row.result + ")") != std::string::npos);
  }
}

TEST_CASE("the class of a limit may hang on the round") {
  const std::string angle = said("bay", "working_angle", "\"2.5 deg\"", place("rear_shaft"));
  const auto shaft = [](const char* word) {
    return said("bay", "shaft_speed", std::string("\"") + word + "\"");
  };
  CHECK(in_force({angle}) == "working_angle@rear_shaft=2.5 deg (between)");
  CHECK(in_force({angle, shaft("slow")}) ==
        "shaft_speed=slow, working_angle@rear_shaft=2.5 deg (good)");
  CHECK(in_force({shaft("fast"), angle}) ==
        "shaft_speed=fast, working_angle@rear_shaft=2.5 deg (bad)");
  const CaseFacts facts =
      facts_in({shaft("slow"), angle, repaired("rebalance"), angle, shaft("fast")});
  CHECK(in_force(facts, 0) == "shaft_speed=slow, working_angle@rear_shaft=2.5 deg (good)");
  CHECK(in_force(facts, 1) == "shaft_speed=fast, working_angle@rear_shaft=2.5 deg (bad)");
}

TEST_CASE("a repair that was done opens a round; what lasts with the vehicle is in all of them") {
  const CaseFacts facts = facts_in({
      said("write_up", "pull", "\"yes\""),
      "\"by\": \"bay\", \"check\": \"drive\", \"answer\": \"not_possible\"",
      repaired("rebalance"),
      said("bay", "wheel_type", "\"steel\""),
      "\"by\": \"bay\", \"repair\": \"new_rim\", \"result\": \"not_done\"",
      said("road", "pull", "\"no\""),
      repaired("tighten"),
  });
  REQUIRE(facts.rounds.size() == 3);
  CHECK(in_force(facts, 0) == "wheel_type=steel, pull=yes");
  CHECK(in_force(facts, 1) == "wheel_type=steel, pull=no");
  CHECK(in_force(facts, 2) == "wheel_type=steel");
  CHECK(facts.rounds[0].opened_by.empty());
  CHECK(facts.rounds[1].opened_by == std::vector<int>{base().repair_index("rebalance")});
  CHECK(facts.rounds[2].opened_by == std::vector<int>{base().repair_index("tighten")});
  CHECK(facts.rounds[0].not_possible == std::vector<int>{base().check_index("drive")});
  CHECK(facts.rounds[1].not_possible.empty());
  // Rounds go by the moments of entries, not by the file.
  const CaseFacts mixed = facts_in({at("1", "12:00:00", repaired("rebalance")),
                                    at("2", "11:00:00", said("write_up", "pull", "\"yes\""))});
  CHECK(in_force(mixed, 0) == "pull=yes");
  CHECK(in_force(mixed, 1).empty());
}

TEST_CASE("a stop stands until the bay's last word on what lifts it is clear") {
  const auto loose = [](const char* by, const char* value) {
    return said(by, "nuts_loose", std::string("\"") + value + "\"");
  };
  const auto sound = [](const char* by, const char* value) {
    return said(by, "nuts_sound", std::string("\"") + value + "\"");
  };
  const std::string held = "nuts_loose by entry 0, in force",
                    lifted = "nuts_loose by entry 0, lifted";
  struct Row {
    std::string what;
    Entries entries;
    std::string stops;
  };
  const Row rows[] = {
      {"no stop", {loose("write_up", "no")}, ""},
      {"unsure is no stop", {unsure("bay", "nuts_loose")}, ""},
      {"a stop", {loose("write_up", "yes")}, held},
      {"a better source says no", {loose("write_up", "yes"), loose("bay", "no")}, held},
      {"the same source says no", {loose("write_up", "yes"), loose("write_up", "no")}, held},
      {"a lower source says yes",
       {loose("bay", "no"), loose("write_up", "yes")},
       "nuts_loose by entry 1, in force"},
      {"lifted", {loose("write_up", "yes"), sound("bay", "yes")}, lifted},
      {"not by the road", {loose("write_up", "yes"), sound("road", "yes")}, held},
      {"not by a finding", {loose("write_up", "yes"), sound("bay", "no")}, held},
      {"not by unsure", {loose("write_up", "yes"), unsure("bay", "nuts_sound")}, held},
      {"not by an older look",
       {sound("bay", "yes"), loose("write_up", "yes")},
       "nuts_loose by entry 1, in force"},
      {"not older by its id",
       {at("1", "09:00:00", loose("bay", "yes")), at("2", "09:00:00", sound("bay", "yes"))},
       lifted},
      {"older by its id",
       {at("2", "09:00:00", loose("bay", "yes")), at("1", "09:00:00", sound("bay", "yes"))},
       held},
      {"the look was taken back",
       {loose("write_up", "yes"), sound("bay", "yes"), sound("bay", "no")},
       held},
      {"unsure takes nothing back",
       {loose("write_up", "yes"), sound("bay", "yes"), unsure("bay", "nuts_sound")},
       lifted},
      {"the look was retracted",
       {loose("write_up", "yes"), sound("bay", "yes"), retract("2")},
       held},
      {"the stop was retracted", {loose("write_up", "yes"), retract("1")}, ""},
      {"a second stop after the look",
       {loose("write_up", "yes"), sound("bay", "yes"), loose("road", "yes")},
       "nuts_loose by entry 2, in force"},
      {"a repair lifts nothing", {loose("write_up", "yes"), repaired("tighten")}, held},
      {"a look in a later round does",
       {loose("write_up", "yes"), repaired("tighten"), sound("bay", "yes")},
       lifted},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    CHECK(stops_in(row.entries) == row.stops);
    CHECK(facts_in(row.entries).stopped() == (row.stops.find("in force") != std::string::npos));
  }
  CHECK(in_force({loose("write_up", "yes"), loose("bay", "no")}) == "nuts_loose=yes");
  CHECK(in_force({loose("write_up", "yes"), repaired("tighten"), loose("bay", "no")}) ==
        "nuts_loose=no");
}

TEST_CASE("verdicts come from the check's own people and end with the repair") {
  const auto verdicts = [](const Entries& entries) { return causes(facts_in(entries).verdicts); };
  const std::string alloy = said("bay", "wheel_type", "\"alloy\""),
                    bad = rim("left_rear", "\"0.9 mm\"");
  const std::string unsound = said("bay", "nuts_sound", "\"no\"");
  CHECK(verdicts({bad}).empty());  // between for steel
  CHECK(verdicts({alloy, bad}) == "bent_rim");
  CHECK(verdicts({alloy, said("road", "rim_radial_runout", "\"0.9 mm\"", place("left_rear"))})
            .empty());
  CHECK(verdicts({alloy, bad, unsound}) == "bent_rim loose_nuts");
  CHECK(verdicts({alloy, bad, unsound, repaired("tighten")}) == "bent_rim");
  CHECK(verdicts({alloy, bad, repaired("new_rim"), bad}) == "bent_rim");
  CHECK(verdicts({alloy, bad, repaired("new_rim"), rim("left_rear", "\"0.1 mm\"")}).empty());
}

TEST_CASE("each round keeps which check showed what, and each entry its round") {
  const std::string alloy = said("bay", "wheel_type", "\"alloy\""),
                    bad = rim("left_rear", "\"0.9 mm\"");
  const std::string not_done = R"("by": "bay", "repair": "tighten", "result": "not_done")";
  const CaseFacts facts =
      facts_in({alloy, bad, not_done, repaired("new_rim"), rim("left_rear", "\"0.1 mm\""),
                said("write_up", "pull", "\"no\""), retract("6")});
  CHECK(facts.round_of == std::vector<int>{0, 0, 0, 1, 1, -1, 1});
  REQUIRE(facts.rounds.size() == 2);
  REQUIRE(facts.rounds[0].shown.size() == 1);
  CHECK(causes({facts.rounds[0].shown[0].cause}) == "bent_rim");
  const perrev::Check& check =
      base().checks[static_cast<std::size_t>(facts.rounds[0].shown[0].check)];
  CHECK(std::count(check.learns.begin(), check.learns.end(),
                   base().fact_index("rim_radial_runout")) == 1);
  CHECK(facts.rounds[1].shown.empty());
}

TEST_CASE("the latest closing in force says what the case is closed with") {
  const std::string both =
      R"("by": "bay", "closes": ["wheel_imbalance", "bent_rim"], "proof": "gone")";
  const std::string one = R"("by": "bay", "closes": ["loose_nuts"], "proof": "gone")";
  CHECK(causes(facts_in({both}).closed) == "wheel_imbalance bent_rim");
  CHECK(causes(facts_in({both, one}).closed) == "loose_nuts");
  CHECK(causes(facts_in({both, one, retract("2")}).closed) == "wheel_imbalance bent_rim");
  CHECK(causes(facts_in({both, retract("1")}).closed).empty());
}

TEST_CASE("a condition at a place, and somewhere") {
  const Condition bad = runout_is_bad();
  const auto truth = [&](const Entries& entries, int where) {
    const CaseFacts facts = facts_in(entries);
    return where < 0 ? truth_somewhere(base(), bad, facts.now().answers)
                     : truth_at(base(), bad, facts.now().answers, where);
  };
  const Entries one = {rim("all", "\"0.1 mm\""), rim("right_front", "\"2 mm\"")};
  CHECK(truth(one, 0) == Truth::no);
  CHECK(truth(one, 1) == Truth::yes);
  CHECK(truth(one, 4) == Truth::unknown);
  CHECK(truth(one, -1) == Truth::yes);
  CHECK(truth({rim("all", "\"0.1 mm\"")}, -1) == Truth::no);
  CHECK(truth({rim("front_axle", "\"0.1 mm\"")}, -1) == Truth::unknown);
  CHECK(truth({}, -1) == Truth::unknown);
}

TEST_CASE("a condition holds somewhere as it holds at the places, each asked by itself") {
  std::mt19937 random(3);
  const auto below = [&](int count) { return static_cast<int>(random() % unsigned(count)); };
  const auto made = [&](const auto& self, int depth) -> Condition {
    const int kind = depth == 0 ? 0 : below(4);
    if (kind == 0) {
      const int variable = below(static_cast<int>(base().variables.size()));
      return Condition::test(variable, 1 + random() % 6);
    }
    if (kind == 1) return Condition::of(Condition::Kind::negation, {self(self, depth - 1)});
    std::vector<Condition> parts;
    for (int i = below(4); i >= 0; --i) parts.push_back(self(self, depth - 1));
    return Condition::of(kind == 2 ? Condition::Kind::all : Condition::Kind::any, parts);
  };
  int by_place = 0;
  for (int trial = 0; trial < 20000; ++trial) {
    const Condition condition = made(made, 3);
    perrev::Answers answers;
    for (int slot = 0; slot < base().slot_count; ++slot) answers.push_back(below(4) - 1);
    int places = 1;
    for (const int v : condition.variables())
      places = std::max(places, base().variables[static_cast<std::size_t>(v)].slots);
    bool yes = false, unknown = false, no = false;
    for (int where = 0; where < places; ++where) {
      const Truth here = truth_at(base(), condition, answers, where);
      yes = yes || here == Truth::yes;
      unknown = unknown || here == Truth::unknown;
      no = no || here == Truth::no;
    }
    by_place += yes + unknown + no > 1 ? 1 : 0;
    REQUIRE(truth_somewhere(base(), condition, answers) == (yes       ? Truth::yes
                                                            : unknown ? Truth::unknown
                                                                      : Truth::no));
  }
  CHECK(by_place > 1000);
}
