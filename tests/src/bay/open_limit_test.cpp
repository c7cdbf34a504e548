// What readings leave open from good to bad is told, and never goes into a case.
#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::notes;
using test::reckoned;
using Json = nlohmann::ordered_json;

namespace {

Json one(const char* amount, const char* place) { return Json::array({Json{amount, place}}); }

bool is_kept(const Json& answer, const std::string& fact) {
  for (const Json& entry : answer["entries"])
    if (entry["fact"] == fact) return true;
  return false;
}

// Fed, and judged by its limit or left open.
std::string finding_of(const Json& answer, const std::string& fact) {
  for (const Json& limit : answer["limits"])
    if (limit["fact"] == fact)
      return limit["finding"].is_null() ? "open" : limit["finding"].get<std::string>();
  return "not fed";
}

}  // namespace

TEST_CASE(
    "a reading is kept by a good gauge, and left open by one that cannot tell good from bad") {
  struct Row {
    const char *tool, *fact, *place, *limit_class;
    Json given;
    const char *gauge, *fine, *coarse;  // the field that says how well it reads
  };
  const Json slopes = Json::array({Json{"2.0 deg"}, Json{"8.5 deg"}, Json{"4.5 deg"}});
  const Json double_joint = {
      {"parts", Json::array({Json{"2 deg"}, Json{"5 deg"}, Json{"1.5 deg"}})},
      {"double_joint", "gearbox"}};
  for (const Row& row : {
           Row{"match_mount", "rim_radial_runout", "left_front", "alloy",
               Json{{"tire_force", "90 N"},
                    {"tire_place", "70 deg"},
                    {"rim_runout", "0.65 mm"},
                    {"rim_place", "200 deg"}},
               "runout_sd", "0.01 mm", "0.3 mm"},
           Row{"match_mount", "tire_own_runout", "left_front", "alloy",
               Json{{"tire_runout", "0.75 mm"},
                    {"tire_place", "70 deg"},
                    {"rim_runout", "0.2 mm"},
                    {"rim_place", "200 deg"}},
               "runout_sd", "0.01 mm", "0.3 mm"},
           Row{"match_mount", "radial_force_first", "left_front", "other",
               Json{{"forces", {{"70 N", "110 deg", "0 deg"}, {"75 N", "230 deg", "180 deg"}}}},
               "force_sd", "2 N", "30 N"},
           Row{"runout_parts", "on_off_difference", "left_front", "",
               Json{{"on_car", one("0.65 mm", "0 deg")}, {"off_car", one("0.2 mm", "0 deg")}},
               "amount_sd", "0.005 mm", "0.1 mm"},
           Row{"runout_parts", "tire_own_runout", "left_front", "",
               Json{{"off_car", one("0.9 mm", "0 deg")}, {"rim", one("0.15 mm", "0 deg")}},
               "amount_sd", "0.005 mm", "0.3 mm"},
           Row{"joint_angles", "working_angle", "rear_shaft", "",
               Json{{"parts", slopes}, {"shaft_speed", "2600 rpm"}}, "gauge_sd", "0.05 deg",
               "2 deg"},
           Row{"joint_angles", "angle_difference", "rear_shaft", "",
               Json{{"parts", Json::array({Json{"2 deg"}, Json{"6 deg"}, Json{"3.5 deg"}})}},
               "gauge_sd", "0.01 deg", "1 deg"},
           Row{"joint_angles", "equivalent_angle", "rear_shaft", "",
               Json{{"parts", Json::array({Json{"2 deg"}, Json{"6 deg"}, Json{"4 deg"}})}},
               "gauge_sd", "0.01 deg", "1.5 deg"},
           Row{"joint_angles", "single_joint_angle", "rear_shaft", "", double_joint, "gauge_sd",
               "0.01 deg", "1 deg"},
           Row{"tires", "pressure_deviation", "left_front", "",
               Json{{"found", "198 kPa"}, {"label", "220 kPa"}}, "gauge_sd", "1 kPa", "20 kPa"},
           Row{"circumferences", "circumference_difference", "", "",
               Json{{"circumferences", {{"2015 mm", "2015 mm", "2000 mm", "2000 mm"}}}}, "tape_sd",
               "0.5 mm", "10 mm"},
       }) {
    CAPTURE(row.tool);
    CAPTURE(row.fact);
    Json given = row.given;
    given[row.gauge] = row.fine;
    const Json sure = reckoned(row.tool, given, row.place, row.limit_class);
    CHECK(is_kept(sure, row.fact));
    CHECK(finding_of(sure, row.fact) != "open");
    given[row.gauge] = row.coarse;
    const Json open = reckoned(row.tool, given, row.place, row.limit_class);
    CHECK(!is_kept(open, row.fact));
    CHECK(finding_of(open, row.fact) == "open");
    CHECK(notes(open, "so it is not kept"));
  }
}
