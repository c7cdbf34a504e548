#include <algorithm>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <utility>

#include "engine/bench/findings.h"
#include "engine/bench/sarif.h"
#include "engine/json_text.h"
#include "src/commands/common.h"
#include "src/commands/rules_commands.h"
#include "src/rules.h"

namespace perrev {

namespace {

struct CheckOptions {
  std::string folder, format = "text";
  std::string units;  // every command takes them; nothing here is shown in a unit of choice
  bool json = false, no_notes = false;
};

// What is told of a rule base, and the rule base where it loads.
struct Told {
  Problems problems;
  std::vector<Finding> findings;
  std::vector<ParsedFile> files;
  std::optional<RuleBase> base;

  long errors() const {
    return static_cast<long>(problems.size()) +
           std::count_if(findings.begin(), findings.end(),
                         [](const Finding& each) { return each.level == Level::error; });
  }
};

Told told_of(const std::string& folder, bool no_notes) {
  Told out;
  auto parsed = parsed_rules(folder);
  if (!parsed) {
    out.problems = parsed.error();
    return out;
  }
  out.files = std::move(parsed).value();
  auto base = build_rule_base(out.files);
  if (!base) {
    out.problems = base.error();
    return out;
  }
  out.findings = findings(*base, out.files);
  if (no_notes)
    out.findings.erase(
        std::remove_if(out.findings.begin(), out.findings.end(),
                       [](const Finding& each) { return each.level == Level::note; }),
        out.findings.end());
  out.base = std::move(base).value();
  return out;
}

std::string json_text(const Told& told) {
  using Json = nlohmann::ordered_json;
  Json errors = Json::array(), found = Json::array();
  const auto add_place = [](Json& to, const Place& place) {
    to["file"] = place.file;
    to["line"] = place.line;
    to["column"] = place.column;
  };
  for (const Problem& p : told.problems) {
    Json each;
    add_place(each, p.place);
    each["what"] = p.what;
    each["right"] = p.right;
    errors.push_back(std::move(each));
  }
  for (const Finding& f : told.findings) {
    Json each = {{"id", f.id}, {"level", name_of(f.level)}};
    add_place(each, f.place);
    each["what"] = f.what;
    each["right"] = f.right;
    found.push_back(std::move(each));
  }
  Json out = {{"ok", told.errors() == 0}, {"errors", errors}, {"findings", found}};
  if (told.base) {
    out["rules_digest"] = told.base->digest;
    out["facts"] = told.base->facts.size();
    out["causes"] = told.base->causes.size();
    out["rules"] = told.base->rules.size();
    out["checks"] = told.base->checks.size();
  }
  return indented_json(out);
}

std::string counted(long number, const std::string& thing) {
  return std::to_string(number) + " " + thing + (number == 1 ? "" : "s");
}

void print(const Told& told) {
  for (const Problem& p : told.problems) std::cerr << p.text() << "\n";
  for (const Finding& f : told.findings)
    (f.level == Level::error ? std::cerr : std::cout) << f.text() << "\n";
  const long errors = told.errors();
  const long notes = static_cast<long>(told.problems.size() + told.findings.size()) - errors;
  if (errors > 0) {
    std::cout << counted(errors, "error");
    if (notes > 0) std::cout << ", " << counted(notes, "note");
    std::cout << "\n";
    return;
  }
  std::cout << "Rule base " << told.base->digest << ": no errors"
            << (notes > 0 ? ", " + counted(notes, "note") : "") << ".\n"
            << "  " << told.base->facts.size() << " facts, " << told.base->causes.size()
            << " causes in " << told.base->families.size() << " families, "
            << told.base->rules.size() << " rules,\n  " << told.base->checks.size() << " checks, "
            << told.base->repairs.size() << " repairs, " << told.base->limits.size() << " limits.\n"
            << "  Path: no circles, no dead ends; no check that moves the car or spins a wheel\n  "
               "can be reached round a gate.\n";
}

Exit check(const CheckOptions& options) {
  const std::string folder = rules_folder(options.folder);
  const Told told = told_of(folder, options.no_notes);
  if (!told.problems.empty() && told.problems.front().place.file == folder)
    return tell(told.problems);
  const std::string format = options.json ? "json" : options.format;
  if (format == "json") {
    std::cout << json_text(told) << "\n";
  } else if (format == "sarif") {
    std::vector<Finding> all = findings_of(told.problems);
    all.insert(all.end(), told.findings.begin(), told.findings.end());
    std::cout << indented_json(sarif(all, {folder, PERREV_VERSION}, told.files)) << "\n";
  } else {
    print(told);
  }
  return told.errors() == 0 ? Exit::done : Exit::answer_is_no;
}

}  // namespace

void add_rules_check(CLI::App& rules, Action& chosen) {
  CLI::App* command =
      rules.add_subcommand("check", "Load the rule base; tell every error and what is weak");
  const auto options = std::make_shared<CheckOptions>();
  add_rules_folder(*command, "FOLDER", options->folder);
  command->add_option("--format", options->format, "text, json or sarif (SARIF 2.1.0)")
      ->check(CLI::IsMember({"text", "json", "sarif"}));
  command->add_flag("--json", options->json, "print JSON, as --format json");
  command->add_flag("--no-notes", options->no_notes, "errors only");
  command->add_option("--units", options->units, "us or metric")
      ->check(CLI::IsMember({"us", "metric"}));
  command->footer(
      "A note is a weakness that may be meant; with notes only it ends with 0.\n"
      "Example: perrev rules check rules --no-notes");
  command->callback([&chosen, options] { chosen = [options] { return check(*options); }; });
}

}  // namespace perrev
