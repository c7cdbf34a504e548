// Joint angles as a tool of the bay.
#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::kept, test::number_of, test::reckoned, test::refused, test::says, test::warns;
using Json = nlohmann::ordered_json;

namespace {

Json slopes(std::initializer_list<const char*> degrees) {
  Json out = Json::array();
  for (const char* each : degrees) out.push_back(Json{std::string(each) + " deg"});
  return {{"parts", out}};
}

}  // namespace

TEST_CASE("two joints, what they leave over, and what goes into the case") {
  Json given = slopes({"2", "8", "3"});
  given["shaft_speed"] = "3000 rpm";
  const Json answer = reckoned("joint_angles", given, "rear_shaft");
  CHECK(number_of(answer, "working_angle_1_deg") == doctest::Approx(6.0));
  CHECK(number_of(answer, "working_angle_2_deg") == doctest::Approx(5.0));
  CHECK(number_of(answer, "angle_difference_deg") == doctest::Approx(1.0));
  // sqrt(6^2 - 5^2): any textbook of shafts.
  CHECK(number_of(answer, "equivalent_angle_deg") == doctest::Approx(3.3166).epsilon(1e-3));
  CHECK(number_of(answer, "shim_turn_deg") == doctest::Approx(-1.0).epsilon(1e-3));
  CHECK(says(answer, "one way and back"));
  CHECK(says(answer, "Turn the pinion's nose down by 1 deg"));
  CHECK(says(answer, "At 3000 rpm a joint may work at 6 deg"));
  CHECK(kept(answer, "working_angle") == "6 deg");
  CHECK(kept(answer, "angle_difference") == "1 deg");
  CHECK(answer["limits"][0]["finding"] == "bad");  // 4 to 6 deg from 3000 to 4000 rpm
  CHECK(kept(answer, "shaft_speed_at_worst") == "under_4000_rpm");
  CHECK(warns(answer, "hanging axle"));
  REQUIRE(answer["svg"].is_string());
  CHECK(answer["svg"].get<std::string>().find("pinion, slope 3.0 deg") != std::string::npos);
  CHECK(answer["svg"].get<std::string>().find("joint 1: 6.0 deg") != std::string::npos);
}

TEST_CASE("angles from above go into the joint's angle, and both parts are told") {
  const Json answer = reckoned(
      "joint_angles",
      {{"parts", {{"0 deg", "", "0 deg"}, {"3 deg", "", "2 deg"}, {"0 deg", "", "0 deg"}}}});
  // tan2 b = tan2 3 + tan2 2.
  CHECK(number_of(answer, "working_angle_1_deg") == doctest::Approx(3.604).epsilon(1e-3));
  CHECK(number_of(answer, "side_part_1_deg") == doctest::Approx(3.0));
  CHECK(number_of(answer, "plan_part_1_deg") == doctest::Approx(2.0));
  CHECK(number_of(answer, "equivalent_angle_deg") == doctest::Approx(0.0));
  CHECK(answer["place_needed"].size() == 3);
  CHECK(answer["entries"].empty());
}

TEST_CASE("forks a quarter turn out add where they should take away") {
  Json given = slopes({"2", "8", "2"});
  CHECK(number_of(reckoned("joint_angles", given), "equivalent_angle_deg") < 1e-3);
  given["fork_turns"] = {"90 deg"};
  // sqrt(6^2 + 6^2).
  CHECK(number_of(reckoned("joint_angles", given), "equivalent_angle_deg") ==
        doctest::Approx(8.485).epsilon(1e-3));
}

TEST_CASE("beside a double joint the other one is to run straight under load") {
  Json given = slopes({"1", "10", "3"});
  given["double_joint"] = "gearbox";
  given["shim_distance"] = "100 mm";
  const Json answer = reckoned("joint_angles", given, "front_shaft");
  CHECK(says(answer, "equal angles are the wrong aim"));
  // 2.5 deg nose down of the shaft's 10 is 7.5: 4.5 up; over 100 mm 7.87 mm.
  CHECK(number_of(answer, "shim_turn_deg") == doctest::Approx(4.5));
  CHECK(says(answer, "nose up by 4.5 deg"));
  CHECK(says(answer, "7.87 mm"));
  CHECK(kept(answer, "single_joint_angle") == "7 deg");
  for (const Json& entry : answer["entries"]) CHECK(entry["fact"] != "angle_difference");
}

TEST_CASE("a gearbox mount is told higher or lower") {
  Json given = slopes({"3", "8", "1"});
  given["shim_at"] = "gearbox";
  given["shim_distance"] = "1 m";
  // Output to the pinion's 1 deg: 2 deg less slope, its rear end up by 34.9 mm over 1 m.
  const Json answer = reckoned("joint_angles", given);
  CHECK(says(answer, "rear end of the gearbox up by 2 deg"));
  CHECK(says(answer, "higher by 34.9 mm"));
}

