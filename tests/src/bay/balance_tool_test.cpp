// Wheel balance as a tool of the bay.
#include <cmath>

#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::at_degrees, test::notes, test::number_of, test::reckoned, test::refused, test::says;
using Json = nlohmann::ordered_json;

namespace {

// 16 in rim: radius 203.2 mm; 180 mm between flanges.
Json wheel(Json more) {
  Json out = {{"rim_diameter", "406.4 mm"}, {"rim_width", "180 mm"}};
  out.update(more);
  return out;
}

}  // namespace

TEST_CASE("both flanges: static, couple, weights of real sizes, and what they leave") {
  const Json answer = reckoned("balance",
                               wheel({{"spins", {{"30 g", "40 deg", "20 g", "200 deg"}}},
                                      {"clip_step", "5 g"},
                                      {"old_weights", "on"}}),
                               "left_front", "other");
  // Static: the sum; couple a side: half the difference (planes b apart, C = (U2 - U1) b / 2).
  const auto inner = at_degrees(30, 40), outer = at_degrees(20, 200);
  CHECK(number_of(answer, "static_g") == doctest::Approx(std::abs(inner + outer)).epsilon(1e-5));
  CHECK(number_of(answer, "couple_g") ==
        doctest::Approx(std::abs(outer - inner) / 2.0).epsilon(1e-5));
  // 5 g steps hold 30 and 20 exactly, where the balancer says.
  CHECK(number_of(answer, "weight_1_g") == doctest::Approx(30.0));
  CHECK(number_of(answer, "weight_1_at_deg") == doctest::Approx(40.0));
  CHECK(number_of(answer, "weight_2_g") == doctest::Approx(20.0));
  CHECK(number_of(answer, "weight_2_at_deg") == doctest::Approx(200.0));
  CHECK(number_of(answer, "static_left_g") == 0.0);
  CHECK(says(answer, "Inner flange: 30 g at 40 deg (1:30 o'clock)."));
  CHECK(says(answer, "With these weights on it passes"));
  REQUIRE(answer["entries"].size() == 2);
  CHECK(answer["entries"][0]["fact"] == "residual_static");
  CHECK(answer["entries"][1]["fact"] == "residual_couple");
  CHECK(answer["limits"][0]["rows"][0]["good"] == "7 g");  // 0.25 oz
  CHECK(answer["entries"][1]["place"] == "left_front");
  CHECK(answer["limits"][0]["finding"] == "between");  // 12.0 g, of a car's 7 to 21
  CHECK(answer["svg"].get<std::string>().find("<svg") != std::string::npos);
  CHECK(!answer["cautions"].empty());
}

TEST_CASE("weights of any steps leave what vectors say") {
  const Json answer = reckoned("balance",
                               wheel({{"spins", {{"33 g", "71 deg", "18 g", "143 deg"}}},
                                      {"weights", "inner_and_adhesive"},
                                      {"spoke_plane", "120 mm"},
                                      {"adhesive_diameter", "360 mm"},
                                      {"place_step", "10 deg"}}),
                               "", "other");
  const auto inner =
      at_degrees(number_of(answer, "weight_1_g"), number_of(answer, "weight_1_at_deg"));
  const auto spokes =
      at_degrees(number_of(answer, "weight_2_g"), number_of(answer, "weight_2_at_deg"));
  const auto u1 = -at_degrees(33, 71) * 203.2, u2 = -at_degrees(18, 143) * 203.2;
  const auto whole = u1 + u2 + inner * 203.2 + spokes * 180.0;
  const auto couple = (-u1 - inner * 203.2) * 90.0 + u2 * 90.0 + spokes * 180.0 * 30.0;
  CHECK(number_of(answer, "static_left_g") ==
        doctest::Approx(std::abs(whole) / 203.2).epsilon(1e-4));
  CHECK(number_of(answer, "couple_left_g") ==
        doctest::Approx(std::abs(couple) / 203.2 / 180.0).epsilon(1e-4));
  // Whole numbers of 5 g segments, and of places.
  CHECK(std::abs(std::remainder(std::abs(spokes), 5.0)) < 1e-3);
  CHECK(std::abs(std::remainder(number_of(answer, "weight_2_at_deg"), 10.0)) < 1e-3);
  CHECK(says(answer, "segments."));
}

TEST_CASE("all weight inside passes static, not couple, and that is told") {
  const Json answer = reckoned("balance",
                               wheel({{"spins", {{"0 g", "", "40 g", "90 deg"}}},
                                      {"weights", "inner_only"},
                                      {"clip_step", "5 g"}}),
                               "", "other");
  CHECK(says(answer, "With these weights on it does not pass"));
  CHECK(says(answer, "Static is in order and couple is not"));
  CHECK(notes(answer, "last resort"));
  CHECK(number_of(answer, "couple_left_g") == doctest::Approx(40.0).epsilon(1e-4));
}

