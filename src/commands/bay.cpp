// `perrev bay TOOL`: readings of the bay, and what they come to. Options are the fields of the
// tool.
#include <algorithm>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "engine/quantity/text.h"
#include "src/answers/bay/bay_answer.h"
#include "src/answers/bay/bay_rows.h"
#include "src/commands/common.h"
#include "src/files.h"
#include "src/rules.h"

namespace perrev {

namespace {

struct BayOptions {
  Common common;
  const BayTool* tool = nullptr;
  std::map<std::string, std::string> given;  // by field
  std::string path, place, limit_class, plot;
  bool keep = false;
};

std::string option_of(std::string_view id) {
  std::string out = "--" + std::string(id);
  for (char& c : out)
    if (c == '_') c = '-';
  return out;
}

nlohmann::ordered_json given_json(const BayOptions& options) {
  auto out = nlohmann::ordered_json::object();
  for (const BayField& field : options.tool->fields) {
    const auto found = options.given.find(std::string(field.id));
    if (found == options.given.end() || found->second.empty()) continue;
    if (field.kind == BayField::Kind::rows)
      out[found->first] = rows_from(field, found->second);
    else
      out[found->first] = found->second;
  }
  return out;
}

// "/given/readings/3/1" as "--readings, row 4".
Exit tell_given(const BayTool& tool, const Problems& problems) {
  for (const Problem& problem : problems) {
    Problem plain = problem;
    plain.place = {};
    std::string where = problem.place.pointer;
    if (where.rfind("/given/", 0) != 0) {
      tell(problem);
      continue;
    }
    where = where.substr(7);
    const std::size_t slash = where.find('/');
    const std::string id = where.substr(0, slash);
    std::string option = option_of(id);
    for (const BayField& field : tool.fields)
      if (field.id == id && field.kind == BayField::Kind::rows && slash == std::string::npos)
        plain.right +=
            (plain.right.empty() ? "" : ", ") + std::string("rows with \";\" between them");
    if (slash != std::string::npos)
      option += ", row " + std::to_string(std::stoul(where.substr(slash + 1)) + 1);
    tell_option(option, plain);
  }
  return Exit::bad_input;
}

std::string class_words(const std::string& id) { return id == "other" ? "any other" : spaced(id); }

std::string limit_text(const BayFinding& finding, const Fact& fact, Units units) {
  std::string out = fact.ask + " " + finding.text;
  if (finding.finding == "between") out += ", between good and bad: it says nothing either way.";
  if (finding.finding == "good") out += ", good.";
  if (finding.finding == "bad") out += ", beyond the limit.";
  if (finding.finding.empty()) out += ".";
  for (const BayLimit& row : finding.rows)
    out += " Good" +
           (finding.rows.size() > 1 || row.id != "all" ? " for " + class_words(row.id)
                                                       : std::string()) +
           " to " + told_limit(row.good, fact.unit, units) + ", bad from " +
           told_limit(row.bad, fact.unit, units) + " (" + row.origin + ").";
  return out;
}

std::string to_text(const BayAnswer& answer, const BayContext& context) {
  constexpr std::size_t kValues = 38;  // the longest label, and blanks
  std::string out;
  for (const std::string& sentence : answer.result.sentences) out += wrapped(sentence, 0, 2);
  if (!answer.result.numbers.empty()) out += "\n";
  for (const BayNumber& number : answer.result.numbers)
    out += row("  " + number.label, kValues, told(number, context.units));
  if (!answer.findings.empty()) out += "\n";
  for (const BayFinding& finding : answer.findings)
    out += wrapped(limit_text(finding, context.base.facts[static_cast<std::size_t>(finding.fact)],
                              context.units),
                   0, 2);
  if (!answer.result.cautions.empty()) out += "\n";
  for (const std::string& caution : answer.result.cautions)
    out += wrapped("Caution: " + caution, 0, 2);
  if (!answer.result.notes.empty()) out += "\n";
  for (const std::string& note : answer.result.notes) out += wrapped(note, 0, 2);
  const bool intervals = std::any_of(answer.result.numbers.begin(), answer.result.numbers.end(),
                                     [](const BayNumber& one) { return one.interval.has_value(); });
  if (intervals) out += "In brackets: where the true value lies, 19 times in 20.\n";
  return out;
}

// The entries at the end of the case; empty when it went well.
Problems keep_in(const CaseFromFile& open, const BayOptions& options, const BayAnswer& answer,
                 const RuleBase& base) {
  CaseFile longer = open.file;
  const std::string at = next_moment(longer);
  for (const BayEntry& made : answer.entries) {
    Entry entry;
    entry.at = at;
    entry.by = Asker::bay;
    entry.fact = made.fact;
    entry.place = made.place;
    entry.values = {made.value};
    entry.with = answer.with;
    longer.add(std::move(entry));
  }
  return write_longer(options.path, open, longer, base);
}

Exit run(const BayOptions& options) {
  const auto base = load_rules(rules_folder(options.common.rules));
  if (!base) return tell(base.error());
  auto open = open_if_given(options.path, *base);
  if (!open) return tell(open.error());
  BayContext context{*base, *open ? &(*open)->facts : nullptr, options.common.units(),
                     options.place, options.limit_class};
  const auto answer = bay_answer(*options.tool, given_json(options), context);
  if (!answer) return tell_given(*options.tool, answer.error());
  if (!options.plot.empty()) {
    if (answer->result.svg.empty())
      return tell_option("--plot", problem("there is no picture of this"));
    const Problems problems = write_output(options.plot, answer->result.svg, {"<svg"});
    if (!problems.empty()) return tell(problems);
  }
  std::string kept;
  if (options.keep) {
    if (!*open)
      return tell_option("--keep", problem("there is no case to keep it in", "--case FILE"));
    if (options.path == "-")
      return tell_option("--keep", problem("nothing can be kept in standard input", "--case FILE"));
    if (!answer->place_needed.empty())
      return tell_option("--keep", problem("where it was read is not told",
                                           "--place, a wheel such as left_front, or rear_shaft"));
    const std::size_t count = answer->entries.size();
    if (count > 0) {
      const Problems problems = keep_in(**open, options, *answer, *base);
      if (!problems.empty()) return tell(problems);
    }
    kept = count > 0 ? "\nKept in " + options.path + ": " + std::to_string(count) +
                           (count == 1 ? " reading\n" : " readings\n")
                     : "\nNothing of it is kept in " + options.path + ".\n";
  }
  if (options.common.json)
    std::cout << indented_json(to_json(*options.tool, *answer, context)) << "\n";
  else
    std::cout << to_text(*answer, context) << kept
              << (options.plot.empty() ? "" : "\nWritten: " + options.plot + "\n");
  return Exit::done;
}

std::string help_of(const BayField& field) {
  std::string out = std::string(field.label);
  if (field.kind == BayField::Kind::rows && field.columns.size() > 1) {
    out += ", rows with \";\" between them:";
    for (std::size_t c = 0; c < field.columns.size(); ++c)
      out += (c == 0 ? " " : ", ") + lower_case(field.columns[c].label);
  }
  if (!field.help.empty()) out += ". " + std::string(field.help);
  for (const BayChoice& choice : field.choices)
    out += (&choice == &field.choices.front() ? " One of " : "; ") + std::string(choice.id) + ": " +
           lower_case(choice.label);
  if (!field.choices.empty()) out += ".";
  if (!field.usual.empty()) out += " Default: " + std::string(field.usual);
  return out;
}

void add_tool(CLI::App& bay, const BayTool& tool, Action& chosen) {
  CLI::App* command = bay.add_subcommand(option_of(tool.id).substr(2), std::string(tool.what));
  const auto options = std::make_shared<BayOptions>();
  options->tool = &tool;
  for (const BayField& field : tool.fields) {
    CLI::Option* option = command->add_option(
        option_of(field.id), options->given[std::string(field.id)], help_of(field));
    if (field.required) option->required();
  }
  CLI::Option* path =
      command->add_option("--case", options->path, "the case it belongs to")->type_name("FILE");
  command->add_option("--place", options->place, "the wheel or shaft, as left_front or rear_shaft");
  command->add_option("--class", options->limit_class,
                      "the class of the limit where no case tells, as alloy or pickup");
  command->add_option("--plot", options->plot, "the SVG file to draw it in")->type_name("FILE");
  command->add_flag("--keep", options->keep, "add it to the case, with its readings")->needs(path);
  add_rules_option(*command, options->common);
  add_units_and_json(*command, options->common);
  command->footer("Example: " + std::string(tool.example));
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace

void add_bay_command(CLI::App& app, Action& chosen) {
  CLI::App* bay = app.add_subcommand("bay", "Readings of the bay, and what they come to");
  bay->require_subcommand(1);
  bay->footer("Example: perrev bay runout --readings \"0.05, 0.30, 0.55, 0.30 mm\"");
  for (const BayTool& tool : bay_tools()) add_tool(*bay, tool, chosen);
}

}  // namespace perrev
