// Readings from text: rows on one line, places round the turn, units that are mixed.
#include "src/answers/bay/bay_input.h"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <set>

#include "engine/quantity/angle.h"
#include "src/answers/bay/bay_rows.h"
#include "tests/src/bay/reckon.h"

using namespace perrev;
using Json = nlohmann::ordered_json;

namespace {

const BayTool& made_up_tool() {
  static const BayTool tool = {
      "made_up",
      "Made up",
      "Nothing.",
      {},
      {},
      {rows_field("readings", "Readings", "Round the turn.",
                  {{"reading", "Reading", Dimension::length, 0.0, 0.02}}, 2, 4),
       rows_field("mountings", "Mountings", "",
                  {{"amount", "Amount", Dimension::mass, 0.0, 1.0},
                   place_column("at", "Place"),
                   {"turned", "Turned by", Dimension::angle, -7.0, 7.0, false}},
                  1, 3, false),
       rows_field("dial", "Dial", "", {{"dial", "Dial", Dimension::length, -0.01, 0.01}}, 1, 4,
                  false)},
      [](const BayInput&, const BayContext&) { return Result<BayResult, Problems>(BayResult()); }};
  return tool;
}

std::string problems_of(const Json& given, Units units = Units::metric) {
  const auto read = read_given(made_up_tool(), given, units);
  std::string out;
  if (!read)
    for (const Problem& problem : read.error())
      out += problem.place.pointer + ": " + problem.what + "; " + problem.right + "\n";
  return out;
}

}  // namespace

TEST_CASE("a line of readings takes the unit that stands behind it") {
  const auto& fields = made_up_tool().fields;
  CHECK(rows_from(fields[0], "0.10, 0,15, 0.05 mm") == Json{"0.10 mm", "0,15 mm", "0.05 mm"});
  CHECK(rows_from(fields[0], "0.1 mm; 0.2 mm") == Json{"0.1 mm", "0.2 mm"});
  const BayField dial = rows_field("dial", "Dial", "",
                                   {{"reading", "Reading", Dimension::length, -0.02, 0.02},
                                    place_column("place", "Place", false)},
                                   1, 36);
  CHECK(
      rows_from(dial, "0.10, 0.15, -0.05 mm") ==
      Json::array({Json::array({"0.10 mm"}), Json::array({"0.15 mm"}), Json::array({"-0.05 mm"})}));
  CHECK(rows_from(dial, "0.8 mm, 120 deg") == Json::array({Json::array({"0.8 mm", "120 deg"})}));
  CHECK(rows_from(dial, "0.8, 4:30; 0.1 mm") ==
        Json::array({Json::array({"0.8 mm", "4:30"}), Json::array({"0.1 mm"})}));
  CHECK(rows_from(fields[1], "10 g, 4 o'clock, 0 deg; 6, 90 deg, 144 deg; 5 g, 1:30") ==
        Json{{"10 g", "4 o'clock", "0 deg"}, {"6 g", "90 deg", "144 deg"}, {"5 g", "1:30"}});
}

TEST_CASE("a comma needs no blank behind it where it cannot be a decimal one") {
  const auto& readings = made_up_tool().fields[0];
  CHECK(rows_from(readings, "0.10,0.15,0.05 mm") == Json{"0.10 mm", "0.15 mm", "0.05 mm"});
  CHECK(rows_from(readings, "10,15,5 mm") == Json{"10 mm", "15 mm", "5 mm"});
  CHECK(rows_from(readings, "10,15 mm") == Json{"10,15 mm"});  // ten and fifteen hundredths
  CHECK(rows_from(readings, "0,10, 0,15, 0,05 mm") == Json{"0,10 mm", "0,15 mm", "0,05 mm"});
  CHECK(rows_from(made_up_tool().fields[1], "10,4:30,0 deg;6 g,1:30") ==
        Json{{"10 g", "4:30", "0 deg"}, {"6 g", "1:30"}});
}

