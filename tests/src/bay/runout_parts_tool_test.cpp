// Where runout comes from, as a tool of the bay.
#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::kept, test::number_of, test::one_row, test::reckoned, test::refused, test::says;
using Json = nlohmann::ordered_json;

TEST_CASE("tire and rim are taken apart as vectors") {
  // T 0.90 at 70 and W 0.60 at 200 degrees make 0.6898 at 111.79: match mounting by vectors.
  const Json answer = reckoned(
      "runout_parts",
      {{"off_car", one_row("0.6898 mm", "111.79 deg")}, {"rim", one_row("0.60 mm", "200 deg")}},
      "left_front");
  CHECK(number_of(answer, "tire_mm") == doctest::Approx(0.90).epsilon(1e-3));
  CHECK(number_of(answer, "rim_mm") == doctest::Approx(0.60).epsilon(1e-4));
  CHECK(says(answer, "highest at 70 deg"));
  CHECK(std::stod(kept(answer, "tire_own_runout")) == doctest::Approx(0.90).epsilon(1e-3));
  CHECK(kept(answer, "on_off_difference").empty());
  CHECK(answer["svg"].get<std::string>().find("<svg") != std::string::npos);
}

TEST_CASE("on the car less off the car decides about hub and seat") {
  struct Row {
    const char *on, *on_at, *off, *off_at;
    double apart;
    const char *finding, *words;
  };
  // Above 0.4 to 0.5 mm (0.015 to 0.020 in): hub, fit or dirt. Common practice.
  for (const Row& row :
       {Row{"1.00 mm", "0 deg", "0.10 mm", "0 deg", 0.90, "bad", "hub, fit or dirt"},
        Row{"0.60 mm", "0 deg", "0.60 mm", "6 o'clock", 1.20, "bad", "hub, fit or dirt"},
        Row{"1.30 mm", "0 deg", "1.20 mm", "0 deg", 0.10, "good", "hub and seat are good"}}) {
    CAPTURE(row.on);
    const Json answer = reckoned(
        "runout_parts",
        {{"on_car", one_row(row.on, row.on_at)}, {"off_car", one_row(row.off, row.off_at)}},
        "right_rear");
    CHECK(number_of(answer, "on_less_off_mm") == doctest::Approx(row.apart).epsilon(1e-5));
    CHECK(says(answer, row.words));
    CHECK(!kept(answer, "on_off_difference").empty());
    CHECK(answer["limits"][0]["finding"] == row.finding);
  }
}

TEST_CASE(
    "a wheel turned on five studs: the high place goes with the wheel or stays with the hub") {
  // Wheel 1.0 mm at 0, hub 0.2 mm at 90 degrees, turned by 144: 1.0 at 144 and 0.2 at 90 make
  // 1.1291 at 135.77; before, 1.0198 at 11.31.
  const Json with_wheel = reckoned("runout_parts",
                                   {{"on_car", one_row("1.0198 mm", "11.31 deg")},
                                    {"turned", one_row("1.1291 mm", "135.77 deg")},
                                    {"turned_by", "144 deg"}},
                                   "left_front");
  CHECK(number_of(with_wheel, "goes_with_wheel_mm") == doctest::Approx(1.0).epsilon(1e-3));
  CHECK(number_of(with_wheel, "stays_with_hub_mm") == doctest::Approx(0.2).epsilon(5e-3));
  CHECK(kept(with_wheel, "runout_follows") == "with_wheel");
  const Json with_hub = reckoned("runout_parts",
                                 {{"on_car", one_row("0.8 mm", "40 deg")},
                                  {"turned", one_row("0.8 mm", "41 deg")},
                                  {"turned_by", "72 deg"}},
                                 "left_front");
  CHECK(kept(with_hub, "runout_follows") == "with_hub");
  const Json nothing = reckoned("runout_parts",
                                {{"on_car", one_row("0.03 mm", "40 deg")},
                                 {"turned", one_row("0.02 mm", "170 deg")},
                                 {"turned_by", "180 deg"}},
                                "left_front");
  CHECK(kept(nothing, "runout_follows") == "no_high_place");
}

TEST_CASE("readings round the turn serve as well as an amount with its place") {
  const Json readings = {{"0 mm"}, {"0.25 mm"},  {"0.35 mm"},  {"0.25 mm"},
                         {"0 mm"}, {"-0.25 mm"}, {"-0.35 mm"}, {"-0.25 mm"}};
  const Json answer =
      reckoned("runout_parts", {{"on_car", readings}, {"hub", one_row("0.1 mm", "90 deg")}});
  CHECK(number_of(answer, "hub_mm") == doctest::Approx(0.1).epsilon(1e-5));
  CHECK(number_of(answer, "tire_rim_seating_mm") == doctest::Approx(0.6035).epsilon(2e-3));
  CHECK(says(answer, "Most of it lies in the tire, rim and seating"));
}

TEST_CASE("a hub face is seen larger where the dial stands, and a wobble feeds no tread") {
  const Json answer = reckoned("runout_parts",
                               {{"direction", "sideways"},
                                {"on_car", one_row("1.2 mm", "0 deg")},
                                {"off_car", one_row("0.2 mm", "0 deg")},
                                {"hub", one_row("0.3 mm", "0 deg")},
                                {"hub_grows", "3.5"}},
                               "left_front");
  CHECK(number_of(answer, "hub_mm") == doctest::Approx(1.05).epsilon(1e-5));
  CHECK(says(answer, "Most of it lies in the hub"));
  CHECK(kept(answer, "on_off_difference").empty());
}

TEST_CASE("a sum that does not close is told") {
  const auto closes = [](const char* seat) {
    const Json answer = reckoned("runout_parts", {{"on_car", one_row("1.0 mm", "0 deg")},
                                                  {"off_car", one_row("0.3 mm", "0 deg")},
                                                  {"hub", one_row("0.3 mm", "0 deg")},
                                                  {"seat", one_row(seat, "0 deg")}});
    for (const auto& note : answer["notes"])
      if (note.get<std::string>().find("does not close") != std::string::npos) return false;
    return true;
  };
  CHECK(closes("0.4 mm"));
  CHECK(!closes("1.0 mm"));
}

TEST_CASE("what cannot be is refused at its field") {
  CHECK(refused("runout_parts", Json::object()) ==
        "/given/on_car: there is no runout to take apart\n");
  CHECK(refused("runout_parts", {{"rim", Json::array({Json{"0.3 mm"}})}}) ==
        "/given/rim/0: one row alone needs its amount and its place\n");
  CHECK(refused("runout_parts", {{"rim", one_row("-0.3 mm", "10 deg")}}) ==
        "/given/rim/0: an amount is from zero up\n");
  CHECK(refused("runout_parts", {{"rim", Json::array({Json::array({"0.3 mm", "10 deg"}),
                                                      Json::array({"0.1 mm", "90 deg"})})}}) ==
        "/given/rim: 2 readings settle no runout\n");
  CHECK(refused("runout_parts", {{"turned", one_row("0.3 mm", "10 deg")}}) ==
        "/given/on_car: the wheel was read turned but not before\n");
  CHECK(refused("runout_parts", {{"on_car", one_row("0.3 mm", "0 deg")},
                                 {"turned", one_row("0.3 mm", "10 deg")}}) ==
        "/given/turned_by: how far the wheel was turned is not given\n");
}
