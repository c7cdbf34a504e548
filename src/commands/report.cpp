#include "src/report/report.h"

#include <iostream>
#include <memory>

#include "src/answers/reasoning.h"
#include "src/commands/common.h"
#include "src/files.h"
#include "src/rules.h"

namespace perrev {

namespace {

struct ReportCommand {
  Common common;
  std::string path, reader = "customer", out;
  ReportOptions report;
};

Exit run(const ReportCommand& options) {
  const auto base = load_rules(rules_folder(options.common.rules));
  if (!base) return tell(base.error());
  const auto open = open_case(options.path, *base);
  if (!open) return tell(open.error());
  const Reasoning reasoning(*base);
  ReportOptions report = options.report;
  report.units = options.common.units();
  report.version = PERREV_VERSION;
  const std::string page = whole_document(
      report_of(reasoning.planner, *open,
                options.reader == "customer" ? Reader::customer : Reader::technician, report));
  if (options.out.empty()) {
    std::cout << page;
    return Exit::done;
  }
  const Problems problems = write_output(options.out, page, {"<!DOCTYPE html>"});
  return problems.empty() ? Exit::done : tell(problems);
}

}  // namespace

void add_report_command(CLI::App& app, Action& chosen) {
  CLI::App* command = app.add_subcommand(
      "report", "Write a case down as a page to print: for the customer, or everything");
  const auto options = std::make_shared<ReportCommand>();
  command->add_option("CASE", options->path, "a case file, or - for standard input")
      ->type_name("FILE")
      ->required();
  command->add_option("--for", options->reader, "customer (one page) or technician (everything)")
      ->check(CLI::IsMember({"customer", "technician"}))
      ->capture_default_str();
  command->add_option("--units", options->common.units_name, "us or metric")
      ->check(CLI::IsMember({"us", "metric"}))
      ->capture_default_str();
  command->add_option("--estimate", options->report.estimate,
                      "the line of the estimate on the customer's page");
  command->add_flag("--photos", options->report.photos,
                    "show the photos that the case holds, for the technician");
  command->add_option("--out", options->out, "the HTML file to write; else it is printed")
      ->type_name("FILE");
  add_rules_option(*command, options->common);
  command->footer("Example: perrev report cases/judder_repaired_and_gone.json --out report.html");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