TEST_CASE("a unit stands for columns of its kind before it, and a row may end in an empty column") {
  const BayColumn left{"left", "Left", Dimension::length, 0.0, 3.0};
  const BayColumn right{"right", "Right", Dimension::length, 0.0, 3.0};
  const BayField round = rows_field("round", "Round", "", {left, right}, 1, 6);
  CHECK(rows_from(round, "2000, 2005 mm; 2001, 2,004 mm") ==
        Json::array({Json::array({"2000 mm", "2005 mm"}), Json::array({"2001 mm", "2,004 mm"})}));
  BayColumn open_left = left, open_right = right;
  open_left.required = open_right.required = false;
  const BayField once = rows_field("once", "Once", "", {open_left, open_right}, 1, 1);
  CHECK(rows_from(once, "8, 4 mm") == Json::array({Json::array({"8 mm", "4 mm"})}));
  const BayField spins = rows_field("spins", "Spins", "",
                                    {{"inner", "Inner", Dimension::mass, 0.0, 1.0},
                                     place_column("inner_at", "Its place", false),
                                     {"outer", "Outer", Dimension::mass, 0.0, 1.0},
                                     place_column("outer_at", "Its place", false)},
                                    1, 8);
  CHECK(rows_from(spins, "10, 90 deg, 0 g, ") ==
        Json::array({Json::array({"10 g", "90 deg", "0 g", ""})}));
  CHECK(rows_from(spins, "0, , 0 g,; 5 g, 3:30, 2 g, 4:30") ==
        Json{{"0 g", "", "0 g", ""}, {"5 g", "3:30", "2 g", "4:30"}});
}

TEST_CASE("a place is an angle below one turn, or a position on the clock") {
  struct Row {
    const char* text;
    double degrees;
  };
  for (const Row& row : {Row{"0 deg", 0},
                         {"72 deg", 72},
                         {"359.9 deg", 359.9},
                         {"12 o'clock", 0},
                         {"3 o'clock", 90},
                         {"4:30", 135},
                         {"11:59 o'clock", 359.5}}) {
    CAPTURE(row.text);
    const auto read = read_place(row.text);
    REQUIRE(read.ok());
    CHECK(*read == doctest::Approx(row.degrees * kDegree).epsilon(1e-12));
  }
  for (const char* text : {"360 deg", "-10 deg", "400 deg", "13 o'clock", "4:75", "0:30", "4", "x",
                           "4.5 o'clock", "o'clock", ":", "3:-1"}) {
    CAPTURE(text);
    CHECK(!read_place(text).ok());
  }
}

TEST_CASE("how far a part was turned may be either end of what the form says") {
  for (const char* id : {"rotor", "runout_parts"})
    for (const char* end : {"10 deg", "350 deg"}) {
      CAPTURE(id);
      CAPTURE(end);
      CHECK(test::refused(id, {{"turned_by", end}}).find("/given/turned_by") == std::string::npos);
    }
}

TEST_CASE("everything wrong with rows is told, each at its place") {
  CHECK(problems_of({{"readings", {"0.1 mm", "0.2 mm"}}}).empty());
  CHECK(problems_of({{"readings", {"0.1 mm"}}}) ==
        "/given/readings: there is 1 of them; from 2 to 4 are wanted\n");
  CHECK(
      problems_of({{"readings", {"0.1 mm", "0.003 in", "3 m"}}}) ==
      "/given/readings/1: one reading has the unit in, another mm; all readings of one gauge in "
      "one "
      "unit\n"
      "/given/readings/2: reading cannot be 3 m; from 0 m to 0.02 m\n"
      "/given/readings/2: one reading has the unit m, another mm; all readings of one gauge in one "
      "unit\n");
  CHECK(problems_of({{"readings", {"0.1 mm", "0.2 mm"}},
                     {"mountings", {{"10 g", "", "0 deg"}, {"", "4:30"}}}}) ==
        "/given/mountings/0/1: place is not given in row 1; \n"
        "/given/mountings/1/0: amount is not given in row 2; \n");
  CHECK(problems_of({{"readings", "0.1 mm"}}) == "/given/readings: these are no rows; a list\n");
}

