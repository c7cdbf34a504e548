// The road-test page and its JSON, over the reference cases and the shipped rule base.
#include "src/answers/road_page.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "src/answers/road_words.h"
#include "tests/src/run_perrev.h"
#include "tests/src/shipped.h"

using namespace perrev;
using perrev::test::case_paths;
using perrev::test::project;
using perrev::test::read_whole;
using perrev::test::shipped_reasoning;
using perrev::test::shipped_rules;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

struct Drive {
  Drive(std::string name_of, const CaseFile& file, Units in)
      : name(std::move(name_of)), units(in), facts(*facts_of(file, shipped_rules())) {
    const Ranking ranking = rank(shipped_reasoning().reasoner, facts);
    plan = road_plan(shipped_reasoning().reasoner, facts, ranking,
                     offers_of(shipped_rules(), facts), units);
    page = road_page(shipped_reasoning().reasoner, facts, plan, units);
  }
  std::string name;
  Units units;
  CaseFacts facts;
  RoadPlan plan;
  std::string page;

  // The page as one line, so that what was wrapped can be found.
  std::string running() const {
    std::string out;
    for (const char c : page)
      if (c != '\n' && c != ' ')
        out += c;
      else if (!out.empty() && out.back() != ' ')
        out += ' ';
    return out;
  }
};

// Clear answers for what a gate before a drive still lacks; nothing for what is known.
void clear_gates(const CaseFacts& facts, CaseFile& file) {
  std::vector<int> told;
  for (const GateState& gate : offers_of(shipped_rules(), facts).gates) {
    if (!shipped_rules().gates[at(gate.gate)].guards_driving) continue;
    for (const int f : gate.missing) {
      const Fact& fact = shipped_rules().facts[at(f)];
      if (std::find(told.begin(), told.end(), f) != told.end()) continue;
      told.push_back(f);
      Entry entry;
      entry.at = "2026-12-31T09:00:00Z";
      entry.by = Asker::road;
      entry.fact = fact.id;
      for (std::size_t a = 0; a < fact.answers.size(); ++a)
        if (((fact.clear >> a) & 1u) != 0 && entry.values.empty())
          entry.values = {fact.answers[a].id};
      file.add(std::move(entry));
    }
  }
}

// What is known before the drive: what the write-up said, and the vehicle.
CaseFile before_the_drive(const CaseFile& file) {
  CaseFile out;
  for (Entry entry : file.entries()) {
    const int fact = shipped_rules().fact_index(entry.fact);
    if (entry.kind == Entry::Kind::answer && fact >= 0 &&
        (entry.by == Asker::write_up || shipped_rules().facts[at(fact)].lasts_with_vehicle))
      out.add(std::move(entry));
  }
  return out;
}

const std::vector<Drive>& drives() {
  static const std::vector<Drive> all = [] {
    std::vector<Drive> out;
    for (const std::string& path : case_paths()) {
      const std::string name = std::filesystem::path(path).stem().string();
      const auto file = CaseFile::parse(path, read_whole(path));
      REQUIRE(file.ok());
      out.emplace_back(name, *file, Units::us);
      CaseFile ready = before_the_drive(*file);
      const auto facts = facts_of(ready, shipped_rules());
      REQUIRE(facts.ok());
      clear_gates(*facts, ready);
      out.emplace_back(name + ", ready to drive", ready, Units::us);
      out.emplace_back(name + ", ready to drive", ready, Units::metric);
    }
    return out;
  }();
  return all;
}

std::size_t columns(const std::string& line) {
  return static_cast<std::size_t>(std::count_if(
      line.begin(), line.end(), [](unsigned char c) { return (c & 0xC0u) != 0x80u; }));
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t end = text.find('\n', from);
    REQUIRE(end != std::string::npos);
    out.push_back(text.substr(from, end - from));
    from = end + 1;
  }
  return out;
}

}  // namespace

TEST_CASE("every plan is one page of 80 columns") {
  std::size_t driven = 0;
  for (const Drive& drive : drives()) {
    CAPTURE(drive.name);
    const std::vector<std::string> lines = lines_of(drive.page);
    CHECK(lines.size() <= kRoadPageLines + 8);  // about; a sheet takes some 70
    for (const std::string& line : lines) {
      CAPTURE(line);
      CHECK(columns(line) <= 80);
      CHECK((line.empty() || line.back() != ' '));
    }
    CHECK(drive.page.find(kBox) == std::string::npos);
    driven += !drive.plan.manoeuvres.empty();
  }
  CHECK(driven > 120);
}

TEST_CASE("every manoeuvre stands on the page with its speed and its whole caution") {
  for (const Drive& drive : drives()) {
    CAPTURE(drive.name);
    const std::string page = drive.running();
    for (std::size_t m = 0; m < drive.plan.manoeuvres.size(); ++m) {
      const RoadManoeuvre& driven = drive.plan.manoeuvres[m];
      const Check& check = shipped_rules().checks[at(driven.check)];
      CAPTURE(check.id);
      CHECK(page.find(std::to_string(m + 1) + ". " + check.what) != std::string::npos);
      if (driven.from) {
        CHECK(page.find(speed_words(*driven.to, drive.units)) != std::string::npos);
      }
      const std::string own = own_caution(check.caution);
      CHECK(page.find(own) != std::string::npos);
    }
    if (drive.plan.manoeuvres.empty()) continue;
    for (const std::string& caution : general_cautions(drive.plan, drive.units))
      CHECK(page.find(caution) != std::string::npos);
  }
}

