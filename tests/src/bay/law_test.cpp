// What holds of every reckoning whatever is asked: random requests, plausible and hostile ones.
#include <doctest/doctest.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "engine/random.h"
#include "src/answers/answers.h"
#include "src/answers/bay/bay_tool.h"
#include "src/answers/open_case.h"
#include "tests/engine/picture/svg_reader.h"
#include "tests/src/shipped.h"

namespace perrev {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kRequestsEach = 250;

// One request of each kind that is answered; what is tried is made of these as well as of nothing.
struct LawExample {
  const char* tool;
  const char* given;
};
constexpr LawExample kExamples[] = {
    {"balance", R"({"spins": [["30 g", "40 deg", "20 g", "200 deg"]], "rim_diameter": "406 mm",
      "rim_width": "180 mm"})"},
    {"balance",
     R"({"spins": [["30 g", "4:30", "20 g", "200 deg"], ["31 g", "40 deg", "19 g", "9:00"]],
      "rim_diameter": "406 mm", "rim_width": "180 mm", "weights": "adhesive", "read_at": "spokes",
      "spoke_plane": "120 mm", "adhesive_diameter": "350 mm", "spokes": "5", "spoke_at": "10 deg"})"},
    {"balance", R"({"spins": [["30 g", "40 deg", "20 g", "200 deg"]], "rim_diameter": "406 mm",
      "rim_width": "180 mm", "weights": "inner_and_adhesive", "spoke_plane": "120 mm",
      "adhesive_diameter": "350 mm", "place_step": "12 deg"})"},
    {"balance", R"({"spins": [["1.25 oz", "3:00"], ["1.5 oz", "3:30"]], "reads": "static",
      "rim_diameter": "16 in", "rim_width": "7 in", "old_weights": "on"})"},
    {"balance", R"({"spins": [["35 g", "3:00", "10 g", "8:00"]], "reads": "static_couple",
      "rim_diameter": "406 mm", "rim_width": "180 mm", "weights": "inner_only"})"},
    {"bearing_play",
     R"({"readings": [["0.00 mm", "0.08 mm"], ["0.01 mm", "0.08 mm"]], "bearing": "unit"})"},
    {"circumferences", R"({"circumferences": [["2010 mm", "2010 mm", "1990 mm", "1991 mm"]],
      "speed": "100 km/h", "axle_ratio": "3.5"})"},
    {"circumferences",
     R"({"treads": [["8 mm", "8 mm", "3 mm", "3 mm"]], "pressures": [["220 kPa", "",
      "200 kPa", ""]], "speed": "100 km/h"})"},
    {"indexing", R"({"counted_from": "shaft", "studs": "5", "where": "hub", "runout":
      [["1.2 mm", "15 deg", "0 deg"], ["0.9 mm", "80 deg", "72 deg"], ["0.8 mm", "200 deg", "144 deg"]]})"},
    {"indexing", R"({"counted_from": "valve", "imbalance":
      [["10 g", "30 deg", "0 deg", "1"], ["6 g", "200 deg", "180 deg", "2"]]})"},
    {"indexing",
     R"({"counted_from": "shaft", "force": [["60 N", "10 deg", "0 deg"], ["62 N", "14 deg", "0 deg"]]})"},
    {"joint_angles",
     R"({"parts": [["2 deg", "2.1 deg", "1 deg"], ["8 deg", "8.1 deg", "0 deg"], ["3 deg", "3 deg", "1 deg"]],
      "shaft_speed": "2600 rpm", "shim_distance": "200 mm", "joint_offset": "100 mm", "shaft_length": "1.2 m"})"},
    {"joint_angles",
     R"({"parts": [["1 deg"], ["4 deg"], ["7 deg"], ["3 deg"]], "fork_turns": ["90 deg", "0 deg"],
      "double_joint": "gearbox", "shim_at": "pinion"})"},
    {"joint_angles",
     R"({"parts": [["-37 deg"], ["-43 deg"], ["0 deg"], ["-45 deg"], ["45 deg"], ["-45 deg"]],
      "shaft_speed": "200 Hz"})"},
    {"match_mount",
     R"({"tire_force": "90 N", "tire_place": "70 deg", "rim_runout": "0.3 mm", "rim_place": "200 deg"})"},
    {"match_mount",
     R"({"forces": [["69 N", "112 deg", "0 deg"], ["137 N", "230 deg", "180 deg"]], "wheel": "precise"})"},
    {"match_mount",
     R"({"runouts": [["0.9 mm", "90 deg", "0 deg"], ["0.3 mm", "270 deg", "180 deg"]],
      "counted_from": "tire", "stiffness": "220 N"})"},
    {"nuts",
     R"({"torques": ["120 N m", "110 N m", "40 N m", "0 N m", "118 N m"], "stated": "120 N m"})"},
    {"rotor",
     R"({"thickness": [["24.00 mm"], ["24.01 mm"], ["24.02 mm"], ["24.01 mm"]], "minimum": "23 mm",
      "on_hub": [["0.08 mm", "40 deg"]], "hub": [["0.02 mm", "200 deg"]],
      "turned": [["0.06 mm", "100 deg"]], "turned_by": "72 deg"})"},
    {"runout",
     R"({"readings": [["0.05 mm"], ["0.30 mm"], ["0.55 mm"], ["0.70 mm"], ["0.60 mm"], ["0.35 mm"], ["0.10 mm"], ["0.00 mm"]]})"},
    {"runout", R"({"total": "0.6 mm", "where": "rim_lateral"})"},
    {"runout_parts",
     R"({"on_car": [["0.8 mm", "40 deg"]], "off_car": [["0.5 mm", "60 deg"]], "rim": [["0.2 mm", "90 deg"]],
      "hub": [["0.1 mm", "10 deg"]], "seat": [["0.1 mm", "20 deg"]], "turned": [["0.7 mm", "120 deg"]], "turned_by": "72 deg"})"},
    {"shaft_balance", R"({"runs": [["8.5", "60 deg", "", "", "6.5", "205 deg", "", ""],
      ["6.0", "125 deg", "10 g", "270 deg", "4.5", "230 deg", "", ""],
      ["6.0", "35 deg", "", "", "10.5", "160 deg", "12 g", "180 deg"]], "clamp_screw": "6 g"})"},
    {"shaft_balance",
     R"({"runs": [["8.5", "60 deg", "", "", "6.5", "205 deg", "", "", "3", "10 deg", "2", "0 deg"],
      ["6.0", "125 deg", "10 g", "270 deg", "4.5", "230 deg", "", "", "4", "50 deg", "1", "9 deg"],
      ["6.0", "35 deg", "", "", "10.5", "160 deg", "12 g", "180 deg", "5", "70 deg", "2", "99 deg"]]})"},
    {"shaft_balance",
     R"({"runs": [["3"], ["4", "", "10 g", "0 deg"], ["2.5", "", "10 g", "120 deg"],
      ["5", "", "10 g", "240 deg"]], "reading_sd": "0.05"})"},
    {"shaft_balance",
     R"({"runs": [["3"], ["4", "", "10 g", "0 deg"], ["2.5", "", "10 g", "120 deg"]]})"},
    {"shaft_speed",
     R"({"length": "1.4 m", "diameter": "76 mm", "wall": "2 mm", "shaft_speed": "3000 rpm"})"},
    {"tires",
     R"({"found": "250 kPa", "label": "220 kPa", "warmer": "25 K", "grooves": [["1.5 mm", "1.6 mm"], ["4 mm"], ["4.2 mm"]],
      "legal": "1.6 mm", "dates": ["2319", "0120"], "year": "2026", "month": "6", "day": "1"})"},
    {"trim", R"({"planes": [["40 g", "100 deg", "40 g", "280 deg", "3 g", "200 deg"],
      ["30 g", "10 deg", "30 g", "190 deg", "12 g", "100 deg"]]})"},
};

