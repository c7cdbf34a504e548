// A driveshaft balanced from trial runs, as a tool of the bay.
#include <cmath>
#include <complex>

#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::number_of, test::reckoned, test::refused, test::says, test::warns;
using Json = nlohmann::ordered_json;

TEST_CASE("two planes by phase: a textbook's worked example") {
  // S. S. Rao, Mechanical Vibrations, two-plane balancing (from memory): unbalance 10.0561 oz at
  // 145.5548 deg left, 5.8774 oz at 248.2559 deg right; weights opposite. An ounce stands as 1 g.
  const Json answer = reckoned(
      "shaft_balance", {{"runs",
                         {{"8.5", "60 deg", "", "", "6.5", "205 deg", "", ""},
                          {"6.0", "125 deg", "10 g", "270 deg", "4.5", "230 deg", "", ""},
                          {"6.0", "35 deg", "", "", "10.5", "160 deg", "12 g", "180 deg"}}}});
  CHECK(number_of(answer, "weight_1_g") == doctest::Approx(10.0561).epsilon(1e-4));
  CHECK(number_of(answer, "weight_1_at_deg") == doctest::Approx(325.5548).epsilon(1e-5));
  CHECK(number_of(answer, "weight_2_g") == doctest::Approx(5.8774).epsilon(1e-4));
  CHECK(number_of(answer, "weight_2_at_deg") == doctest::Approx(68.2559).epsilon(1e-5));
  CHECK(says(answer, "8.50 should become 0.00, 6.50 should become 0.00"));
  CHECK(warns(answer, "Nobody under the shaft"));
  CHECK(answer["numbers"][0]["low"].is_null());  // nothing tells how readings repeat
}

TEST_CASE("up to four readings a run: whatever they are taken at, the weights are the same") {
  // Two planes, four pickups of any influence; the readings follow from the weights that are
  // wanted.
  const auto vector = [](double amount, double degrees) {
    return std::polar(amount, degrees * std::acos(-1.0) / 180.0);
  };
  const auto unbalance = vector(9.0, 205.0), other = vector(5.0, 80.0);
  const std::complex<double> influence[4][2] = {{vector(0.5, 30), vector(0.2, 100)},
                                                {vector(0.1, 250), vector(0.6, 340)},
                                                {vector(0.4, 160), vector(0.3, 10)},
                                                {vector(0.3, 90), vector(0.4, 200)}};
  const std::complex<double> trials[3][2] = {
      {0.0, 0.0}, {vector(10, 270), 0.0}, {0.0, vector(12, 180)}};
  const auto runs = [&](std::size_t count) {
    Json out = Json::array();
    for (const auto& trial : trials) {
      Json row(std::vector<std::string>(12));
      const std::size_t columns[] = {0, 4, 8, 10};
      for (std::size_t k = 0; k < count; ++k) {
        const auto read =
            influence[k][0] * (unbalance + trial[0]) + influence[k][1] * (other + trial[1]);
        const double at = std::arg(read) * 180.0 / std::acos(-1.0);
        row[columns[k]] = std::to_string(std::abs(read));
        row[columns[k] + 1] = std::to_string(at < 0.0 ? at + 360.0 : at) + " deg";
      }
      for (const std::size_t plane : {std::size_t{0}, std::size_t{1}}) {
        if (std::abs(trial[plane]) <= 0.0) continue;
        row[2 + 4 * plane] = std::to_string(std::abs(trial[plane])) + " g";
        row[3 + 4 * plane] = plane == 0 ? "270 deg" : "180 deg";
      }
      out.push_back(row);
    }
    return Json{{"runs", out}};
  };
  for (const std::size_t count : {std::size_t{2}, std::size_t{3}, std::size_t{4}}) {
    CAPTURE(count);
    const Json answer = reckoned("shaft_balance", runs(count));
    CHECK(number_of(answer, "weight_1_g") == doctest::Approx(9.0).epsilon(1e-4));
    CHECK(number_of(answer, "weight_1_at_deg") == doctest::Approx(25.0).epsilon(1e-4));
    CHECK(number_of(answer, "weight_2_g") == doctest::Approx(5.0).epsilon(1e-4));
    CHECK(number_of(answer, "weight_2_at_deg") == doctest::Approx(260.0).epsilon(1e-4));
    CHECK(number_of(answer, "expected_" + std::to_string(count)) < 1e-3);
  }
  Json gap = runs(4);
  gap["runs"][1][10] = "";
  CHECK(refused("shaft_balance", gap) == "/given/runs/1/10: a reading is missing\n");
}

