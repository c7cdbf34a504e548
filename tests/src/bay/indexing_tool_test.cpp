// The re-seating check as a tool of the bay.
#include <cmath>

#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::kept, test::number_of, test::reckoned, test::refused, test::says;
using Json = nlohmann::ordered_json;

namespace {

std::string finding_of(const Json& answer, const std::string& fact) {
  for (const Json& limit : answer["limits"])
    if (limit["fact"] == fact && limit["finding"].is_string())
      return limit["finding"].get<std::string>();
  return "";
}

}  // namespace

TEST_CASE("two mountings half a turn apart part the wheel from the mounting") {
  // ISO 21940-14: 10 at 30 deg and 6 at 200 deg have A = 2.111 at 44.29, R = 7.972 at 26.25.
  const Json rows = {{"10 g", "30 deg", "0 deg"}, {"6 g", "200 deg", "180 deg"}};
  const Json answer =
      reckoned("indexing", {{"counted_from", "shaft"}, {"studs", "4"}, {"imbalance", rows}},
               "left_front", "other");
  CHECK(number_of(answer, "wheel_g") == doctest::Approx(7.9715).epsilon(1e-4));
  CHECK(number_of(answer, "wheel_place_deg") == doctest::Approx(26.253).epsilon(1e-4));
  CHECK(number_of(answer, "mounting_g") == doctest::Approx(2.1109).epsilon(1e-4));
  CHECK(says(answer, "at 26 deg (1 o'clock)"));
  // |10@30 - 6@200| = 15.94, twice the wheel's own 7.97: by hand.
  CHECK(says(answer, "changed by 15.9 g: that is about 2 times the wheel's own part"));
  CHECK(kept(answer, "residual_static") == "7.971 g");
  CHECK(kept(answer, "reseat_change").find("4.22") == 0);
  CHECK(finding_of(answer, "reseat_change") == "good");
  CHECK(answer["svg"].is_string());
  CHECK(answer["cautions"].size() == 1);
}

TEST_CASE("counted from the valve, what changes is the mounting") {
  // A wheel in balance that sits off centre: on the shaft 8 g at 0 both times, from the valve it
  // moves to 180 deg when the wheel is seated half a turn on.
  const Json answer =
      reckoned("indexing",
               {{"counted_from", "valve"},
                {"imbalance", {{"8 g", "0 deg", "0 deg"}, {"8 g", "180 deg", "180 deg"}}}},
               "left_front");
  CHECK(number_of(answer, "mounting_g") == doctest::Approx(8.0).epsilon(1e-6));
  CHECK(std::abs(number_of(answer, "wheel_g")) < 1e-6);
  CHECK(says(answer, "times the mounting's part"));
  CHECK(says(answer, "too small to tell where"));
  CHECK(finding_of(answer, "reseat_change") == "bad");
  CHECK(says(answer, "not clearly within"));  // 16 g, 10 to 22; the limit is 14
  const Json on_shaft =
      reckoned("indexing",
               {{"counted_from", "shaft"},
                {"imbalance", {{"8 g", "0 deg", "0 deg"}, {"8 g", "180 deg", "180 deg"}}}},
               "left_front");
  CHECK(number_of(on_shaft, "wheel_g") == doctest::Approx(8.0).epsilon(1e-6));
  CHECK(std::abs(number_of(on_shaft, "mounting_g")) < 1e-6);
}

TEST_CASE("a mounting beyond its limit is told before any weight is moved") {
  const Json answer =
      reckoned("indexing",
               {{"counted_from", "shaft"},
                {"imbalance_sd", "1 g"},
                {"imbalance", {{"15 g", "10 deg", "0 deg"}, {"15 g", "350 deg", "144 deg"}}}},
               "right_rear");
  CHECK(says(answer, "is beyond 14 g by itself: seat the wheel again"));
  CHECK(says(answer, "Turned by 144 deg"));
  CHECK(says(answer, "about 1.9 times"));
}

TEST_CASE("of one side of two, the static residual is not told") {
  const Json answer =
      reckoned("indexing",
               {{"counted_from", "shaft"},
                {"plane", "one_side"},
                {"imbalance", {{"10 g", "30 deg", "0 deg"}, {"6 g", "200 deg", "180 deg"}}}},
               "left_front");
  CHECK(kept(answer, "residual_static").empty());
  CHECK(!kept(answer, "reseat_change").empty());
}