constexpr const char* kCase =
    R"({"perrev_case": 1, "label": "made up", "entries": [
      {"id": "1", "at": "2026-05-04T09:00:00Z", "by": "write_up", "fact": "vehicle_kind", "value": "pickup"},
      {"id": "2", "at": "2026-05-04T09:00:00Z", "by": "write_up", "fact": "tire_size", "value": "265/70R17"},
      {"id": "3", "at": "2026-05-04T09:00:00Z", "by": "write_up", "fact": "axle_ratio", "value": "3.73"},
      {"id": "4", "at": "2026-05-04T09:00:00Z", "by": "write_up", "fact": "worst_speed", "value": "65 mph"}]})";

class Requests {
 public:
  explicit Requests(std::uint64_t seed) : random_(seed) {}

  Json given(const BayTool& tool) {
    Json out = Json::object();
    if (!chance(0.2)) out = example(tool);
    const bool hostile = chance(0.4);
    for (const BayField& field : tool.fields) {
      const std::string id(field.id);
      const bool there = out.contains(id);
      if (chance(there ? 0.1 : out.empty() || field.required ? 0.6 : 0.06))
        out[id] = value_of(field);
      else if (there && chance(0.1))
        out.erase(id);
      if (out.contains(id) && out[id].is_array() && !out[id].empty() && chance(0.3))
        disturb(field, out[id]);
      if (hostile && chance(0.12)) out[id] = chance(0.5) ? hostile_json() : Json(hostile_text());
    }
    if (hostile && chance(0.1)) out[hostile_text()] = hostile_json();
    return hostile && chance(0.05) ? hostile_json() : out;
  }