TEST_CASE("what is no text is refused, never taken for nothing") {
  const Json read{"0.1 mm", "0.2 mm"};
  CHECK(problems_of({{"readings", {0.1, 0.2}}}) ==
        "/given/readings/0: this is no text; a text with its unit\n"
        "/given/readings/1: this is no text; a text with its unit\n");
  CHECK(problems_of({{"readings", read}, {"mountings", {"10 g", {"5 g", "0 deg", 3}}}}) ==
        "/given/mountings/0: this is no row; a list with a text for each column\n"
        "/given/mountings/1/2: this is no text; a text with its unit\n");
  CHECK(problems_of({{"readings", {"0.1 mm", {"0.2 mm", "0.3 mm"}}}}) ==
        "/given/readings/1: there are 2 in a row; 1 at most\n");
  CHECK(problems_of(Json::array({read})) ==
        "/given: what is given is no object; {\"field\": \"0.8 mm\"}\n");
  CHECK(problems_of({{"readings", read}, {"dial", {nullptr, "1 mm"}}}).find("/given/dial/0") == 0);
}

TEST_CASE("a field that is not there has a pointer that can be read") {
  CHECK(problems_of({{"readings", {"1 mm", "2 mm"}}, {"a/b~c\n", "x"}}).find("/given/a~1b~0c?: ") ==
        0);
}

TEST_CASE("what would be right is told in the unit that was typed, else in those of the asker") {
  const auto right = [](const char* reading) {
    return problems_of({{"readings", {reading, reading}}}, Units::us);
  };
  CHECK(right("2 in").find("cannot be 2 in; from 0 in to 0.787 in\n") != std::string::npos);
  CHECK(right("25 mm").find("cannot be 25 mm; from 0 mm to 20 mm\n") != std::string::npos);
  CHECK(right("1 1/2 in").find("from 0 in to 0.787 in\n") != std::string::npos);
  const BayColumn length{"length", "Length", Dimension::length, 0.0, 0.02};
  const BayColumn speed{"speed", "Speed", Dimension::frequency, 1.0, 200.0};
  CHECK(range_words(length, Units::us) == "from 0 in to 0.787 in");
  CHECK(range_words(length, Units::metric) == "from 0 mm to 20 mm");
  CHECK(range_words(speed, Units::us) == "from 60 rpm to 12000 rpm");
  CHECK(range_words(speed, Units::us, "Hz") == "from 1 Hz to 200 Hz");
  CHECK(range_words(whole_column("year", "Year", 2000.0, 2099.0), Units::us) ==
        "a whole number from 2000 to 2099");
}

TEST_CASE("a limit reads as it was set, and elsewhere as exactly as it was meant") {
  struct Row {
    const char* set;
    Dimension dimension;
    const char *us, *metric;
  };
  for (const Row& row : {Row{"0.25 oz", Dimension::mass, "0.25 oz", "7 g"},
                         Row{"0.75 oz", Dimension::mass, "0.75 oz", "21 g"},
                         Row{"1.25 oz", Dimension::mass, "1.25 oz", "35 g"},
                         Row{"12 lb", Dimension::force, "12 lb", "53 N"},
                         Row{"0.5 mm", Dimension::length, "0.02 in", "0.5 mm"},
                         Row{"0.8 mm", Dimension::length, "0.031 in", "0.8 mm"},
                         Row{"0.015 mm", Dimension::length, "0.0006 in", "0.015 mm"},
                         Row{"30 lb", Dimension::force, "30 lb", "133 N"},
                         Row{"7 %", Dimension::ratio, "7 %", "7 %"},
                         Row{"3 deg", Dimension::angle, "3 deg", "3 deg"}}) {
    CAPTURE(row.set);
    const auto si = parse_quantity(row.set, row.dimension);
    REQUIRE(si.ok());
    CHECK(told_limit(*si, row.dimension, Units::us) == row.us);
    CHECK(told_limit(*si, row.dimension, Units::metric) == row.metric);
  }
}

