// Reports: everything is in the technician's, nothing internal in the customer's, and whatever a
// case says stays text.
#include "src/report/report.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "src/answers/answers.h"
#include "src/answers/words.h"
#include "src/report/html.h"
#include "tests/src/report_text.h"
#include "tests/src/run_perrev.h"
#include "tests/src/shipped.h"

namespace perrev {
namespace {

using Json = nlohmann::ordered_json;

std::string report(const Json& document, const std::string& reader, Json more = Json::object()) {
  static const Answerer answerer(test::shipped_rules());
  more["case"] = document;
  more["for"] = reader;
  const Json told = Json::parse(answerer.answer("report", more.dump()));
  REQUIRE_MESSAGE(told.contains("ok"), told.dump());
  return told["ok"]["html"].get<std::string>();
}

Json case_at(const std::string& path) { return Json::parse(test::read_whole(path)); }

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

// Every id of the rule base that is no plain word.
std::vector<std::string> internal_ids() {
  std::vector<std::string> out;
  const auto add = [&](const std::string& id) {
    if (has(id, "_")) out.push_back(id);
  };
  const RuleBase& base = test::shipped_rules();
  for (const Fact& fact : base.facts) {
    add(fact.id);
    for (const Answer& answer : fact.answers) add(answer.id);
  }
  for (const Cause& cause : base.causes) add(cause.id);
  for (const Rule& rule : base.rules) add(rule.id);
  for (const Check& check : base.checks) add(check.id);
  for (const Repair& repair : base.repairs) add(repair.id);
  for (const Gate& gate : base.gates) add(gate.id);
  for (const std::string& place : places_of(Per::wheel)) add(place);
  return out;
}

// An entry of an invented case; moments a minute apart.
Json entry(int number, const std::string& by, Json rest) {
  char at[32];
  std::snprintf(at, sizeof at, "2026-03-02T%02d:%02d:00Z", 8 + number / 60, number % 60);
  Json out = {{"id", std::to_string(number)}, {"at", at}, {"by", by}};
  out.update(rest);
  return out;
}

Json with_entries(const std::string& label, const std::vector<std::pair<const char*, Json>>& said) {
  Json out = {{"perrev_case", 1}, {"label", label}, {"entries", Json::array()}};
  for (const auto& one : said)
    out["entries"].push_back(
        entry(static_cast<int>(out["entries"].size()) + 1, one.first, one.second));
  return out;
}

// The line of an entry in the text of the technician's report.
std::string row_of(const std::string& text, const Json& said) {
  const std::string head =
      "\n" + said["id"].get<std::string>() + " " + said["at"].get<std::string>() + " ";
  const std::size_t at = text.find(head);
  return at == std::string::npos ? "" : text.substr(at + 1, text.find('\n', at + 1) - at - 1);
}

// A part of an entry as the report writes it.
std::string as_told(const std::string& key, const Json& part) {
  const std::string text = part.is_string() ? part.get<std::string>() : part.dump();
  if (key == "/by") return text == "write_up" ? "Write-up" : text == "road" ? "Road" : "Bay";
  if (key == "/answer" && text == "not_possible") return "not possible";
  return text;
}

// Ranking, weights and plan move with every figure of the rules; they are compared elsewhere.
std::string without_figures(std::string text) {
  const std::size_t from = text.find("What it can be\n"), to = text.find("Repairs and proofs\n");
  if (from != std::string::npos) text.erase(from, to - from);
  const std::size_t digest = text.find(test::shipped_rules().digest);
  return digest == std::string::npos ? text : text.replace(digest, 16, "DIGEST");
}

Json invented(const std::string& name) {
  return case_at(test::project("tests/src/reports/" + name + ".json"));
}

}  // namespace

TEST_CASE("every case: sound HTML, plain words for the customer, all entries for the technician") {
  const std::vector<std::string> ids = internal_ids();
  REQUIRE(ids.size() > 500);
  for (const std::string& path : test::case_paths()) {
    CAPTURE(path);
    const Json document = case_at(path);
    const std::string customer = report(document, "customer");
    const std::string technician = report(document, "technician");
    CHECK(test::html_faults(customer).empty());
    CHECK(test::html_faults(technician).empty());
    const std::string page = test::text_of_html(customer);
    for (const std::string& id : ids) CHECK_FALSE_MESSAGE(has(page, id), id);
    CHECK_FALSE(has(page, "%"));
    for (const Json& said : document["entries"])
      if (said.value("fact", "") == "complaint_words")
        CHECK(has(page, said["value"].get<std::string>()));
    const std::string all = test::text_of_html(technician);
    for (const Json& said : document["entries"]) {
      const std::string row = row_of(all, said);
      const Json flat = said.flatten();
      for (const auto& part : flat.items())
        CHECK_MESSAGE(has(row, as_told(part.key(), part.value())), said.dump());
    }
    CHECK(has(all, test::shipped_rules().digest));
  }
}

TEST_CASE("a stop stands before all else, and only where there is one") {
  std::size_t stopped = 0;
  for (const std::string& path : test::case_paths()) {
    CAPTURE(path);
    const Json document = case_at(path);
    const bool stops = !document["reference"]["stops"].empty();
    stopped += stops ? 1 : 0;
    for (const char* reader : {"customer", "technician"}) {
      const std::string html = report(document, reader);
      const std::size_t first = html.find("<section");
      CHECK((html.compare(first, 22, "<section class=\"stop\">") == 0) == stops);
    }
  }
  CHECK(stopped > 5);
}

TEST_CASE("the same case gives the same bytes, in the order of moments and not of the file") {
  Json document = case_at(test::project("cases/tie_rod_done_imbalance_left.json"));
  Json turned = document;
  std::reverse(turned["entries"].begin(), turned["entries"].end());
  for (const char* reader : {"customer", "technician"}) {
    CHECK(report(document, reader) == report(document, reader));
    CHECK(report(document, reader) == report(turned, reader));
  }
}

TEST_CASE("a reading is paired with the last one of the same wheel after its repair") {
  const auto thickness = [](const char* place, const char* value) {
    return Json{{"fact", "disc_thickness_variation"}, {"place", place}, {"value", value}};
  };
  const Json document =
      with_entries("", {{"bay", thickness("left_front", "0.030 mm")},
                        {"bay", thickness("right_front", "0.025 mm")},
                        {"bay", thickness("left_rear", "0.002 mm")},
                        {"bay", {{"repair", "renew_rotors_and_pads"}, {"result", "done"}}},
                        {"bay", thickness("left_front", "0.007 mm")},
                        {"bay", thickness("left_front", "0.004 mm")},
                        {"bay", thickness("left_rear", "0.003 mm")}});
  const std::string page = test::text_of_html(report(document, "customer", {{"units", "metric"}}));
  CAPTURE(page);
  const std::size_t left = page.find("Left front: 0.03 mm"),
                    right = page.find("Right front: 0.025");
  REQUIRE(left != std::string::npos);
  REQUIRE((left < right && right != std::string::npos));
  CHECK(has(page.substr(left, right - left), "After the repair: 0.004 mm, within its limit."));
  CHECK_FALSE(has(page.substr(right), "After the repair"));
  CHECK_FALSE(has(page, "0.007"));
  CHECK_FALSE(has(page, "Left rear"));
  CHECK(has(page, "shown, repaired"));
  CHECK(has(page, "Worked on, not proved yet"));
}

TEST_CASE("a reading beyond its limit stays told until the same place reads otherwise") {
  const auto runout = [](const char* value) {
    return Json{{"fact", "tread_radial_runout"}, {"place", "left_rear"}, {"value", value}};
  };
  const Json repaired = {{"repair", "rebalance"}, {"result", "done"}};
  const auto page = [&](const std::vector<std::pair<const char*, Json>>& said) {
    return test::text_of_html(report(with_entries("", said), "customer", {{"units", "metric"}}));
  };
  const char* told = "Left rear: 1.2 mm, beyond its limit";
  CHECK(has(page({{"bay", runout("1.2 mm")}}), told));
  CHECK(has(page({{"bay", runout("1.2 mm")}, {"bay", repaired}}), told));
  CHECK(has(page({{"bay", runout("1.2 mm")}, {"bay", repaired}}), "Measured beyond a limit"));
  const std::string good =
      page({{"bay", runout("1.2 mm")}, {"bay", repaired}, {"bay", runout("0.3 mm")}});
  CHECK_FALSE(has(good, "1.2 mm"));
  CHECK(has(good, "1 measurement lies within the limit"));
}

TEST_CASE("the technician's weights are those of the diagnosis, and so are the probabilities") {
  const std::string path = test::project("cases/shakes_after_new_tires.json");
  const std::string all = test::text_of_html(report(case_at(path), "technician"));
  const Json told = Json::parse(test::run_perrev({"diagnose", path, "--json"}).out);
  for (std::size_t c = 0; c < 3; ++c) {
    const Json& cause = told["ranking"][c];
    CHECK(has(all, cause["name"].get<std::string>() + " " +
                       percent(cause["probability"].get<double>()) + " "));
    const std::size_t at = all.find("\n" + cause["name"].get<std::string>() + "\nWeight");
    REQUIRE(at != std::string::npos);
    const std::string here = all.substr(at, all.find("Together\n", at) - at);
    for (const Json& evidence : cause["evidence"]) {
      if (evidence["weight_decibans"].is_null()) continue;
      char weight[32];
      std::snprintf(weight, sizeof weight, "\n%+.1f ", evidence["weight_decibans"].get<double>());
      CHECK(has(here, weight + evidence["because"].get<std::string>()));
      for (const Json& rule : evidence["rules"]) CHECK(has(here, rule.get<std::string>()));
      for (const Json& origin : evidence["origins"]) CHECK(has(here, origin.get<std::string>()));
    }
  }
}

TEST_CASE("where a case stands") {
  const Json repaired = {{"repair", "rebalance"}, {"result", "done"}};
  const auto now = [](const char* answer) {
    return Json{{"fact", "complaint_now"}, {"value", answer}};
  };
  struct Row {
    std::vector<std::pair<const char*, Json>> said;
    const char* title;
  };
  const Row rows[] = {
      {{}, "Not decided yet."},
      {{{"write_up", {{"fact", "nuts_loose"}, {"value", "yes"}}}}, "Must not be driven."},
      {{{"road", {{"fact", "duplicated"}, {"value", "no"}}}}, "Could not be duplicated."},
      {{{"bay", {{"closes", Json::array()}, {"proof", "all checked"}}}}, "No fault found."},
      {{{"bay", repaired}}, "Worked on, not proved yet."},
      {{{"bay", repaired}, {"road", now("less")}}, "Worked on, not gone yet."},
      {{{"bay", {{"fact", "bushing_torn"}, {"place", "left_front"}, {"value", "yes"}}},
        {"road", {{"fact", "when_braking"}, {"value", "worse"}}}},
       "Cause shown, not repaired yet."},
  };
  for (const Row& row : rows) {
    CAPTURE(row.title);
    const std::string page = test::text_of_html(report(with_entries("", row.said), "customer"));
    CHECK_MESSAGE(has(page, row.title), page);
  }
  const Json proved = case_at(test::project("cases/judder_repaired_and_gone.json"));
  CHECK(has(test::text_of_html(report(proved, "customer")), "Repaired and proved."));
}

TEST_CASE("whatever a case or an estimate says stays text") {
  const std::string evil = "<script>alert(1)</script>\"'&amp;<!-- --> \x01\x1b[2J\x7f\xE2\x80\xAE" +
                           std::string(3000, 'w');
  Json document = with_entries(
      evil, {{"write_up", {{"fact", "complaint_words"}, {"value", evil}, {"who", evil}}},
             {"bay", {{"repair", "rebalance"}, {"result", "done"}, {"minutes", 5}, {"who", evil}}},
             {"road",
              {{"fact", "worst_speed"},
               {"value", "62 mph"},
               {"with", {{"by", "gps"}, {"note", evil}, {evil, {1, evil}}}}}},
             {"bay", {{"closes", {"static_imbalance"}}, {"proof", evil}, {evil, evil}}},
             {"bay", {{"retracts", "3"}}}});
  document["earlier"] = evil;
  document["entries"][3]["id"] = evil;
  for (const char* reader : {"customer", "technician"}) {
    const std::string html = report(document, reader, {{"estimate", evil}});
    CHECK(test::html_faults(html).empty());
    CHECK_FALSE(has(html, "<script"));
    CHECK(has(test::text_of_html(html), "<script>alert(1)</script>\"'&amp;<!-- -->"));
    CHECK(has(html, std::string(3000, 'w')));
    for (const char byte : {'\x01', '\x1b', '\x7f'}) CHECK(html.find(byte) == std::string::npos);
    CHECK_FALSE(has(html, "\xE2\x80\xAE"));
  }
}

TEST_CASE("text is escaped, and what is no text is replaced") {
  struct Row {
    std::string text, html;
  };
  // Replacement of each ill-formed byte: Unicode 15, 3.9, U+FFFD; C1 controls: ISO/IEC 6429.
  const Row rows[] = {
      {"a<b>&\"'", "a&lt;b&gt;&amp;&quot;&#39;"},
      {"one\ntwo\tthree\r", "one two three "},
      {"\xC3\xA4\xE2\x82\xAC\xF0\x9F\x98\x80", "\xC3\xA4\xE2\x82\xAC\xF0\x9F\x98\x80"},
      {std::string("\0", 1), "\xEF\xBF\xBD"},
      {"\xFF", "\xEF\xBF\xBD"},
      {"\xC3(", "\xEF\xBF\xBD("},
      {"\xC0\xBC", "\xEF\xBF\xBD\xEF\xBF\xBD"},
      {"\xC2\x85", "\xEF\xBF\xBD"},
      {"\xE2\x81\xA6x", "\xEF\xBF\xBDx"},
      {"\xE2\x82", "\xEF\xBF\xBD\xEF\xBF\xBD"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.html);
    CHECK(escaped_html(row.text) == row.html);
  }
}

TEST_CASE("minutes are added up by person, taken-back ones left out") {
  const auto took = [](double minutes, const char* who) {
    return Json{{"fact", "pedal_firm"}, {"value", "yes"}, {"minutes", minutes}, {"who", who}};
  };
  const Json document = with_entries("", {{"road", took(50, "AB")},
                                          {"road", took(15.5, "CD")},
                                          {"road", took(20, "AB")},
                                          {"road", took(500, "CD")},
                                          {"bay", {{"retracts", "4"}}}});
  CHECK(has(test::text_of_html(report(document, "customer")), "Time spent so far: 1 h 26 min."));
  const std::string all = test::text_of_html(report(document, "technician"));
  CHECK(has(all, "AB 1 h 10 min"));
  CHECK(has(all, "CD 16 min"));
  CHECK(has(all, "Together 1 h 26 min"));
}

TEST_CASE("photos are shown when that is wanted and the case holds them; by digest always") {
  const std::string one(64, 'a'), two(64, 'b'), three(64, 'c');
  Json document = with_entries(
      "", {{"bay", {{"fact", "brakes_sound"}, {"value", "yes"}, {"photos", {one, two, three}}}}});
  document["photos"] = {{one, {{"type", "image/png"}, {"data", "iVBORw0KGgo="}}},
                        {two, {{"type", "image/svg+xml"}, {"data", "iVBORw0KGgo="}}},
                        {three, {{"type", "image/png"}, {"data", "\"><script>"}}}};
  const std::string shown = report(document, "technician", {{"photos", true}});
  CHECK(has(shown, "src=\"data:image/png;base64,iVBORw0KGgo=\""));
  CHECK(shown.find("<img") == shown.rfind("<img"));
  CHECK_FALSE(has(report(document, "technician"), "<img"));
  for (const std::string& digest : {one, two, three}) CHECK(has(shown, "<code>" + digest));
  CHECK_FALSE(has(report(document, "customer", {{"photos", true}}), "<img"));
}

TEST_CASE("two invented cases read as they were read before") {
  for (const char* name : {"loose_nuts", "balanced_again"})
    for (const char* reader : {"customer", "technician"}) {
      CAPTURE(name);
      CAPTURE(reader);
      const std::string text =
          test::text_of_html(report(invented(name), reader, {{"estimate", "95 minutes of work"}}));
      CHECK(without_figures(text) ==
            test::read_whole(test::project("tests/src/reports/") + name + "." + reader + ".txt"));
    }
}

TEST_CASE("the command writes the same page, with its style, as a whole document") {
  const std::string path = test::project("cases/hit_a_hole_last_night.json");
  const test::Folder folder;
  for (const char* reader : {"customer", "technician"}) {
    const test::Ran ran = test::run_perrev({"report", path, "--for", reader, "--units", "metric"});
    CHECK(ran.code == 0);
    CHECK(ran.out.rfind("<!DOCTYPE html>\n<html lang=\"en\">", 0) == 0);
    CHECK(has(ran.out, report(case_at(path), reader, {{"units", "metric"}})));
    CHECK(has(ran.out, std::string(report_style())));
    CHECK_FALSE(has(ran.out, "<script"));
    CHECK_FALSE(has(ran.out, "http"));
    const std::string out = folder.path(std::string(reader) + ".html");
    CHECK(test::run_perrev({"report", path, "--for", reader, "--units", "metric", "--out", out})
              .out.empty());
    CHECK(test::read_whole(out) == ran.out);
  }
  CHECK(test::run_perrev({"report", path, "--for", "boss"}).code == 2);
  CHECK(test::run_perrev({"report", path, "--out", folder.path("no/such/place.html")}).code == 2);
  const test::Ran estimate = test::run_perrev({"report", path, "--estimate", "two hours \xFF <b>"});
  CHECK(has(estimate.out, "two hours \xEF\xBF\xBD &lt;b&gt;"));
}

TEST_CASE(
    "the sheet has classes of reports only, no outside resource, and colours that can be read") {
  const std::string style(report_style());
  for (const char* outside : {"url(", "@import", "http", "</"}) CHECK_FALSE(has(style, outside));
  // Contrast as in WCAG 2.2, 1.4.3; text needs 4.5 : 1, marks and lines 3 : 1 (1.4.11).
  struct Row {
    std::string paper, ink;
    double least;
  };
  for (const Row& row : {Row{"#fffefb", "#1d1b18", 4.5}, Row{"#fffefb", "#58534b", 4.5},
                         Row{"#fffefb", "#8d867a", 3.0}, Row{"#fffefb", "#35485a", 3.0},
                         Row{"#1b1917", "#ece7de", 4.5}, Row{"#1b1917", "#b3aca0", 4.5},
                         Row{"#1b1917", "#857d71", 3.0}, Row{"#1b1917", "#a9bfd2", 3.0}}) {
    CAPTURE(row.ink);
    CHECK(has(style, row.paper));
    CHECK(has(style, row.ink));
    CHECK(test::contrast(row.paper, row.ink) >= row.least);
  }
}

}  // namespace perrev
