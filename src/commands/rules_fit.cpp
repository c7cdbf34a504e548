// `perrev rules fit`: what the shop's closed cases teach, as a proposed patch and its effect.
//
// JSON: {rules_digest, cases, used, unproven, unreadable, prior: {usual_cases, strength_sd},
// usual: [{cause, cases, expected_cases, from, to}],
// strengths: [{rule, name, side, from, to, odds_ratio, cases, stands_for_cases, held, expected}],
// held_out: null | {parts, log_loss, log_loss_after, gain, gain_se},
// reference_cases: {cases, passed, passed_after, changed: [{case, before, after}]}, patch}
#include <algorithm>
#include <cmath>
#include <iostream>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/bench/fit_proposal.h"
#include "engine/json_text.h"
#include "engine/quantity/text.h"
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

using Json = nlohmann::ordered_json;

constexpr std::size_t kParts = 5, kFewestHeldOut = 10, kMostLines = 20;

struct FitOptions {
  std::string store, rules, cases, patch, only;
  bool json = false;
};

struct ReferenceChange {
  std::string name;
  CaseStanding before, after;
};

struct Effect {
  std::vector<HeldOut> held_out;  // empty: too few cases
  std::size_t cases = 0, passed = 0, passed_after = 0;
  std::vector<ReferenceChange> changed;
};

std::size_t passed(const std::vector<TestedCase>& cases) {
  return static_cast<std::size_t>(
      std::count_if(cases.begin(), cases.end(),
                    [](const TestedCase& of) { return of.standing == CaseStanding::passed; }));
}

// Everything that was found out, for text and JSON alike.
struct Learned {
  const RuleBase& base;
  const std::vector<Claim>& claims;
  const ClosedCases& closed;
  const Proposal& proposal;
  const Effect& effect;
  const std::string& patch;
};

double mean(const std::vector<HeldOut>& cases, double HeldOut::* loss) {
  double sum = 0.0;
  for (const HeldOut& one : cases) sum += one.*loss;
  return sum / static_cast<double>(cases.size());
}

Json to_json(const Learned& of) {
  Json usual = Json::array(), strengths = Json::array(), changed = Json::array();
  for (const Proposal::Usual& one : of.proposal.usual)
    usual.push_back({{"cause", of.base.causes[static_cast<std::size_t>(one.fit.cause)].id},
                     {"cases", one.fit.cases},
                     {"expected_cases", six_digits(one.fit.expected)},
                     {"from", six_digits(one.fit.from)},
                     {"to", six_digits(one.to.number)}});
  for (const Proposal::Strength& one : of.proposal.strengths) {
    const Claim& claim = of.claims[one.fit.claim];
    strengths.push_back({{"rule", of.base.rules[static_cast<std::size_t>(claim.rule)].id},
                         {"name", claim.name},
                         {"side", claim.log_ratio >= 0.0 ? "for" : "against"},
                         {"from", claim.strength},
                         {"to", one.to.word},
                         {"odds_ratio", six_digits(one.to.number)},
                         {"cases", one.fit.cases},
                         {"stands_for_cases", six_digits(one.fit.stands_for)},
                         {"held", six_digits(one.fit.held)},
                         {"expected", six_digits(one.fit.expected)}});
  }
  for (const ReferenceChange& one : of.effect.changed)
    changed.push_back(
        {{"case", one.name}, {"before", name_of(one.before)}, {"after", name_of(one.after)}});
  Json held = nullptr;
  if (!of.effect.held_out.empty()) {
    const Gain gain = gain_of(of.effect.held_out);
    held = {{"parts", kParts},
            {"log_loss", six_digits(mean(of.effect.held_out, &HeldOut::before))},
            {"log_loss_after", six_digits(mean(of.effect.held_out, &HeldOut::after))},
            {"gain", six_digits(gain.mean)},
            {"gain_se", six_digits(gain.error)}};
  }
  const FitPrior prior;
  return {{"rules_digest", of.base.digest},
          {"cases", of.closed.all},
          {"used", of.closed.cases.size()},
          {"unproven", of.closed.unproven},
          {"unreadable", of.closed.unreadable.size()},
          {"prior", {{"usual_cases", prior.usual}, {"strength_sd", prior.strength}}},
          {"usual", usual},
          {"strengths", strengths},
          {"held_out", held},
          {"reference_cases",
           {{"cases", of.effect.cases},
            {"passed", of.effect.passed},
            {"passed_after", of.effect.passed_after},
            {"changed", changed}}},
          {"patch", of.patch}};
}