TEST_CASE("a weight behind the spokes is split between the two beside its place") {
  const Json answer = reckoned("balance",
                               wheel({{"spins", {{"0 g", "", "40 g", "36 deg"}}},
                                      {"read_at", "spokes"},
                                      {"weights", "inner_and_adhesive"},
                                      {"spoke_plane", "150 mm"},
                                      {"adhesive_diameter", "360 mm"},
                                      {"spokes", "5"},
                                      {"spoke_at", "0 deg"}}),
                               "", "other");
  // In the middle between spokes at 0 and 72 deg: two alike, 40 / (2 cos 36) = 24.7 g, so 25 g.
  CHECK(number_of(answer, "weight_1_g") == doctest::Approx(25.0));
  CHECK(number_of(answer, "weight_1_at_deg") == doctest::Approx(0.0));
  CHECK(number_of(answer, "weight_2_g") == doctest::Approx(25.0));
  CHECK(number_of(answer, "weight_2_at_deg") == doctest::Approx(72.0));
  CHECK(says(answer, "Behind the spokes: 25 g at 72 deg (2:30 o'clock), 5 segments."));
}

TEST_CASE("heavy places shown by the balancer put weight opposite") {
  const Json given = {{"spins", {{"30 g", "40 deg", "0 g", ""}}}, {"clip_step", "5 g"}};
  Json heavy = given;
  heavy["shows"] = "heavy";
  CHECK(number_of(reckoned("balance", wheel(given)), "weight_1_at_deg") == doctest::Approx(40.0));
  CHECK(number_of(reckoned("balance", wheel(heavy)), "weight_1_at_deg") == doctest::Approx(220.0));
}

TEST_CASE("more than a plane can take sends one to the seating first") {
  const Json answer =
      reckoned("balance", wheel({{"spins", {{"120 g", "0 deg", "0 g", ""}}}}), "", "other");
  CHECK(says(answer, "look first how the wheel is seated"));
}

TEST_CASE("spins that differ widen what is said") {
  const auto width = [](const Json& answer) {
    for (const auto& number : answer["numbers"])
      if (number["id"] == "static_g")
        return number["high"].get<double>() - number["low"].get<double>();
    return 0.0;
  };
  const Json same = {{"30 g", "40 deg", "20 g", "200 deg"},
                     {"30.1 g", "40 deg", "20 g", "200 deg"},
                     {"29.9 g", "40 deg", "20.1 g", "200 deg"}};
  const Json apart = {{"30 g", "40 deg", "20 g", "200 deg"},
                      {"36 g", "50 deg", "25 g", "200 deg"},
                      {"24 g", "35 deg", "15 g", "210 deg"}};
  CHECK(width(reckoned("balance", wheel({{"spins", apart}}))) >
        5.0 * width(reckoned("balance", wheel({{"spins", same}}))));
}

TEST_CASE("a balancer's reading that cannot be is refused at its place") {
  CHECK(refused("balance", wheel({{"spins", {{"30 g", "", "20 g", "200 deg"}}}})) ==
        "/given/spins/0/1: the place of a mass is not told\n");
  CHECK(refused("balance", wheel({{"spins", {{"-3 g", "0 deg", "20 g", "200 deg"}}}}))
            .find("/given/spins/0/0") == 0);
  CHECK(refused("balance", {{"spins", {{"3 g", "0 deg", "20 g", "200 deg"}}},
                            {"rim_diameter", "3 mm"},
                            {"rim_width", "180 mm"}}) ==
        "/given/rim_diameter: rim diameter cannot be 3 mm\n");
  const Json spin = {{"3 g", "0 deg", "20 g", "200 deg"}};
  CHECK(refused("balance", wheel({{"spins", spin}, {"weights", "adhesive"}})) ==
        "/given/spoke_plane: the plane behind the spokes is not told\n");
  // Both planes at one place.
  CHECK(refused("balance", wheel({{"spins", spin},
                                  {"read_at", "spokes"},
                                  {"spoke_plane", "5 mm"},
                                  {"adhesive_diameter", "360 mm"}})) ==
        "/given/spoke_plane: the two planes are at one place along the axis\n");
}

