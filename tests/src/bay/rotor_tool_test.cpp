// A brake rotor as a tool of the bay.
#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::kept, test::number_of, test::one_row, test::reckoned, test::refused, test::says,
    test::warns;
using Json = nlohmann::ordered_json;

namespace {

const Json kThickness = {{"24.000 mm"}, {"24.006 mm"}, {"24.011 mm"}, {"24.009 mm"},
                         {"24.002 mm"}, {"23.994 mm"}, {"23.991 mm"}, {"23.993 mm"}};

}  // namespace

TEST_CASE("thickness variation is highest less lowest, and goes into the case") {
  const Json answer = reckoned("rotor", {{"thickness", kThickness}}, "left_front");
  CHECK(number_of(answer, "thickness_variation_mm") == doctest::Approx(0.020).epsilon(1e-4));
  CHECK(number_of(answer, "thinnest_mm") == doctest::Approx(23.991).epsilon(1e-6));
  CHECK(says(answer, "Its thinnest place has 23.991 mm."));
  CHECK(kept(answer, "disc_thickness_variation") == "0.02 mm");
  CHECK(answer["limits"][0]["finding"] == "bad");  // beyond 0.015 mm
  CHECK(answer["svg"].get<std::string>().find("<svg") != std::string::npos);
}

TEST_CASE("a rotor at or below its stamped minimum is replaced, never machined") {
  struct Row {
    const char *minimum, *words;
    bool worn;
  };
  for (const Row& row : {Row{"23 mm", "above the minimum, 23 mm", false},
                         {"23.991 mm", "may be below the minimum, 23.991 mm", true},
                         {"25 mm", "worn below its minimum, 25 mm", true}}) {
    CAPTURE(row.minimum);
    const Json answer = reckoned(
        "rotor",
        {{"thickness", kThickness}, {"minimum", row.minimum}, {"micrometer_sd", "0.001 mm"}});
    CHECK(says(answer, row.words));
    CHECK(warns(answer, "never machined") == row.worn);
    CHECK(number_of(answer, "over_minimum_mm") ==
          doctest::Approx(23.991 - std::stod(row.minimum)).epsilon(1e-4));
  }
}

TEST_CASE("the rotor's own runout is without the hub's, and five studs give its best place") {
  // Hub 0.03 mm at 60 mm is 0.065 mm at 130 mm; rotor's own 0.05 mm in line: 0.115 mm as it sits.
  // Two studs on, at 144 degrees: |0.065 + 0.05 e^(j 144 deg)| = 0.03823.
  const Json answer = reckoned("rotor",
                               {{"on_hub", one_row("0.115 mm", "0 deg")},
                                {"hub", one_row("0.03 mm", "0 deg")},
                                {"radius_on_hub", "130 mm"},
                                {"radius_hub", "60 mm"},
                                {"amount_sd", "0.001 mm"}},
                               "left_front");
  CHECK(number_of(answer, "own_runout_mm") == doctest::Approx(0.05).epsilon(1e-4));
  CHECK(number_of(answer, "hub_share_mm") == doctest::Approx(0.065).epsilon(1e-4));
  CHECK(number_of(answer, "best_turn_deg") == doctest::Approx(144.0).epsilon(1e-5));
  CHECK(number_of(answer, "best_runout_mm") == doctest::Approx(0.03823).epsilon(1e-3));
  CHECK(says(answer, "Turned on by 2 studs (144 deg, clockwise)"));
  CHECK(kept(answer, "rotor_runout") == "0.115 mm");
  CHECK(kept(answer, "hub_face_runout") == "0.03 mm");
  CHECK(answer["svg"].get<std::string>().find("<svg") != std::string::npos);
}

TEST_CASE("a gain that the readings leave open is called so") {
  const Json answer = reckoned("rotor", {{"on_hub", one_row("0.030 mm", "0 deg")},
                                         {"hub", one_row("0.002 mm", "0 deg")},
                                         {"amount_sd", "0.01 mm"}});
  CHECK(says(answer, "no sure gain"));
}

TEST_CASE("a rotor turned on its hub: what goes along and what stays") {
  const auto told = [](const char* again) {
    return kept(reckoned("rotor",
                         {{"on_hub", one_row("0.10 mm", "20 deg")},
                          {"turned", one_row("0.10 mm", again)},
                          {"turned_by", "180 deg"}},
                         "right_front"),
                "rotor_turned_result");
  };
  CHECK(told("200 deg") == "with_rotor");
  CHECK(told("20 deg") == "with_hub");
  CHECK(told("110 deg").empty());  // half and half
}

TEST_CASE("rotors that cannot be are refused at their field") {
  CHECK(refused("rotor", Json::object()) == "/given/thickness: nothing was read\n");
  CHECK(refused("rotor", {{"thickness", {{"24 mm"}, {"24 mm"}, {"24 mm"}}}}) ==
        "/given/thickness: there are 3 of them\n");
  CHECK(refused("rotor", {{"thickness", {{"24 mm"}, {"27 mm"}, {"24 mm"}, {"24 mm"}}}}) ==
        "/given/thickness: the thickness varies by 3 mm, beyond 2 mm\n");
  CHECK(refused("rotor", {{"on_hub", one_row("0.1 mm", "0 deg")},
                          {"hub", one_row("0.03 mm", "0 deg")},
                          {"radius_on_hub", "60 mm"},
                          {"radius_hub", "130 mm"}}) ==
        "/given/radius_on_hub: the hub was read farther out than the rotor\n");
  CHECK(refused("rotor",
                {{"on_hub", one_row("0.1 mm", "0 deg")}, {"turned", one_row("0.1 mm", "0 deg")}}) ==
        "/given/turned_by: how far the rotor was turned is not given\n");
}

TEST_CASE("a smooth wave of thickness is kept, however few readings told it") {
  const Json answer = reckoned("rotor",
                               {{"thickness",
                                 {{"24.02 mm"},
                                  {"24.01 mm"},
                                  {"24.00 mm"},
                                  {"24.005 mm"},
                                  {"24.01 mm"},
                                  {"24.02 mm"},
                                  {"24.03 mm"},
                                  {"24.025 mm"}}}},
                               "left_front");
  REQUIRE(answer["entries"].size() == 1);
  CHECK(answer["entries"][0]["fact"] == "disc_thickness_variation");
}