TEST_CASE("one plane by phase, counted either way, with its interval") {
  // The trial weight turns 5.0 at 30 deg into its opposite: twice what was there. Half of it
  // balances.
  const Json runs = {{"5", "30 deg"}, {"5", "210 deg", "10 g", "90 deg"}};
  const Json answer = reckoned("shaft_balance", {{"runs", runs}, {"reading_sd", "0.1"}});
  CHECK(number_of(answer, "weight_1_g") == doctest::Approx(5.0).epsilon(1e-5));
  CHECK(number_of(answer, "weight_1_at_deg") == doctest::Approx(90.0).epsilon(1e-5));
  CHECK(answer["numbers"][0]["low"].get<double>() < 5.0);
  CHECK(answer["numbers"][0]["high"].get<double>() > 5.0);
  // Phase that lags a quarter turn as the weight goes on a quarter turn: counted the other way.
  const auto deg = [](double angle) { return std::polar(1.0, angle * std::acos(-1.0) / 180.0); };
  const auto before = 5.0 * deg(-30), influence = deg(50) * 0.4;
  const auto with = before + influence * 10.0 * deg(90);
  const double back = std::fmod(720.0 - std::arg(with) * 180.0 / std::acos(-1.0), 360.0);
  const Json other = reckoned(
      "shaft_balance",
      {{"runs",
        {{"5", "30 deg"},
         {std::to_string(std::abs(with)), std::to_string(back) + " deg", "10 g", "90 deg"}}},
       {"phase_way", "opposite"}});
  CHECK(number_of(other, "weight_1_g") == doctest::Approx(12.5).epsilon(1e-4));
  // -before / influence: 180 - 30 - 50 deg.
  CHECK(number_of(other, "weight_1_at_deg") == doctest::Approx(100.0).epsilon(1e-4));
}

TEST_CASE("four runs without phase, and the clamps that make the weight") {
  // 3, 6, 3, 3: one trial weight at 0 is what is there (elementary vectors); its opposite balances.
  const Json answer = reckoned("shaft_balance", {{"runs",
                                                  {{"3"},
                                                   {"6", "", "10 g", "0 deg"},
                                                   {"3", "", "10 g", "120 deg"},
                                                   {"3", "", "10 g", "240 deg"}}},
                                                 {"reading_sd", "0.05"},
                                                 {"clamp_screw", "10 g"}});
  CHECK(number_of(answer, "weight_1_g") == doctest::Approx(10.0).epsilon(1e-5));
  CHECK(number_of(answer, "weight_1_at_deg") == doctest::Approx(180.0).epsilon(1e-5));
  // Two equal vectors that add up to one of them stand 120 deg apart.
  CHECK(says(answer, "one screw at 120 deg"));
  CHECK(says(answer, "the other at 240 deg"));
  CHECK(says(answer, "Put 10 g at 180 deg"));
}

TEST_CASE("three runs without phase fit two answers, and both are told") {
  // 4 g at 90 deg there, gain 1 a gram: 4; with 5 g at 0 and at 120 deg by the cosine rule.
  const double first = std::sqrt(16.0 + 25.0);
  const double second = std::sqrt(16.0 + 25.0 + 40.0 * std::cos(std::acos(-1.0) / 6.0));
  const Json answer = reckoned("shaft_balance", {{"runs",
                                                  {{"4"},
                                                   {std::to_string(first), "", "5 g", "0 deg"},
                                                   {std::to_string(second), "", "5 g", "120 deg"}}},
                                                 {"reading_sd", "0.02"}});
  CHECK(says(answer, "Try first: put"));
  CHECK(says(answer, "Or: put"));
  CHECK(says(answer, "Three runs fit two answers"));
  const bool one = std::abs(number_of(answer, "weight_1_g") - 4.0) < 0.01 &&
                   std::abs(number_of(answer, "weight_1_at_deg") - 270.0) < 0.1;
  const bool other = std::abs(number_of(answer, "weight_2_g") - 4.0) < 0.01 &&
                     std::abs(number_of(answer, "weight_2_at_deg") - 270.0) < 0.1;
  CHECK(one != other);
}

TEST_CASE("runs that do not agree settle nothing, and that is told") {
  const Json answer = reckoned("shaft_balance", {{"runs",
                                                  {{"4"},
                                                   {"5.5", "", "10 g", "0 deg"},
                                                   {"3.9", "", "10 g", "120 deg"},
                                                   {"2.2", "", "10 g", "240 deg"}}}});
  bool told = false;
  for (const auto& note : answer["notes"])
    told = told || note.get<std::string>().find("do not settle") != std::string::npos;
  CHECK(told);
  CHECK(answer["numbers"][0]["low"] == 0.0);
}

TEST_CASE("runs that cannot be are refused at their place") {
  CHECK(refused("shaft_balance", {{"runs", {{"3"}, {"3", "", "10 g", "0 deg"}}}}) ==
        "/given/runs: two runs do not tell the place\n");
  CHECK(refused("shaft_balance", {{"runs", {{"3", "10 deg"}, {"3", "10 deg", "10 g", "0 deg"}}}}) ==
        "/given/runs: a trial weight changed nothing\n");
  CHECK(refused("shaft_balance", {{"runs", {{"3", "10 deg"}, {"4", "", "10 g", "0 deg"}}}}) ==
        "/given/runs/1/1: a phase is missing\n");
  CHECK(refused("shaft_balance", {{"runs", {{"3", "10 deg"}, {"4", "50 deg", "10 g"}}}}) ==
        "/given/runs/1/3: the place of a trial weight is not told\n");
  CHECK(refused("shaft_balance", {{"runs", {{"-3"}, {"4", "", "10 g", "0 deg"}}}})
            .find("/given/runs/0/0") == 0);
  CHECK(
      refused("shaft_balance",
              {{"runs", {{"3"}, {"4", "", "10 g", "0 deg", "5"}, {"4", "", "10 g", "90 deg"}}}}) ==
      "/given/runs/1/4: runs without phase balance one plane by one reading\n");
}