  std::string any_of(const std::vector<std::string>& texts) { return texts[below(texts.size())]; }
  bool chance(double share) { return random_.real() < share; }

 private:
  std::size_t below(std::size_t count) { return random_.below(count); }

  Json example(const BayTool& tool) {
    std::vector<const char*> texts;
    for (const LawExample& each : kExamples)
      if (each.tool == tool.id) texts.push_back(each.given);
    REQUIRE(!texts.empty());
    return Json::parse(texts[below(texts.size())]);
  }

  std::string text_of(double si, const BayColumn& column) {
    return show_number(in_usual_unit(si, column.dimension, Units::metric)) + " " +
           std::string(usual_unit(column.dimension, Units::metric));
  }

  // Within what the column takes, or at its ends, or nothing much.
  std::string cell_of(const BayColumn& column) {
    if (column.around)
      return any_of({"0 deg", "120 deg", "240 deg", "180 deg", "359.9 deg", "4:30", "12 o'clock",
                     std::to_string(below(360)) + " deg"});
    const double low = column.low, high = column.high;
    switch (below(6)) {
      case 0:
        return text_of(low, column);
      case 1:
        return text_of(high, column);
      case 2:
        return text_of(std::max(low, 1e-9 * high), column);
      case 3:
        return text_of(std::clamp(0.0, low, high), column);
      case 4:
        return text_of(low + (high - low) * std::pow(10.0, -4.0 * random_.real()), column);
      default:
        return text_of(low + (high - low) * random_.real(), column);
    }
  }

  Json value_of(const BayField& field) {
    if (field.kind == BayField::Kind::choice)
      return std::string(field.choices[below(field.choices.size())].id);
    if (field.kind == BayField::Kind::quantity) return cell_of(field.columns.front());
    Json rows = Json::array();
    const std::size_t count =
        field.fewest +
        below(std::min<std::size_t>(field.most, field.fewest + 8) - field.fewest + 1);
    const bool alike = chance(0.2), bare = chance(0.3);
    for (std::size_t r = 0; r < count; ++r) {
      Json row = Json::array();
      for (const BayColumn& column : field.columns)
        row.push_back(!column.required && (bare || chance(0.1)) ? "" : cell_of(column));
      rows.push_back(alike && r > 0 ? rows[0] : row);
    }
    return rows;
  }

  void disturb(const BayField& field, Json& rows) {
    const std::size_t which = below(rows.size());
    Json& row = rows[which];
    const std::size_t column = field.columns.empty() ? 0 : below(field.columns.size());
    switch (below(5)) {
      case 0:
        for (Json& each : rows) each = Json(row);
        return;
      case 1:
        rows.erase(which);
        return;
      case 2:
        if (field.columns.empty()) return;
        for (Json& each : rows)
          if (each.is_array() && column < each.size())
            each[column] = cell_of(field.columns[column]);
        return;
      case 3:
        if (row.is_array() && column < row.size() && !field.columns.empty())
          row[column] = chance(0.5) ? cell_of(field.columns[column]) : "";
        return;
      default:
        if (rows.size() > 1) rows[which] = Json(rows[below(rows.size())]);
    }
  }