TEST_CASE("a caution loses whole sentences, and only those that the page says for every drive") {
  struct Row {
    const char *caution, *left;
  };
  const std::vector<Row> rows = {
      {"Two people; the driver writes and operates nothing. Not faster than the law allows. Never "
       "done to reproduce something unsafe.",
       "Never done to reproduce something unsafe."},
      {"The second person works the scan tool; the driver never does. Cables clear of the pedals.",
       "Cables clear of the pedals."},
      {"Straight, empty road; the second person writes.",
       "Straight, empty road; the second person writes."},
      {"The recorder lies fast and the second person works it.",
       "The recorder lies fast and the second person works it."},
      {"Two people.", ""},
      {"", ""},
  };
  for (const Row& row : rows) CHECK(own_caution(row.caution) == row.left);
  // Of every shipped check, each sentence is whole or gone.
  for (const Check& check : shipped_rules().checks) {
    CAPTURE(check.id);
    const std::string own = own_caution(check.caution);
    CHECK((own.empty() || own.back() == '.'));
    for (std::size_t from = 0; from < own.size();) {
      std::size_t end = own.find(". ", from);
      if (end == std::string::npos) end = own.size() - 1;
      CHECK((check.caution + " ").find(own.substr(from, end - from)) != std::string::npos);
      from = end + 2;
    }
  }
}

TEST_CASE("a stop holds no manoeuvre and says why; a gate says what is to be asked") {
  int stopped = 0, gated = 0;
  for (const Drive& drive : drives()) {
    CAPTURE(drive.name);
    const std::string page = drive.running();
    CHECK(drive.facts.stopped() == !drive.plan.stops.empty());
    for (const int fact : drive.plan.stops) {
      const StopRule& stop = *shipped_rules().facts[at(fact)].stop;
      CHECK(page.find(stop.reason) != std::string::npos);
      CHECK(page.find(stop.caution) != std::string::npos);
      CHECK(page.find(shipped_rules().facts[at(stop.cleared_by)].ask) != std::string::npos);
      CHECK(drive.plan.manoeuvres.empty());
      ++stopped;
    }
    if (!drive.plan.stops.empty()) continue;
    for (const RoadGate& gate : drive.plan.gates)
      for (const int fact : gate.missing) {
        CHECK(page.find("[ ] " + shipped_rules().facts[at(fact)].ask) != std::string::npos);
        ++gated;
      }
  }
  CHECK(stopped > 10);
  CHECK(gated > 100);
}

TEST_CASE("the driver's order knows every shipped manoeuvre, the firm stop last") {
  int last = 0;
  for (std::size_t c = 0; c < shipped_rules().checks.size(); ++c) {
    const Check& check = shipped_rules().checks[c];
    if (check.by != Asker::road) continue;
    CAPTURE(check.id);
    const RoadStyle style = road_style(shipped_rules(), static_cast<int>(c));
    if (check.moves == Moves::no) {
      CHECK(style.stage == 0);
      CHECK(style.kind == RoadKind::standing);
      continue;
    }
    // Work between two drives comes where nothing else is known.
    if (check.minutes <= kLongestManoeuvre) CHECK(style.stage % 10 == 0);
    if (check.id != "note_broken_off") last = std::max(last, style.stage);
  }
  CHECK(road_style(shipped_rules(), shipped_rules().check_index("drive_brake_firm")).stage == last);
}

TEST_CASE("the JSON says what the plan holds, in metric units") {
  for (const Drive& drive : drives()) {
    CAPTURE(drive.name);
    const auto json = road_json(shipped_reasoning().reasoner, drive.plan);
    std::vector<std::string> keys;
    for (const auto& item : json.items()) keys.push_back(item.key());
    CHECK(keys == std::vector<std::string>{
                      "stops", "before_driving", "look_first", "shown", "suspects", "not_listed",
                      "speeds", "conflicts", "manoeuvres", "longer_drives", "recording", "look_up",
                      "left_open", "confirming", "equipment", "minutes", "thresholds"});
    CHECK(json["manoeuvres"].size() == drive.plan.manoeuvres.size());
    CHECK(json["suspects"].size() == drive.plan.suspects.size());
    CHECK(json["recording"].is_null() == !drive.plan.recording.has_value());
    for (std::size_t m = 0; m < drive.plan.manoeuvres.size(); ++m) {
      const RoadManoeuvre& driven = drive.plan.manoeuvres[m];
      const auto& told = json["manoeuvres"][m];
      CHECK(told["check"] == shipped_rules().checks[at(driven.check)].id);
      CHECK(told["separates"].size() == driven.separates.size());
      CHECK(told["from_km_h"].is_null() == !driven.from.has_value());
      if (driven.from)
        CHECK(told["from_km_h"].get<double>() == doctest::Approx(*driven.from * 3.6).epsilon(1e-5));
    }
  }
}