std::string counted(std::size_t count, const std::string& one, const std::string& many) {
  return std::to_string(count) + " " + (count == 1 ? one : many);
}

// Columns of a table, each as wide as said; a negative width sets to the right.
std::string cells(const std::vector<std::pair<std::string, int>>& row) {
  std::string out;
  for (const auto& [text, width] : row) {
    const std::size_t room = static_cast<std::size_t>(std::abs(width));
    const std::string blanks(text.size() < room ? room - text.size() : 0, ' ');
    out += width < 0 ? blanks + text : text + blanks;
  }
  return out.erase(out.find_last_not_of(' ') + 1) + "\n";
}

std::string left_out(std::size_t all) {
  return all <= kMostLines
             ? std::string()
             : "  and " + std::to_string(all - kMostLines) + " more, in the patch and in --json\n";
}

std::string usual_text(const Learned& of) {
  std::string out =
      "\nHow usual, per thousand complaints: " + std::to_string(of.proposal.usual.size()) + " of " +
      counted(of.base.causes.size(), "cause changes", "causes change") + "\n";
  if (of.proposal.usual.empty()) return out;
  out += cells({{"  cause", 38}, {"closed", -8}, {"expected", -10}, {"now", -8}, {"to", -8}});
  for (std::size_t i = 0; i < std::min(kMostLines, of.proposal.usual.size()); ++i) {
    const Proposal::Usual& one = of.proposal.usual[i];
    out += cells({{"  " + of.base.causes[static_cast<std::size_t>(one.fit.cause)].id, 38},
                  {fixed(one.fit.cases, 0), -8},
                  {fixed(one.fit.expected, 1), -10},
                  {show_number(one.fit.from), -8},
                  {show_number(one.to.number), -8}});
  }
  return out + left_out(of.proposal.usual.size());
}

std::string strengths_text(const Learned& of) {
  std::string out = "\nHow strongly rules speak: " + std::to_string(of.proposal.strengths.size()) +
                    " of " + counted(of.claims.size(), "strength changes", "strengths change") +
                    "\n";
  if (of.proposal.strengths.empty()) return out;
  out += wrapped(
      "(In so many cases of the cause the rule could be read; the strength itself "
      "counts as so many more. Where it held, and where it was expected to.)",
      2, 2);
  for (std::size_t i = 0; i < std::min(kMostLines, of.proposal.strengths.size()); ++i) {
    const Proposal::Strength& one = of.proposal.strengths[i];
    const Claim& claim = of.claims[one.fit.claim];
    out += wrapped(of.base.rules[static_cast<std::size_t>(claim.rule)].id +
                       (claim.log_ratio >= 0.0 ? ", for " : ", against ") + claim.name + ": " +
                       claim.strength + " to " + one.to.word,
                   2, 4);
    out += wrapped(counted(static_cast<std::size_t>(one.fit.cases), "case", "cases") +
                       ", counts as " + fixed(one.fit.stands_for, 0) + " more; held in " +
                       fixed(one.fit.held, 1) + ", expected " + fixed(one.fit.expected, 1),
                   6, 6);
  }
  return out + left_out(of.proposal.strengths.size());
}

std::string held_out_text(const Learned& of) {
  std::string out = "\nOn cases that it did not learn from\n";
  if (of.effect.held_out.empty())
    return out + wrapped("Fewer than " + std::to_string(kFewestHeldOut) +
                             " closed cases: nothing can be said. Do not take it on trust.",
                         2, 2);
  const Gain gain = gain_of(of.effect.held_out);
  out += wrapped("log loss " + fixed(mean(of.effect.held_out, &HeldOut::before), 3) + " now, " +
                     fixed(mean(of.effect.held_out, &HeldOut::after), 3) +
                     " after (each fifth judged by the other four); better by " +
                     fixed(gain.mean, 3) + ", standard error " + fixed(gain.error, 3),
                 2, 2);
  if (gain.mean < 2.0 * gain.error)
    out += wrapped("That is within what chance does: do not take the patch for it.", 2, 2);
  return out;
}

std::string reference_text(const Learned& of) {
  std::string out =
      "\nReference cases\n" +
      wrapped(std::to_string(of.effect.passed) + " of " + std::to_string(of.effect.cases) +
                  " as expected now, " + std::to_string(of.effect.passed_after) + " after",
              2, 2);
  for (const ReferenceChange& one : of.effect.changed)
    out += wrapped(one.name + ": " + spaced(name_of(one.before)) + " now, " +
                       spaced(name_of(one.after)) + " after",
                   4, 6);
  return out;
}

