// `perrev rules diff`: what a change of the shipped rules changes, told and exact.
#include "src/answers/rules_diff.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "engine/bench/said_value.h"
#include "engine/quantity/text.h"
#include "src/rules.h"
#include "tests/engine/knowledge/small_base.h"
#include "tests/src/run_perrev.h"
#include "tests/src/shipped.h"

using namespace perrev;
using namespace perrev::test;
using Json = nlohmann::json;
namespace fs = std::filesystem;

namespace {

const std::vector<SourceFile>& shipped_texts() {
  static const std::vector<SourceFile> texts = rule_texts(project("rules")).value();
  return texts;
}

std::vector<ParsedFile> parsed(const std::vector<SourceFile>& texts) {
  std::vector<ParsedFile> out;
  for (const SourceFile& text : texts) out.push_back(parse_file(text));
  return out;
}

std::vector<RuleThing> things(const std::vector<SourceFile>& texts) {
  const auto files = parsed(texts);
  const auto base = build_rule_base(files);
  if (!base)
    for (const Problem& p : base.error()) MESSAGE(p.text());
  REQUIRE(base.ok());
  return things_of(*base, files);
}

const std::vector<RuleThing>& shipped_things() {
  static const std::vector<RuleThing> all = things(shipped_texts());
  return all;
}

// Everything a change says, in one line.
std::string line(const RuleChange& change) {
  std::string out = name_of(change.how) + " " + change.kind + " " + change.id;
  if (!change.perhaps.empty()) out += " (" + perhaps_words(change) + ")";
  if (change.how == HowChanged::changed)
    for (const FieldChange& field : change.fields) out += "; " + words_of(field);
  return out;
}

std::vector<std::string> lines(const std::vector<RuleChange>& changes) {
  std::vector<std::string> out;
  for (const RuleChange& change : changes) out.push_back(line(change));
  return out;
}

struct Edit {
  const char* file;
  std::string before, after;
};

std::vector<SourceFile> edited(const std::vector<Edit>& edits) {
  std::vector<SourceFile> out = shipped_texts();
  for (const Edit& edit : edits) {
    const auto file = std::find_if(out.begin(), out.end(),
                                   [&](const SourceFile& of) { return of.name == edit.file; });
    REQUIRE(file != out.end());
    const std::size_t at = file->text.find(edit.before);
    CAPTURE(edit.before);
    REQUIRE(at != std::string::npos);
    file->text.replace(at, edit.before.size(), edit.after);
  }
  return out;
}

RuleChange turned(RuleChange change) {
  if (change.how != HowChanged::changed)
    change.how = change.how == HowChanged::added ? HowChanged::removed : HowChanged::added;
  for (FieldChange& field : change.fields) std::swap(field.before, field.after);
  return change;
}

// A copy of the shipped rules on disk, to be changed.
class Copy {
 public:
  Copy() {
    fs::copy(project("rules"), folder.path("rules"), fs::copy_options::recursive);
    fs::copy(project("cases"), folder.path("cases"), fs::copy_options::recursive);
  }
  void change(const std::string& name, const std::string& before, const std::string& after) const {
    std::string text = folder.read("rules/" + name);
    const std::size_t at = text.find(before);
    REQUIRE(at != std::string::npos);
    folder.write("rules/" + name, text.replace(at, before.size(), after));
  }
  std::string rules() const { return folder.path("rules"); }
  Folder folder;
};

bool contains(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

Ran diff(std::vector<std::string> more) {
  more.insert(more.begin(), {"rules", "diff"});
  return run_perrev(more);
}

// Before and after exchanged, as the comparison the other way round must be.
Json turned(const Json& from) {
  static const std::map<std::string, std::string> keys = {
      {"before", "after"},
      {"after", "before"},
      {"breaks", "mended"},
      {"mended", "breaks"},
      {"drawn_from_before", "drawn_from_after"},
      {"drawn_from_after", "drawn_from_before"}};
  if (from.is_array()) {
    Json out = Json::array();
    for (const Json& item : from) out.push_back(turned(item));
    return out;
  }
  if (from == "added") return "removed";
  if (from == "removed") return "added";
  if (!from.is_object()) return from;
  Json out = Json::object();
  for (const auto& member : from.items()) {
    const auto key = keys.find(member.key());
    const bool turns = member.key() == "change" || member.key() == "weight_decibans";
    out[key == keys.end() ? member.key() : key->second] =
        turns && member.value().is_number() ? Json(-member.value().get<double>() + 0.0)
                                            : turned(member.value());
  }
  return out;
}

Json by_case(Json cases) {
  std::sort(cases.begin(), cases.end(), [](const Json& a, const Json& b) {
    return a["case"].get<std::string>() < b["case"].get<std::string>();
  });
  return cases;
}

}  // namespace

TEST_CASE("each kind of change is told in its line, and the other way round in its opposite") {
  struct Row {
    std::vector<Edit> edits;
    std::vector<std::string> expected;
  };
  const std::vector<Row> rows = {
      {{{"causes/wheel.yaml", "usual: 93", "usual: 60"}},
       {"changed cause static_imbalance; usual: from 93 to 60"}},
      {{{"causes/wheel.yaml", "usual: 93", "usual: 93.0"}}, {}},
      {{{"causes/wheel.yaml", "usual: 93", "usual: frequent"}},
       {"changed cause static_imbalance; usual: from 93 to frequent"}},
      {{{"causes/wheel_end.yaml", "  needs: {driven_axle: [rear, all, part_time]}",
         "  needs: {driven_axle: [part_time, rear]}"}},
       {"changed cause bent_axle_shaft; needs driven_axle: no longer all"}},
      {{{"evidence/bay_brakes.yaml", "rotor_runout: strong", "rotor_runout: some"}},
       {"changed rule disc_thick_and_thin; for rotor_runout: from strong to some"}},
      {{{"evidence/bay_brakes.yaml", "rotor_runout: strong, ", ""}},
       {"changed rule disc_thick_and_thin; for rotor_runout: no longer strong"}},
      {{{"evidence/bay_brakes.yaml", "against: {rotor_runout: strong}",
         "against: {rotor_runout: strong, hot_spots: hint}"}},
       {"changed rule disc_runs_true; against hot_spots: now hint, where nothing was said"}},
      {{{"evidence/bay_driveline.yaml", "when: {not: {shaft_joint_kinds: constant_velocity}}",
         "when: {shaft_joint_kinds: cross_joint}"}},
       {"changed rule shaft_has_no_double_joint; when: from \"not (shaft joint kinds: Double or "
        "ball "
        "joints)\" to \"shaft joint kinds: Cross joints\""}},
      {{{"evidence/history.yaml", "- rule: began_suddenly", "- rule: it_began_suddenly"}},
       {"removed rule began_suddenly (perhaps renamed to it_began_suddenly)",
        "added rule it_began_suddenly (perhaps renamed from began_suddenly)"}},
      {{{"facts.yaml", "base: {car: 0.50, suv: 0.28", "base: {car: 0.51, suv: 0.27"}},
       {"changed fact vehicle_kind; base car: from 0.50 to 0.51; base suv: from 0.28 to 0.27"}},
      {{{"facts.yaml", "ask: What kind of vehicle is it?", "ask: What is it?"}},
       {"changed fact vehicle_kind; ask: from \"What kind of vehicle is it?\" to \"What is it?\""}},
      {{{"facts.yaml", "asked_at: [write_up, bay]", "asked_at: [bay]"}},
       {"changed fact tire_size; asked_at: no longer write_up"}},
      {{{"facts.yaml", "asked_at: [write_up, bay]", "asked_at: [bay, write_up]"}}, {}},
      {{{"limits.yaml", "all: {good: 0.5 mm, bad: 1.0 mm", "all: {good: 0.6 mm, bad: 0.1 cm"}},
       {"changed limit tread_radial_runout; classes all good: from \"0.5 mm\" to \"0.6 mm\""}},
      {{{"repairs.yaml", "minutes: 45", "minutes: 40"}},
       {"changed repair rebalance; minutes: from 45 to 40"}},
      {{{"repairs.yaml", "cures: [bead_not_seated]", "cures: [tire_force_first, bead_not_seated]"}},
       {"changed repair reseat_bead; cures: now also tire_force_first"}},
      {{{"strengths.yaml", "strong: 8", "strong: 9"}}, {"changed strength strong; from 8 to 9"}},
      {{{"strengths.yaml", "common: 20", "common: 25"}},
       {"changed usual word common; from 20 to 25"}},
      {{{"strengths.yaml", "likely_from: 0.5", "likely_from: 0.6"}},
       {"changed setting likely_from; from 0.5 to 0.6"}},
      {{{"strengths.yaml", "pairs: 0.10", "pairs: 0.12"}},
       {"changed setting shares; pairs: from 0.10 to 0.12"}},
      {{{"families.yaml", "name: Brakes", "name: The brakes"}},
       {"changed family brakes; name: from Brakes to \"The brakes\""}},
      {{{"shop.yaml", "car_raised: {minutes: 4", "car_raised: {minutes: 5"}},
       {"changed setup car_raised; minutes: from 4 to 5"}},
      {{{"path.yaml", "guards: [moves]", "guards: [moves, wheels_spin]"}},
       {"changed gate safe_to_drive; guards: now also wheels_spin"}},
      {{{"phrases.yaml", "- same: [tire, tyre]", "- same: [tyre, wheelcover, tire]"}},
       {"changed phrase tire, tyre; same: now also wheelcover"}},
  };
  for (const Row& row : rows) {
    CAPTURE(row.edits[0].after);
    const std::vector<RuleThing> after = things(edited(row.edits));
    const std::vector<RuleChange> changes = rule_changes(shipped_things(), after);
    CHECK(joined(lines(changes), "\n") == joined(row.expected, "\n"));
    std::vector<RuleChange> back;
    for (const RuleChange& change : rule_changes(after, shipped_things()))
      back.push_back(turned(change));
    CHECK(joined(lines(back), "\n") == joined(row.expected, "\n"));
  }
}

TEST_CASE("an edge of the path is told by its ends, however edges are listed") {
  std::vector<SourceFile> more = shipped_texts();
  const auto path = std::find_if(more.begin(), more.end(),
                                 [](const SourceFile& of) { return of.name == "path.yaml"; });
  const RuleBase& base = shipped_rules();
  const std::string check = base.checks[0].id, end = base.ends[0].id;
  path->text +=
      "\n  - from: " + check + "\n    to: " + end + "\n    when: {vehicle_kind: [van, car]}\n";
  const auto told = lines(rule_changes(shipped_things(), things(more)));
  REQUIRE(told.size() == 1);
  CHECK(contains(told[0], " edge " + check + " to " + end));
  // The same edge once more says nothing new.
  std::vector<SourceFile> twice = more;
  for (SourceFile& of : twice)
    if (of.name == "path.yaml")
      of.text +=
          "  - from: [" + check + "]\n    to: " + end + "\n    when: {vehicle_kind: [car, van]}\n";
  CHECK(rule_changes(things(more), things(twice)).empty());
}

namespace {

void turn_round(YamlNode& node) {
  for (YamlNode& item : node.items) turn_round(item);
  for (YamlMember& member : node.members) turn_round(member.value);
  std::reverse(node.items.begin(), node.items.end());
  std::reverse(node.members.begin(), node.members.end());
}

}  // namespace

TEST_CASE("order, comments, blanks, and the file of a folder mean nothing") {
  std::vector<SourceFile> noisy = shipped_texts();
  for (SourceFile& file : noisy) {
    std::string text;
    for (std::size_t at = 0; at < file.text.size();) {
      const std::size_t end = std::min(file.text.find('\n', at), file.text.size() - 1) + 1;
      if (file.text[at] != ' ' && file.text[at] != '\n') text += "\n# said otherwise\n";
      text += file.text.substr(at, end - at);
      at = end;
    }
    file.text = text;
  }
  CHECK(rule_changes(shipped_things(), things(noisy)).empty());

  std::vector<ParsedFile> files = parsed(shipped_texts());
  std::vector<ParsedFile> turned_files;
  for (const ParsedFile& file : files) {
    YamlNode tree = *file.tree;
    turn_round(tree);
    turned_files.push_back({file.source, std::move(tree)});
  }
  std::reverse(turned_files.begin(), turned_files.end());
  // All rules in one file.
  YamlNode rules;
  rules.kind = YamlNode::Kind::sequence;
  for (const ParsedFile& file : turned_files)
    if (file.source.name.rfind("evidence/", 0) == 0)
      rules.items.insert(rules.items.end(), file.tree->items.begin(), file.tree->items.end());
  turned_files.erase(std::remove_if(turned_files.begin(), turned_files.end(),
                                    [](const ParsedFile& file) {
                                      return file.source.name.rfind("evidence/", 0) == 0;
                                    }),
                     turned_files.end());
  turned_files.push_back({{"evidence/all.yaml", "evidence/all.yaml", ""}, std::move(rules)});
  CHECK(lines(rule_changes(shipped_things(), things_of(shipped_rules(), turned_files))) ==
        std::vector<std::string>{});
}

TEST_CASE("a condition says how its parts belong together, however few stand in one list") {
  const auto meant = [](const std::string& text) {
    const ParsedFile file = parse_file({"when", "when", text});
    REQUIRE(file.tree.ok());
    return said_condition(shipped_rules(), *file.tree).meant;
  };
  const std::string a = "onset: sudden", b = "vehicle_kind: car", c = "complaint_now: same";
  const auto or_last = meant("any: [{any: [{" + a + ", " + b + "}]}, {" + c + "}]");
  const auto and_first = meant("all: [{" + a + "}, {all: [{any: [{" + b + "}, {" + c + "}]}]}]");
  CHECK(or_last != and_first);
  CHECK(or_last == meant("any: [{" + c + "}, {" + b + ", " + a + "}]"));
  CHECK(and_first == meant("{" + a + ", any: [{" + c + "}, {" + b + "}]}"));
}

TEST_CASE("where all cases come out otherwise nothing more is counted") {
  RulesDiff diff;
  diff.cases = 1;
  diff.otherwise.resize(1);
  CHECK(counted_cases(diff) == "1 of 1 come out differently");
}

TEST_CASE("a rule base against itself says that nothing changed") {
  const Ran ran = diff({project("rules"), project("rules")});
  CHECK(ran.code == 0);
  CHECK(contains(ran.out, "\nRules: nothing changed\n"));
  CHECK(contains(ran.out, "\nReference cases: 0 of " + std::to_string(case_paths().size()) +
                              " come out differently; " + std::to_string(case_paths().size()) +
                              " the same\n"));
  CHECK(!contains(ran.out, "Simulated"));
}

TEST_CASE("the other way round everything is the opposite") {
  const Copy copy;
  copy.change("causes/wheel.yaml", "usual: 93", "usual: 50");
  copy.change("evidence/history.yaml", "- rule: began_suddenly", "- rule: it_began_suddenly");
  copy.change("evidence/bay_brakes.yaml", "rotor_runout: strong, ", "");
  const std::vector<std::string> more = {"--json", "--complaints", "3", "--cases",
                                         copy.folder.path("cases")};
  std::vector<std::string> there = {project("rules"), copy.rules()},
                           back = {copy.rules(), project("rules")};
  there.insert(there.end(), more.begin(), more.end());
  back.insert(back.end(), more.begin(), more.end());
  const Ran first = diff(there);
  CHECK(first.code == 1);
  CHECK(diff(there).out == first.out);
  Json forth = Json::parse(first.out), other = Json::parse(diff(back).out);
  CHECK(forth["breaks"] == true);
  other["breaks"] = forth["breaks"];  // what broke is mended on the way back
  Json opposite = turned(other);
  opposite["breaks"] = opposite["mended"];
  opposite.erase("mended");
  CHECK(by_case(forth["cases"]["changes"]) == by_case(opposite["cases"]["changes"]));
  CHECK(forth["rules"] == opposite["rules"]);
  CHECK(forth["simulated"] == opposite["simulated"]);
  CHECK(forth["simulated"]["drawn_from_after"]["complaints"] == 3);
}

TEST_CASE("a case that breaks is told first, with what was expected and by what it moved") {
  const Copy copy;
  copy.change("causes/wheel.yaml", "usual: 93", "usual: 9");
  const Ran ran = diff({project("rules"), copy.rules(), "--complaints", "0", "--html",
                        copy.folder.path("page.html")});
  CHECK(ran.code == 1);
  const std::size_t cases = ran.out.find("Reference cases: ");
  REQUIRE(cases != std::string::npos);
  CHECK(contains(ran.out.substr(cases), "BROKEN: expected static_imbalance at rank 1, came rank "));
  CHECK(contains(ran.out, "why (static_imbalance against "));
  CHECK(contains(ran.out, "how usual -10."));
  for (std::size_t at = 0; at < ran.out.size();) {
    const std::size_t end = ran.out.find('\n', at);
    CHECK(end - at <= 80);
    at = end + 1;
  }
  const std::string page = copy.folder.read("page.html");
  CHECK(contains(page, "usual: from 93 to 9"));
  CHECK(contains(page, "<strong>BROKEN: expected static_imbalance"));
  CHECK(!contains(page, "<script"));
  CHECK(!contains(page, "http"));
}

TEST_CASE("a case of which only one of the two rule bases knows the words is told so") {
  const Copy copy;
  const std::string cause =
      "\nbeaver_in_wheel:\n  name: Beaver in the wheel\n  family: wheel\n"
      "  usual: 1\n  repair: rebalance\n  proof: It is gone.\n"
      "  caution: It bites.\n  shown_by: repair\n";
  copy.folder.write("rules/causes/wheel.yaml", copy.folder.read("rules/causes/wheel.yaml") + cause);
  copy.change("repairs.yaml", "cures: [static_imbalance, ",
              "cures: [beaver_in_wheel, static_imbalance, ");
  Json file = Json::parse(copy.folder.read("cases/shakes_at_sixty_two.json"));
  file["reference"]["not_above"]["beaver_in_wheel"] = 0.9;
  copy.folder.write("cases/shakes_at_sixty_two.json", file.dump());
  const std::vector<std::string> rest = {"--complaints", "0", "--cases", copy.folder.path("cases")};
  std::vector<std::string> there = {project("rules"), copy.rules()};
  there.insert(there.end(), rest.begin(), rest.end());
  const Ran ran = diff(there);
  CHECK(ran.code == 0);
  CHECK(contains(ran.out, "could not be read before: unknown cause \"beaver_in_wheel\""));
  CHECK(contains(ran.out, "  added    cause beaver_in_wheel: Beaver in the wheel\n"));
  std::vector<std::string> back = {copy.rules(), project("rules")};
  back.insert(back.end(), rest.begin(), rest.end());
  const Ran broken = diff(back);
  CHECK(broken.code == 1);
  CHECK(contains(broken.out, "BROKEN, cannot be read any more: unknown cause"));
}

TEST_CASE("changes of physics are told field by field") {
  const auto changed = [](const std::string& before, const std::string& after) {
    perrev::small::SmallBase now = perrev::small::base_with_physics();
    now.change("physics.yaml", before, after);
    return lines(
        rule_changes(things(perrev::small::base_with_physics().files()), things(now.files())));
  };
  struct Row {
    std::string before, after, told;
  };
  for (const Row& row : std::vector<Row>{
           {"median: 0.8", "median: 1", "changed fault bent_rim; median: from 0.8 to 1"},
           {"median: 0.8", "median: 0.80", ""},
           {"kind: radial_runout", "front: 0.8, kind: lateral_runout",
            "changed fault bent_rim; kind: from radial_runout to lateral_runout; front: now 0.8, "
            "where nothing was said"},
           {"sprung_kg: 300", "sprung_kg: 320", "changed body car; sprung_kg: from 300 to 320"},
           {"listening_hz: 0.5", "listening_hz: 0.6",
            "changed setting people; listening_hz: from 0.5 to 0.6"},
           {"threshold: 0.02,", "threshold: 0.03,",
            "changed setting people; senses steering_wheel threshold: from 0.02 to 0.03"},
           {"roughness_cm3: 2", "roughness_cm3: 4",
            "changed setting road; roughness_cm3: from 2 to 4"},
           {"gain: 2.5", "gain: 3", "changed path vertical to seat; gain: from 2.5 to 3"}}) {
    CAPTURE(row.before);
    CHECK(joined(changed(row.before, row.after), "\n") == row.told);
  }
}