TEST_CASE("a reading that is none is told once") {
  CHECK(problems_of({{"readings", {"0.1 mm", "x"}}}).find("one reading is in") ==
        std::string::npos);
}

TEST_CASE("a dial reads to both sides of its zero, a tape does not") {
  const Json read{"0.1 mm", "0.2 mm"};
  const auto given = read_given(
      made_up_tool(), {{"readings", read}, {"dial", {"-0.30 mm", "0 mm", "- 0.1 mm", "0,2 mm"}}},
      Units::metric);
  REQUIRE(given.ok());
  const std::vector<double> dial = given->column("dial", 0), expected{-3e-4, 0.0, -1e-4, 2e-4};
  REQUIRE(dial.size() == expected.size());
  for (std::size_t i = 0; i < dial.size(); ++i) CHECK(dial[i] == doctest::Approx(expected[i]));
  CHECK(problems_of({{"readings", {"-0.1 mm", "0.2 mm"}}}).find("/given/readings/0") == 0);
  for (const char* text : {"--0.1 mm", "-", "-x mm", "-11 mm", "-0.1"}) {
    CAPTURE(text);
    CHECK(problems_of({{"readings", read}, {"dial", {text}}}).find("/given/dial/0") == 0);
  }
}

TEST_CASE("every tool's facts and repairs are there, and its facts are learned by a check") {
  const RuleBase& base = test::shipped_rules();
  std::set<std::string> learned;
  for (const Check& check : base.checks)
    for (const int fact : check.learns)
      learned.insert(base.facts[static_cast<std::size_t>(fact)].id);
  for (const BayTool& tool : bay_tools()) {
    CAPTURE(tool.id);
    CHECK(!(tool.facts.empty() && tool.repairs.empty()));
    for (const auto fact : tool.facts) {
      CAPTURE(fact);
      CHECK(base.fact_index(fact) >= 0);
      CHECK(learned.count(std::string(fact)) == 1);
    }
    for (const auto repair : tool.repairs) {
      CAPTURE(repair);
      CHECK(base.repair_index(repair) >= 0);
    }
    std::set<std::string> fields;
    for (const BayField& field : tool.fields) CHECK(fields.insert(std::string(field.id)).second);
  }
}

TEST_CASE("what is told has three digits, more in a narrow interval, none that no gauge shows") {
  constexpr double kInch = 0.0254;
  CHECK(told(0.0276 * kInch, Dimension::length, Units::us) == "0.0276 in");
  CHECK(told(0.001968 * kInch, Dimension::length, Units::us) == "0.002 in");
  CHECK(told(0.00000984 * kInch, Dimension::length, Units::us) == "0 in");
  CHECK(told(3.4e-21, Dimension::length, Units::us) == "0 in");
  CHECK(told(2.51e-15, Dimension::force, Units::metric) == "0 N");
  CHECK(told(-3e-13, Dimension::angle, Units::metric) == "0 deg");
  CHECK(told(-0.001968 * kInch, Dimension::length, Units::us) == "-0.002 in");
  CHECK(told(0.2345678, Dimension::ratio, Units::us) == "23.5 %");
  CHECK(told(1234.56, Dimension::force, Units::metric) == "1230 N");
  CHECK(told(Interval{0.0240004, 0.0239915, 0.0240144}, Dimension::length, Units::metric) ==
        "24 mm (23.991 mm to 24.014 mm)");
  CHECK(told(Interval{30e-3, 12.2e-3, 47.8e-3}, Dimension::mass, Units::metric) ==
        "30 g (12.2 g to 47.8 g)");
  CHECK(told(Interval{106.55, 105.94, 107.16}, Dimension::frequency, Units::us) ==
        "106.6 Hz (105.9 Hz to 107.2 Hz)");
}