TEST_CASE("on the hub: what follows, and the place on the studs that reads least") {
  // Hub 0.8 mm at 0 deg, wheel 0.5 mm at 40 deg, turned by 0, 288 and 72 deg; over all five studs
  // the least is 0.3032 mm at 144 deg: vector sums by hand.
  const Json rows = {{"1.2259 mm", "15.20 deg", "0 deg"},
                     {"1.2524 mm", "347.79 deg", "288 deg"},
                     {"0.7683 mm", "37.11 deg", "72 deg"}};
  const Json answer = reckoned("indexing",
                               {{"where", "hub"},
                                {"counted_from", "shaft"},
                                {"studs", "5"},
                                {"runout", rows},
                                {"runout_sd", "0.02 mm"}},
                               "left_front");
  CHECK(number_of(answer, "mounting_mm") == doctest::Approx(0.8).epsilon(1e-3));
  CHECK(number_of(answer, "wheel_mm") == doctest::Approx(0.5).epsilon(1e-3));
  CHECK(number_of(answer, "scatter_mm") < 1e-3);
  CHECK(number_of(answer, "best_turn_deg") == doctest::Approx(72.0).epsilon(1e-6));
  CHECK(
      says(answer, "72 deg clockwise (what stands at 12 o'clock comes to 2:30 o'clock): 0.303 mm"));
  CHECK(says(answer, "by itself: clean hub and wheel"));
  CHECK(finding_of(answer, "on_off_difference") == "bad");
  CHECK(kept(answer, "runout_follows") == "with_hub");
}

TEST_CASE("seated at the same place again and again, the spread is told and nothing else") {
  // 10, 12, 11 g along and 1, -1, 0 across: squares about the mean 2 and 2, over 4: 1 g.
  const Json rows = {{"10.0499 g", "5.711 deg", "0 deg"},
                     {"12.0416 g", "355.236 deg", "0 deg"},
                     {"11 g", "0 deg", "0 deg"}};
  const Json answer = reckoned("indexing", {{"counted_from", "shaft"}, {"imbalance", rows}});
  CHECK(number_of(answer, "seating_sd_g") == doctest::Approx(1.0).epsilon(1e-3));
  CHECK(says(answer, "differ by up to 3.46 g"));
  CHECK(answer["entries"].empty());
  CHECK(answer["place_needed"].empty());
}

TEST_CASE("mountings that agree to the digit are no surer than the gauge's steps") {
  // Steps of 1 g are a uniform error of 1 / sqrt 12 g; of three at thirds of a turn a component has
  // a third of its variance.
  const Json answer = reckoned(
      "indexing",
      {{"counted_from", "valve"},
       {"imbalance",
        {{"8 g", "0 deg", "0 deg"}, {"8 g", "0 deg", "120 deg"}, {"8 g", "0 deg", "240 deg"}}}},
      "left_front");
  for (const Json& number : answer["numbers"])
    if (number["id"] == "wheel_g")
      CHECK(number["high"].get<double>() - 8.0 ==
            doctest::Approx(1.96 / std::sqrt(36.0)).epsilon(0.01));
  CHECK(number_of(answer, "wheel_g") == doctest::Approx(8.0));
  CHECK(says(answer, "the wheel sits true"));
}

TEST_CASE("mountings that do not agree put nothing into the case") {
  const Json rows = {
      {"10 g", "30 deg", "0 deg"}, {"6 g", "200 deg", "180 deg"}, {"40 g", "90 deg", "90 deg"}};
  const Json answer = reckoned(
      "indexing", {{"counted_from", "shaft"}, {"imbalance_sd", "2 g"}, {"imbalance", rows}},
      "left_front");
  CHECK(says(answer, "do not agree"));
  CHECK(answer["entries"].empty());
}

TEST_CASE("what cannot be told apart is refused in words") {
  const auto with = [](const Json& rows, const char* studs) {
    return refused("indexing", {{"counted_from", "shaft"}, {"studs", studs}, {"imbalance", rows}});
  };
  CHECK(with({{"10 g", "30 deg", "0 deg"}, {"6 g", "200 deg", "180 deg"}}, "5") ==
        "/given/imbalance/1/2: 5 studs do not let the wheel turn by that angle\n");
  CHECK(with({{"10 g", "30 deg", "72 deg"}, {"6 g", "200 deg", "144 deg"}}, "5") ==
        "/given/imbalance/0/2: the first row is turned; turns count from it\n");
  CHECK(with({{"10 g", "30 deg", "0 deg"}, {"6 g", "200 deg", "360 deg"}}, "4") ==
        "/given/imbalance/1/2: this is a whole turn\n");
  CHECK(refused("indexing", {{"counted_from", "shaft"}}) ==
        "/given/imbalance: mountings of one kind are wanted\n");
  CHECK(refused("indexing",
                {{"imbalance", {{"10 g", "30 deg", "0 deg"}, {"6 g", "200 deg", "180 deg"}}}}) ==
        "/given/counted_from: places are counted from is not given\n");
}

TEST_CASE("what the mountings leave open from good to bad goes into no case") {
  // Three mountings that hardly agree: one degree of freedom is left to tell how far they scatter.
  const Json answer = reckoned("indexing",
                               {{"imbalance",
                                 {{"28 g", "100 deg", "0 deg"},
                                  {"21 g", "215 deg", "144 deg"},
                                  {"35 g", "10 deg", "72 deg"}}},
                                {"studs", "5"},
                                {"counted_from", "shaft"}},
                               "left_front", "other");
  CHECK(answer["entries"].empty());
  CHECK(finding_of(answer, "reseat_change").empty());
}
