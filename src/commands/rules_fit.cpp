// `perrev rules fit`: what the shop's closed cases teach, as a proposed patch and its effect.
#include <iostream>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "engine/quantity/text.h"
#include "src/answers/fit_words.h"
#include "src/answers/reasoning.h"
#include "src/closed_cases.h"
#include "src/commands/common.h"
#include "src/commands/rules_commands.h"
#include "src/files.h"
#include "src/reference_cases.h"
#include "src/rules.h"
#include "src/side_by_side.h"

namespace perrev {

namespace {

struct FitOptions {
  std::string store, rules, cases, patch, only, since;
  bool json = false;
};

Learns learns(const FitOptions& options) {
  if (options.only.empty()) return Learns::all;
  return options.only == "usual" ? Learns::usual : Learns::strengths;
}

FitEffect effect_of(const RuleBase& base, const std::vector<Claim>& claims,
                    const std::vector<ClosedCase>& closed, Learns what, const RuleBase& after,
                    const std::vector<CasePath>& paths) {
  FitEffect out;
  std::vector<std::vector<HeldOut>> parts(closed.size() < kFewestClosed ? 0 : kFitParts);
  side_by_side(parts.size(), [&](std::size_t part) {
    parts[part] = held_out(base, claims, closed, part, kFitParts, what);
  });
  for (const auto& part : parts) out.held_out.insert(out.held_out.end(), part.begin(), part.end());
  const Reasoning now(base), then(after);
  out.reference = compare_cases(now.planner, then.planner, paths);
  worst_first(out.reference);
  return out;
}

// All files changed, as one patch; and the rule base that comes of it.
struct Patched {
  std::string patch;
  RuleBase base;
};

Result<Patched, Problems> patched(const std::vector<ParsedFile>& files,
                                  const std::vector<ScalarEdit>& edits) {
  std::map<std::string, std::vector<ScalarEdit>> by_file;
  for (const ScalarEdit& edit : edits) by_file[edit.file].push_back(edit);
  Patched out;
  Problems problems;
  std::vector<ParsedFile> changed;
  for (const ParsedFile& file : files) {
    const auto found = by_file.find(file.source.name);
    if (found == by_file.end()) {
      changed.push_back(file);
      continue;
    }
    auto text = edited(file.source.text, found->second);
    if (!text) {
      problems.insert(problems.end(), text.error().begin(), text.error().end());
      continue;
    }
    out.patch += unified_diff(file.source.name, file.source.text, *text);
    changed.push_back(parse_file({file.source.name, file.source.shown, std::move(text).value()}));
  }
  if (!problems.empty()) return problems;
  auto base = build_rule_base(std::move(changed));
  if (!base) return base.error();
  out.base = std::move(base).value();
  return out;
}

Exit run(FitOptions options) {
  options.rules = rules_folder(options.rules);
  if (!options.since.empty() && !moment(options.since + "T00:00:00Z"))
    return tell_option("--since",
                       problem(perrev::quoted(options.since) + " is no day", "as 2026-05-04"));
  const auto files = parsed_rules(options.rules);
  if (!files) return tell(files.error());
  const auto base = build_rule_base(*files);
  if (!base) return tell(base.error());
  const auto paths = case_paths(cases_folder(options.rules, options.cases));
  if (!paths) return tell(paths.error());
  const auto closed = closed_cases(options.store, *base, options.since);
  if (!closed) return tell(closed.error());
  const Written written(*base, *files);
  const std::vector<Claim> claims = claims_of(written);
  Proposal proposal;
  if (closed->cases.size() >= kFewestClosed)
    proposal = propose(*base, claims, fit(*base, claims, closed->cases), learns(options));
  const auto after = patched(*files, edits_of(written, claims, proposal));
  if (!after) return tell(after.error());
  const FitEffect effect =
      effect_of(*base, claims, closed->cases, learns(options), after->base, *paths);
  const FitFindings found{
      *base,    claims, closed->all, closed->cases.size(), closed->unproven, closed->unreadable,
      proposal, effect, after->patch};
  if (!options.patch.empty())
    if (const auto problems = write_output(options.patch, after->patch, {"--- a/"});
        !problems.empty())
      return tell(problems);
  if (options.json)
    std::cout << indented_json(to_json(found)) << "\n";
  else
    std::cout << to_text(found, learns(options), options.patch, options.rules);
  return Exit::done;
}

}  // namespace

void add_rules_fit(CLI::App& rules, Action& chosen) {
  CLI::App* command =
      rules.add_subcommand("fit", "Propose what the shop's closed cases teach; changes nothing");
  const auto options = std::make_shared<FitOptions>();
  command->add_option("STORE", options->store, "the shop's cases, as `perrev serve` keeps them")
      ->type_name("FILE")
      ->required();
  command->add_option("--patch", options->patch, "write the proposed changes here, for patch -p1")
      ->type_name("FILE");
  command->add_option("--since", options->since,
                      "learn from cases closed on this day or later, as 2026-05-04");
  command->add_option("--only", options->only, "usual or strengths")
      ->check(CLI::IsMember({"usual", "strengths"}));
  add_cases_folder(*command, options->cases);
  add_rules_folder(*command, "--rules", options->rules);
  command->add_flag("--json", options->json, "print JSON");
  command->footer("Example: perrev rules fit shop.db --patch learned.patch");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
