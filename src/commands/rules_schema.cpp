#include <algorithm>
#include <filesystem>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/bench/schema.h"
#include "engine/json_text.h"
#include "src/commands/common.h"
#include "src/commands/rules_commands.h"
#include "src/files.h"
#include "src/rules.h"

namespace perrev {

namespace {

namespace fs = std::filesystem;

constexpr const char* kEnding = ".schema.json";

struct Outcome {
  std::string file;
  std::string state;  // current, changed, missing, stray
};

// How the folder differs from what the rule base asks for. A schema of a file that no rule base has
// is stray.
std::vector<Outcome> compared(const std::vector<SchemaFile>& due, const fs::path& folder) {
  std::vector<Outcome> out;
  for (const SchemaFile& schema : due) {
    const auto there = read_file((folder / schema.name).string(), 64u << 20);
    out.push_back({schema.name, !there                  ? "missing"
                                : *there == schema.text ? "current"
                                                        : "changed"});
  }
  std::error_code error;
  std::vector<std::string> stray;
  for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error)) {
    const std::string name = at->path().filename().string();
    const bool known = std::any_of(due.begin(), due.end(),
                                   [&](const SchemaFile& schema) { return schema.name == name; });
    const std::size_t before = name.size() - std::min(name.size(), std::string(kEnding).size());
    if (!known && name.substr(before) == kEnding) stray.push_back(name);
  }
  std::sort(stray.begin(), stray.end());
  for (const std::string& name : stray) out.push_back({name, "stray"});
  return out;
}

Problems write(const std::vector<SchemaFile>& due, const fs::path& folder,
               const std::vector<Outcome>& found) {
  std::error_code error;
  fs::create_directories(folder, error);
  if (error)
    return {Problem{{folder.string(), 0, 0, {}},
                    "the folder cannot be made: " + error.message(),
                    "a rule base that may be written to",
                    {}}};
  for (std::size_t i = 0; i < due.size(); ++i) {
    if (found[i].state == "current") continue;
    if (auto problems = write_file((folder / due[i].name).string(), due[i].text); !problems.empty())
      return problems;
  }
  return {};
}

void print(const std::vector<Outcome>& found, const fs::path& folder, bool only_checked,
           bool json) {
  const bool current = std::all_of(found.begin(), found.end(),
                                   [](const Outcome& one) { return one.state == "current"; });
  if (json) {
    auto files = nlohmann::ordered_json::array();
    for (const Outcome& one : found) files.push_back({{"file", one.file}, {"was", one.state}});
    std::cout << indented_json({{"folder", folder.generic_string()},
                                {"was_current", current},
                                {"written", !only_checked},
                                {"files", files}})
              << "\n";
    return;
  }
  for (const Outcome& one : found)
    if (one.state != "current")
      std::cout << one.file << ": "
                << (one.state == "stray"     ? "no file of a rule base has it; take it out"
                    : !only_checked          ? "written"
                    : one.state == "missing" ? "is missing"
                                             : "is not what the rules say")
                << "\n";
  if (current)
    std::cout << found.size() << " schemas in " << folder.generic_string() << " are current.\n";
  else if (only_checked)
    std::cout << "perrev rules schema writes them anew.\n";
}

Exit schema(const std::string& asked, bool only_check, bool json) {
  const std::string rules = rules_folder(asked);
  const auto base = load_rules(rules);
  if (!base) return tell(base.error());
  const std::vector<SchemaFile> due = schemas_of(*base);
  const fs::path folder = fs::path(rules) / "schema";
  const std::vector<Outcome> found = compared(due, folder);
  if (!only_check)
    if (const Problems problems = write(due, folder, found); !problems.empty())
      return tell(problems);
  print(found, folder, only_check, json);
  const bool good = std::all_of(found.begin(), found.end(), [&](const Outcome& one) {
    return one.state == "current" || (!only_check && one.state != "stray");
  });
  return good ? Exit::done : Exit::answer_is_no;
}

}  // namespace

void add_rules_schema(CLI::App& rules, Action& chosen) {
  CLI::App* command = rules.add_subcommand(
      "schema", "Write the JSON Schemas by which an editor completes and checks rule files");
  const auto folder = std::make_shared<std::string>();
  const auto check = std::make_shared<bool>(false), json = std::make_shared<bool>(false);
  command
      ->add_option("FOLDER", *folder,
                   "folder of the rule base, written to its schema/; default: the one diagnose "
                   "uses")
      ->type_name("FOLDER");
  command->add_flag("--check", *check, "write nothing; exit 1 if they are not current");
  command->add_flag("--json", *json, "print JSON");
  command->footer("Example: perrev rules schema --check rules");
  command->callback([&chosen, folder, check, json] {
    chosen = [folder, check, json] { return schema(*folder, *check, *json); };
  });
}

}  // namespace perrev