  std::string hostile_text() {
    return any_of({"",
                   " ",
                   "nan",
                   "inf mm",
                   "-inf g",
                   "1e308 mm",
                   "1e-308 g",
                   "-0 mm",
                   "-1 g",
                   "0." + std::string(320, '0') + "1 g",
                   std::string(400, '9') + " mm",
                   std::string(20000, '9'),
                   "\xC2\xBD mm",
                   "\xEF\xBC\x91\xEF\xBC\x92 mm",
                   "\xE2\x80\xAE"
                   "72 deg",
                   std::string("1\0 mm", 5),
                   "mm",
                   "1 mm mm",
                   "1/0 mm",
                   "0/0",
                   "1 2 3 mm",
                   "0x10 g",
                   "13:00",
                   "4:60 o'clock",
                   "360 deg",
                   "-90 deg",
                   "<svg onload=\"x\">&",
                   "a/b~c",
                   "\"}]",
                   "\x1b[31m",
                   "weight",
                   "1 furlong",
                   "1 mm\n",
                   "\t2 g "});
  }

  Json hostile_json() {
    switch (below(9)) {
      case 0:
        return nullptr;
      case 1:
        return true;
      case 2:
        return -1.5e300;
      case 3:
        return Json::object({{"a", Json::array({1, "2 mm"})}});
      case 4:
        return Json::array({Json::array({Json::array(), hostile_text()}), 3, nullptr});
      case 5:
        return Json::array({Json::object(), "1 mm", "2 mm", "3 mm", "4 mm"});
      case 6:
        return Json(std::vector<std::string>(10000, "1 mm"));
      case 7:
        return Json::array({hostile_text(), hostile_text(), hostile_text(), hostile_text()});
      default:
        return Json::array({Json(std::vector<std::string>(100, hostile_text()))});
    }
  }

  Random random_;
};

const Answerer& law_answerer() {
  static const Answerer one(test::shipped_rules());
  return one;
}

bool has_number_word(const std::string& text) {
  for (const std::string word : {"nan", "inf", "infinite", "not a number"})
    for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
      const auto letter = [&](std::size_t i) {
        return i < text.size() && std::isalpha(static_cast<unsigned char>(text[i])) != 0;
      };
      if (!letter(at + word.size()) && (at == 0 || !letter(at - 1))) return true;
    }
  return false;
}

bool has_power_of_ten(const std::string& text) {
  for (std::size_t at = 1; at + 2 < text.size(); ++at)
    if (text[at] == 'e' && (text[at + 1] == '-' || text[at + 1] == '+') &&
        std::isdigit(static_cast<unsigned char>(text[at - 1])) != 0)
      return true;
  return false;
}

void check_words(const Json& texts) {
  for (const Json& text : texts) {
    const auto words = text.get<std::string>();
    CAPTURE(words);
    CHECK(words.size() > 1);
    CHECK(!has_number_word(words));
    CHECK(!has_power_of_ten(words));
    CHECK((words.empty() || words.back() == '.' || words.back() == '?'));
  }
}

// It names something of the request, or a field of the tool that is missing there.
void check_problem(const BayTool& tool, const Json& given, const Json& problem) {
  CAPTURE(problem.dump());
  CHECK(!problem["what"].get<std::string>().empty());
  CHECK(problem["what"].get<std::string>().size() < 1000);
  CHECK(problem.contains("where"));
  const std::string where = problem.value("where", "");
  if (!given.is_object()) {
    CHECK(where == "/given");
    return;
  }
  CHECK(where.rfind("/given/", 0) == 0);
  if (where.rfind("/given/", 0) != 0) return;
  const std::string first = where.substr(7, where.find('/', 7) - 7);
  const bool field = std::any_of(tool.fields.begin(), tool.fields.end(),
                                 [&](const BayField& each) { return each.id == first; });
  bool key = false;
  for (const auto& item : given.items()) key = key || pointer_part(item.key()) == first;
  CHECK((field || key));
  // A row that is named is there.
  if (field && where.find('/', 7) != std::string::npos) {
    const std::string row = where.substr(7 + first.size() + 1);
    const std::size_t at = std::stoul(row.substr(0, row.find('/')));
    REQUIRE(given.contains(first));
    CHECK(at < given[first].size());
  }
}