TEST_CASE("planes that cannot be are told under the field at fault") {
  const auto planes = [](Json more) {
    Json out = wheel({{"spins", {{"3 g", "0 deg", "20 g", "200 deg"}}},
                      {"weights", "adhesive"},
                      {"spoke_plane", "150 mm"},
                      {"adhesive_diameter", "360 mm"}});
    out.update(more);
    return refused("balance", out);
  };
  CHECK(planes(Json::object()).empty());
  CHECK(planes({{"spoke_plane", "200 mm"}}) ==
        "/given/spoke_plane: this plane lies outside the rim\n");
  CHECK(planes({{"inner_adhesive", "200 mm"}}) ==
        "/given/inner_adhesive: this plane lies outside the rim\n");
  CHECK(planes({{"inner_adhesive", "145 mm"}}) ==
        "/given/inner_adhesive: the two planes of weights are at one place along the axis\n");
  CHECK(planes({{"weights", "inner_and_adhesive"}, {"spoke_plane", "5 mm"}}) ==
        "/given/spoke_plane: the two planes of weights are at one place along the axis\n");
  CHECK(planes({{"adhesive_diameter", "410 mm"}}) ==
        "/given/adhesive_diameter: adhesive weights sit inside the rim\n");
}

TEST_CASE("a static and a couple reading are the same wheel as its two planes") {
  // Static is the sum of the planes, couple half their difference: ISO 21940-2.
  const auto inner = at_degrees(30, 40), outer = at_degrees(20, 200);
  const auto told = [](std::complex<double> of) {
    const double degrees = std::arg(of) * 180.0 / std::acos(-1.0);
    return std::pair{std::to_string(std::abs(of)) + " g",
                     std::to_string(degrees < 0.0 ? degrees + 360.0 : degrees) + " deg"};
  };
  const auto [mass, at] = told(inner + outer);
  const auto [side, side_at] = told((outer - inner) / 2.0);
  Json both = wheel(
      {{"spins", {{mass, at, side, side_at}}}, {"reads", "static_couple"}, {"old_weights", "on"}});
  const Json planes = reckoned(
      "balance", wheel({{"spins", {{"30 g", "40 deg", "20 g", "200 deg"}}}, {"old_weights", "on"}}),
      "", "other");
  const Json answer = reckoned("balance", both, "", "other");
  for (const char* id :
       {"static_g", "couple_g", "weight_1_g", "weight_1_at_deg", "weight_2_g", "weight_2_at_deg"}) {
    CAPTURE(id);
    CHECK(number_of(answer, id) == doctest::Approx(number_of(planes, id)).epsilon(1e-5));
  }
  both["read_at"] = "spokes";
  both["spoke_plane"] = "150 mm";
  both["adhesive_diameter"] = "360 mm";
  CHECK(refused("balance", both) == "/given/read_at: static and couple are read at the flanges\n");
}

TEST_CASE("a static reading alone is shared between the flanges, and nothing is said of couple") {
  const Json given = wheel({{"spins", Json::array({Json{"30 g", "40 deg"}})},
                            {"reads", "static"},
                            {"clip_step", "5 g"},
                            {"old_weights", "on"}});
  const Json answer = reckoned("balance", given, "left_front", "other");
  CHECK(number_of(answer, "static_g") == doctest::Approx(30.0));
  CHECK(number_of(answer, "weight_1_g") == doctest::Approx(15.0));
  CHECK(number_of(answer, "weight_2_g") == doctest::Approx(15.0));
  CHECK(number_of(answer, "weight_2_at_deg") == doctest::Approx(40.0));
  for (const Json& number : answer["numbers"])
    CHECK(number["id"].get<std::string>().find("couple") == std::string::npos);
  CHECK(says(answer, "With these weights on it passes: static 0 g is left (7 g may be)."));
  CHECK(notes(answer, "says nothing of couple"));
  REQUIRE(answer["entries"].size() == 1);
  CHECK(answer["entries"][0]["fact"] == "residual_static");
  Json two = given;
  two["spins"] = {{"30 g", "40 deg", "20 g", "200 deg"}};
  CHECK(refused("balance", two) == "/given/spins/0/2: a static reading is one mass\n");
  Json planes = given;
  planes["reads"] = "planes";
  CHECK(refused("balance", planes) == "/given/spins/0/2: the second mass is not given\n");
}

TEST_CASE("a wheel stripped of its old weights tells the case nothing") {
  const Json spins = {{"30 g", "40 deg", "20 g", "200 deg"}};
  // Before weights go on the old ones come off: that is what counts where nothing is said.
  const Json stripped = reckoned("balance", wheel({{"spins", spins}}), "left_front");
  CHECK(stripped["entries"].empty());
  CHECK(notes(stripped, "Where they were on, say so"));
  const Json as_it_came = wheel({{"spins", spins}, {"old_weights", "on"}});
  CHECK(reckoned("balance", as_it_came, "left_front")["entries"].size() == 2);
}

TEST_CASE("clip-on weights go by 5 g where the balancer shows grams, whatever is printed") {
  const Json answer =
      reckoned("balance", wheel({{"spins", {{"35 g", "90 deg", "20 g", "210 deg"}}}}));
  CHECK(number_of(answer, "weight_1_g") == doctest::Approx(35.0));
  CHECK(number_of(answer, "weight_2_g") == doctest::Approx(20.0));
}
