#include "src/rules.h"

#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "engine/knowledge/groups.h"
#include "src/commands/common.h"

namespace perrev {

namespace {

Exit check(const Common& common, const std::string& folder) {
  const auto base = load_rules(rules_folder(folder));
  if (!base && base.error().front().place.file == rules_folder(folder)) return tell(base.error());
  using Json = nlohmann::ordered_json;
  if (common.json) {
    Json errors = Json::array();
    if (!base)
      for (const Problem& p : base.error())
        errors.push_back({{"file", p.place.file},
                          {"line", p.place.line},
                          {"column", p.place.column},
                          {"what", p.what},
                          {"right", p.right}});
    Json out = {{"ok", base.ok()}, {"errors", errors}};
    if (base) {
      out["rules_digest"] = base->digest;
      out["facts"] = base->facts.size();
      out["causes"] = base->causes.size();
      out["rules"] = base->rules.size();
      out["checks"] = base->checks.size();
    }
    std::cout << indented_json(out) << "\n";
    return base ? Exit::done : Exit::answer_is_no;
  }
  if (!base) {
    for (const Problem& p : base.error()) std::cerr << p.text() << "\n";
    std::cout << base.error().size() << (base.error().size() == 1 ? " error\n" : " errors\n");
    return Exit::answer_is_no;
  }
  std::cout << "Rule base " << base->digest << ": no errors.\n"
            << "  " << base->facts.size() << " facts, " << base->causes.size() << " causes in "
            << base->families.size() << " families, " << base->rules.size() << " rules,\n  "
            << base->checks.size() << " checks, " << base->repairs.size() << " repairs, "
            << base->limits.size() << " limits.\n"
            << "  Path: no circles, no dead ends; no check that moves the car or spins a wheel\n  "
               "can be reached round a gate.\n";
  return Exit::done;
}

}  // namespace

void add_rules_command(CLI::App& app, Action& chosen) {
  CLI::App* rules = app.add_subcommand("rules", "Work on the rule base");
  rules->require_subcommand(1);
  CLI::App* command = rules->add_subcommand("check", "Load the rule base and tell every error");
  const auto common = std::make_shared<Common>();
  const auto folder = std::make_shared<std::string>();
  command->add_option("FOLDER", *folder, "folder of the rule base; default: the one diagnose uses");
  command->add_flag("--json", common->json, "print JSON");
  command->add_option("--units", common->units_name, "us or metric")
      ->check(CLI::IsMember({"us", "metric"}));
  command->footer("Example: perrev rules check rules");
  command->callback(
      [&chosen, common, folder] { chosen = [common, folder] { return check(*common, *folder); }; });
}

}  // namespace perrev