void check_number(const Json& number) {
  CAPTURE(number.dump());
  CHECK(!number["label"].get<std::string>().empty());
  const std::string text = number["text"];
  CHECK(!has_number_word(text));
  CHECK(!has_power_of_ten(text));
  REQUIRE(number["value"].is_number());
  CHECK(std::isfinite(number["value"].get<double>()));
  CHECK(number["low"].is_null() == number["high"].is_null());
  // What is not finite is null in JSON: an interval is null only where the words have none.
  CHECK(number["low"].is_null() == (text.find(" to ") == std::string::npos));
  if (number["low"].is_null()) return;
  CHECK(number["low"].get<double>() <= number["value"].get<double>());
  CHECK(number["value"].get<double>() <= number["high"].get<double>());
}

void check_entry(const Json& made) {
  Json entry = made;
  entry["id"] = "900";
  entry["at"] = "2030-01-01T00:00:00Z";
  const Json text = {{"perrev_case", 1}, {"label", "made up"}, {"entries", Json::array({entry})}};
  CAPTURE(text.dump());
  const RuleBase& base = test::shipped_rules();
  const auto open = read_case("case", text.dump(), base);
  if (!open)
    for (const Problem& problem : open.error()) FAIL_CHECK(problem.text());
  if (!open) return;
  const int fact = base.fact_index(entry["fact"].get<std::string>());
  REQUIRE(fact >= 0);
  const auto& readings = open->facts.now().readings;
  CHECK(std::any_of(readings.begin(), readings.end(),
                    [&](const Reading& each) { return each.fact == fact; }));
}

void check_answer(const Json& answer) {
  CHECK(!answer["sentences"].empty());
  for (const char* words : {"sentences", "cautions", "notes"}) check_words(answer[words]);
  for (const Json& number : answer["numbers"]) check_number(number);
  for (const Json& limit : answer["limits"]) CHECK(!limit["text"].get<std::string>().empty());
  for (const Json& entry : answer["entries"]) check_entry(entry);
  if (answer["svg"].is_null()) return;
  const auto svg = answer["svg"].get<std::string>();
  CHECK(test::read_svg(svg).has_value());
  CHECK(!has_number_word(svg));
}

// All but words.
Json figures_of(const Json& answer) {
  Json out = {
      {"numbers", Json::array()}, {"limits", Json::array()}, {"entries", answer["entries"]}};
  for (const Json& number : answer["numbers"])
    out["numbers"].push_back({number["id"], number["value"], number["low"], number["high"]});
  for (const Json& limit : answer["limits"])
    out["limits"].push_back({limit["fact"], limit["finding"]});
  return out;
}

}  // namespace

TEST_CASE("whatever a reckoning is asked, it answers in full or says what is wrong and where") {
  std::uint64_t seed = 20260504;
  for (const BayTool& tool : bay_tools()) {
    Requests requests(seed++);
    int answered = 0;
    for (int i = 0; i < kRequestsEach; ++i) {
      const Json given = requests.given(tool);
      Json request = {{"tool", tool.id}, {"given", given}, {"units", "metric"}};
      request["place"] = requests.any_of({"", "left_front", "right_rear", "rear_shaft", "nowhere"});
      request["class"] = requests.any_of({"", "other", "alloy", "pickup", "no class"});
      if (requests.chance(0.3)) request["case"] = Json::parse(kCase);
      const std::string text = request.dump();
      CAPTURE(text.substr(0, 3000));
      const std::string bytes = law_answerer().answer("bay", text);
      CHECK(law_answerer().answer("bay", text) == bytes);
      const Json said = Json::parse(bytes);
      REQUIRE(said.contains("ok") != said.contains("problems"));
      request["units"] = "us";
      const Json us = Json::parse(law_answerer().answer("bay", request.dump()));
      if (said.contains("problems")) {
        CHECK(!said["problems"].empty());
        for (const Json& problem : said["problems"]) check_problem(tool, given, problem);
        CHECK(us["problems"].size() == said["problems"].size());
        continue;
      }
      ++answered;
      check_answer(said["ok"]);
      REQUIRE(us.contains("ok"));
      check_words(us["ok"]["sentences"]);
      CHECK(figures_of(us["ok"]) == figures_of(said["ok"]));
    }
    CAPTURE(tool.id);
    CHECK(answered > kRequestsEach / 12);
  }
}

}  // namespace perrev