std::string to_text(const Learned& of, const FitOptions& options) {
  std::string out =
      wrapped(counted(of.closed.cases.size(), "closed case", "closed cases") + " of " +
                  std::to_string(of.closed.all) + " in the store; " +
                  counted(static_cast<std::size_t>(of.closed.unproven), "was", "were") +
                  " closed without a proof and " +
                  counted(of.closed.unreadable.size(), "does", "do") + " not fit the rule base",
              0, 2);
  const FitPrior prior;
  out += wrapped("The rule base's own figure counts as " + show_number(prior.usual) +
                     " cases of each cause, and each strength as at least " +
                     fixed(4.0 / (prior.strength * prior.strength), 0) +
                     " cases of its own: few cases change little.",
                 0, 2);
  if (options.only != "strengths") out += usual_text(of);
  if (options.only != "usual") out += strengths_text(of);
  if (of.proposal.empty()) return out + "\nNothing to propose.\n";
  out += held_out_text(of) + reference_text(of) + "\n";
  if (options.patch.empty())
    return out + "Nothing was written. --patch FILE writes the changes as a patch.\n";
  return out + wrapped("Written: " + options.patch +
                           ". The rule base is as it was; read the patch, "
                           "strike what you do not believe, then: patch -p1 -d " +
                           options.rules + " < " + options.patch,
                       0, 2);
}

Effect effect_of(const RuleBase& base, const std::vector<Claim>& claims,
                 const std::vector<ClosedCase>& closed, const RuleBase& after,
                 const std::vector<CasePath>& paths) {
  Effect out;
  if (closed.size() >= kFewestHeldOut) {
    std::vector<std::vector<HeldOut>> parts(kParts);
    side_by_side(kParts, [&](std::size_t part) {
      parts[part] = held_out(base, claims, closed, part, kParts);
    });
    for (const auto& part : parts)
      out.held_out.insert(out.held_out.end(), part.begin(), part.end());
  }
  const Reasoning now(base), then(after);
  const std::vector<TestedCase> a = test_cases(now.planner, paths),
                                b = test_cases(then.planner, paths);
  out.cases = a.size();
  out.passed = passed(a);
  out.passed_after = passed(b);
  for (std::size_t i = 0; i < a.size(); ++i)
    if (a[i].standing != b[i].standing)
      out.changed.push_back({a[i].name, a[i].standing, b[i].standing});
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
  const auto paths = case_paths(cases_folder(options.rules, options.cases));
  if (!paths) return tell(paths.error());
  const auto files = parsed_rules(options.rules);
  if (!files) return tell(files.error());
  const auto base = build_rule_base(*files);
  if (!base) return tell(base.error());
  const auto closed = closed_cases(options.store, *base);
  if (!closed) return tell(closed.error());
  const Written written(*base, *files);
  const std::vector<Claim> claims = claims_of(written);
  Proposal proposal = propose(*base, claims, fit(*base, claims, closed->cases));
  if (options.only == "usual") proposal.strengths.clear();
  if (options.only == "strengths") proposal.usual.clear();
  const auto after = patched(*files, edits_of(written, claims, proposal));
  if (!after) return tell(after.error());
  const Effect effect = effect_of(*base, claims, closed->cases, after->base, *paths);
  const Learned learned{*base, claims, *closed, proposal, effect, after->patch};
  if (!options.patch.empty() && !proposal.empty())
    if (const auto problems = write_file(options.patch, after->patch); !problems.empty())
      return tell(problems);
  if (options.json)
    std::cout << indented_json(to_json(learned)) << "\n";
  else
    std::cout << to_text(learned, options);
  return Exit::done;
}

}  // namespace

void add_rules_fit(CLI::App& rules, Action& chosen) {
  CLI::App* command =
      rules.add_subcommand("fit", "Propose what the shop's closed cases teach; changes nothing");
  const auto options = std::make_shared<FitOptions>();
  command->add_option("STORE", options->store, "the shop's cases, as `perrev serve` keeps them")
      ->required();
  command->add_option("--patch", options->patch, "write the proposed changes here, for patch -p1");
  command->add_option("--only", options->only, "usual or strengths")
      ->check(CLI::IsMember({"usual", "strengths"}));
  command->add_option("--cases", options->cases,
                      "folder of the reference cases; default: `cases` beside the rule base");
  command->add_option("--rules", options->rules,
                      "folder of the rule base; default: the one diagnose uses");
  command->add_flag("--json", options->json, "print JSON");
  command->footer("Example: perrev rules fit shop.db --patch learned.patch");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
