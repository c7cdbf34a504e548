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
  const Json answer = reckoned(
      "balance", wheel({{"spins", {{"30 g", "40 deg", "20 g", "200 deg"}}}, {"clip_step", "5 g"}}),
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
  CHECK(says(answer, "That passes"));
  REQUIRE(answer["entries"].size() == 2);
  CHECK(answer["entries"][0]["fact"] == "residual_static");
  CHECK(answer["entries"][1]["fact"] == "residual_couple");
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
  CHECK(says(answer, "That does not pass"));
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
  CHECK(refused("balance", wheel({{"spins", spin},
                                  {"weights", "inner_and_adhesive"},
                                  {"spoke_plane", "200 mm"},
                                  {"adhesive_diameter", "360 mm"}})) ==
        "/given/spoke_plane: this plane lies outside the rim\n");
}

TEST_CASE("a wheel stripped of its old weights tells the case nothing") {
  const Json spins = {{"30 g", "40 deg", "20 g", "200 deg"}};
  const Json stripped =
      reckoned("balance", wheel({{"spins", spins}, {"old_weights", "off"}}), "left_front");
  CHECK(stripped["entries"].empty());
  CHECK(reckoned("balance", wheel({{"spins", spins}}), "left_front")["entries"].size() == 2);
}

TEST_CASE("clip-on weights go by 5 g where the balancer shows grams, whatever is printed") {
  const Json answer =
      reckoned("balance", wheel({{"spins", {{"35 g", "90 deg", "20 g", "210 deg"}}}}));
  CHECK(number_of(answer, "weight_1_g") == doctest::Approx(35.0));
  CHECK(number_of(answer, "weight_2_g") == doctest::Approx(20.0));
}