TEST_CASE("angles that need no wedge, and needles that do not roll, are said") {
  CHECK(says(reckoned("joint_angles", slopes({"2", "5", "2"})), "No wedge"));
  const Json flat = reckoned("joint_angles", slopes({"2", "2", "2"}));
  bool told = false;
  for (const Json& note : flat["notes"])
    told = told || note.get<std::string>().find("needles") != std::string::npos;
  CHECK(told);
}

TEST_CASE("slopes of no driveline are refused at their place") {
  CHECK(refused("joint_angles", slopes({"2", "8"})) == "/given/parts: there are 2 of them\n");
  CHECK(refused("joint_angles", slopes({"2", "80", "3"})) ==
        "/given/parts/1/0: slope cannot be 80 deg\n");
  Json given = slopes({"2", "8", "3"});
  given["fork_turns"] = {"0 deg", "90 deg"};
  CHECK(refused("joint_angles", given) ==
        "/given/fork_turns: there are more of them than pieces of the shaft\n");
  CHECK(refused("joint_angles", {{"parts", {{"41 deg"}, {"45 deg"}, {"-45 deg"}}}}) ==
        "/given/parts: joint 2 is bent farther than any joint goes\n");
  CHECK(refused("joint_angles", {{"parts", {{"2 deg", "", "1 deg"}, {"8 deg"}, {"3 deg"}}}}) ==
        "/given/parts: some parts were seen from above and some were not\n");
}

TEST_CASE("forks out of line are put in line before any shim") {
  Json given = slopes({"5", "11", "5"});
  given["fork_turns"] = {"90 deg"};
  const Json answer = reckoned("joint_angles", given);
  // sqrt(6^2 + 6^2) with forks a quarter turn out, nothing with them in line: any textbook.
  CHECK(number_of(answer, "equivalent_angle_deg") == doctest::Approx(8.485).epsilon(1e-3));
  CHECK(says(answer, "in line the joints would leave over 0 deg"));
  CHECK(says(answer, "Put them in line first"));
  CHECK(!says(answer, "pinion's nose"));
  given["fork_turns"] = {"180 deg"};
  CHECK(!says(reckoned("joint_angles", given), "out of line"));
}

TEST_CASE("what equal angles leave over is as open as the readings leave it") {
  // b1^2 - b2^2 of 6 and 6 deg: the sum of both scatters by 2 * 6 * 0.1 * sqrt(6), and where both
  // are straight no more than the square of one joint's 0.28 deg.
  const Json equal = reckoned("joint_angles", slopes({"5", "11", "5"}));
  const Json straight = reckoned("joint_angles", slopes({"3", "3", "3"}));
  const auto high = [](const Json& answer) {
    for (const Json& number : answer["numbers"])
      if (number["id"] == "equivalent_angle_deg") return number["high"].get<double>();
    return -1.0;
  };
  CHECK(high(equal) > 1.5);
  CHECK(high(equal) < 3.0);
  CHECK(high(straight) == doctest::Approx(0.288).epsilon(0.02));
}

TEST_CASE("beside a double joint a pinion whose nose points up is told so and not called right") {
  Json up = slopes({"5", "10.5", "13"}), down = slopes({"5", "15.5", "13"});
  up["double_joint"] = down["double_joint"] = "gearbox";
  const Json wrong = reckoned("joint_angles", up, "rear_shaft");
  CHECK(says(wrong, "the pinion's nose up; 2 to 3 deg nose down is right standing"));
  CHECK(kept(wrong, "single_joint_angle").empty());
  const Json right = reckoned("joint_angles", down, "rear_shaft");
  CHECK(says(right, "the pinion's nose down;"));
  CHECK(kept(right, "single_joint_angle") == "2.5 deg");
}

TEST_CASE("a wedge is told with the way its thick end points") {
  Json up = slopes({"2", "8", "1"}), down = slopes({"2", "8", "3"});
  up["shim_distance"] = down["shim_distance"] = "100 mm";
  // On the axle a thick rear end presses the axle's rear down from the spring: the nose comes up.
  CHECK(says(reckoned("joint_angles", up), "nose up by 1 deg"));
  CHECK(says(reckoned("joint_angles", up), "thick end to the rear where the spring lies on"));
  CHECK(says(reckoned("joint_angles", down), "nose down by 1 deg"));
  CHECK(says(reckoned("joint_angles", down), "thick end to the front where the spring lies on"));
}
