#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/planning/strategies.h"
#include "engine/planning/trial_report.h"
#include "src/answers/reasoning.h"
#include "src/commands/common.h"
#include "src/files.h"
#include "src/progress_bar.h"
#include "src/rules.h"
#include "src/side_by_side.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

struct TrialOptions {
  Common common;
  int complaints = 200;
  std::uint64_t seed = 1;
  double corrupted = 0.0;
  std::vector<std::string> strategies;
  std::string chart, picture;
};

const std::vector<std::string> kStrategies = {"look_ahead", "entropy_per_minute", "flow_chart",
                                              "path_order", "random"};

std::unique_ptr<Strategy> strategy_named(const std::string& name) {
  if (name == "look_ahead") return looking_ahead();
  if (name == "entropy_per_minute") return entropy_per_minute();
  if (name == "flow_chart") return by_flow_chart();
  if (name == "path_order") return path_order();
  return at_random();
}

// All complaints on all cores; each has its own seed, so how they are shared out means nothing.
std::vector<TrialRun> run_all(const Planner& planner, const Strategy& strategy,
                              const TrialOptions& options) {
  std::vector<TrialRun> runs(static_cast<std::size_t>(options.complaints));
  ProgressBar bar(strategy.name(), runs.size());
  side_by_side(runs.size(), [&](std::size_t i) {
    runs[i] = run_trial(planner, strategy, options.seed * 1000003 + i, options.corrupted);
    bar.step();
  });
  return runs;
}

Json report_json(const TrialReport& report) {
  Json out = {{"strategy", report.strategy},
              {"complaints", report.complaints},
              {"solved", report.solved},
              {"minutes_mean", report.minutes},
              {"minutes_standard_error", report.minutes_sd},
              {"minutes_percentile_90", report.minutes_90},
              {"minutes_if_known", report.bound},
              {"ratio_to_known", report.minutes / report.bound},
              {"checks_mean", report.checks},
              {"repairs_mean", report.repairs},
              {"first_place", report.first},
              {"first_three", report.first_three},
              {"calibration_error", report.calibration_error},
              {"reliability", Json::array()}};
  for (const ReliabilityBin& bin : report.bins)
    out["reliability"].push_back({{"low", bin.low},
                                  {"high", bin.high},
                                  {"count", bin.count},
                                  {"predicted", bin.predicted},
                                  {"observed", bin.observed}});
  return out;
}

std::string report_line(const TrialReport& report) {
  char line[160];
  std::snprintf(line, sizeof line, "%-19s %6.0f %4.0f %6.0f %6.2f %5.0f %7.1f %6.2f %5.0f %5.0f\n",
                report.strategy.c_str(), report.minutes, report.minutes_sd, report.minutes_90,
                report.minutes / report.bound, 100.0 * report.solved, report.checks, report.repairs,
                100.0 * report.first, 100.0 * report.first_three);
  return line;
}

// What was said of the cause that stood first before a repair, and how often it was there.
std::string reliability_text(const TrialReport& report) {
  std::string out = "\nOne who knows the fault takes " + show_number(std::round(report.bound)) +
                    " minutes. Expected calibration error of " + report.strategy + ": " +
                    show_number(std::round(report.calibration_error * 1e4) / 1e4) +
                    ".\n\nFirst cause, %     said   was  complaints\n";
  for (const ReliabilityBin& bin : report.bins) {
    if (bin.count == 0) continue;
    char line[80];
    std::snprintf(line, sizeof line, "%3.0f to %3.0f        %5.1f %5.1f %11d\n", 100.0 * bin.low,
                  100.0 * bin.high, 100.0 * bin.predicted, 100.0 * bin.observed, bin.count);
    out += line;
  }
  return out;
}

Exit run(const TrialOptions& options) {
  OtherFiles others;
  if (!options.common.shop.empty()) others["shop.yaml"] = options.common.shop;
  if (!options.chart.empty()) others["flow_chart.yaml"] = options.chart;
  const auto base = load_rules(rules_folder(options.common.rules), others);
  if (!base) return tell(base.error());
  std::vector<std::string> names = options.strategies;
  if (names.empty())
    for (const std::string& name : kStrategies)
      if (name != "flow_chart" || !base->flow_chart.empty()) names.push_back(name);
  for (const std::string& name : names)
    if (name == "flow_chart" && base->flow_chart.empty())
      return tell_option("--strategy", problem("there is no flow chart", "--flow-chart FILE"));
  const Reasoning reasoning(*base);
  Json json = Json::array();
  std::string told;
  if (!options.common.json)
    std::cout
        << "                       minutes            times        checks repairs true cause %\n"
           "strategy              mean +/-  90 %   known solved %              first  in 3\n";
  for (const std::string& name : names) {
    const auto strategy = strategy_named(name);
    const TrialReport report = report_of(name, run_all(reasoning.planner, *strategy, options));
    if (options.common.json)
      json.push_back(report_json(report));
    else
      std::cout << report_line(report) << std::flush;
    if (!options.picture.empty() && name == names.front()) {
      const Problems problems =
          write_output(options.picture, svg_of(reliability_plot(report)), {"<svg"});
      if (!problems.empty()) return tell(problems);
    }
    if (name == names.front()) told = reliability_text(report);
  }
  std::cout << (options.common.json ? json.dump(2) + "\n" : told);
  return Exit::done;
}

}  // namespace

void add_trial_command(CLI::App& app, Action& chosen) {
  CLI::App* command = app.add_subcommand(
      "trial", "Simulated complaints: how many minutes a way of going about it takes");
  const auto options = std::make_shared<TrialOptions>();
  command->add_option("--complaints", options->complaints, "how many")
      ->check(CLI::Range(1, 10000000))
      ->capture_default_str();
  command->add_option("--seed", options->seed, "the same seed gives the same result")
      ->check(whole_number())
      ->capture_default_str();
  command
      ->add_option("--wrong-answers", options->corrupted,
                   "share of answers replaced by one drawn at random")
      ->check(number_from(0.0, 1.0))
      ->capture_default_str();
  command->add_option("--strategy", options->strategies, "one or more; else all")
      ->check(CLI::IsMember(kStrategies));
  command->add_option("--flow-chart", options->chart, "your shop's own chart, to compare with")
      ->type_name("FILE");
  command
      ->add_option("--picture", options->picture,
                   "write the reliability of the first strategy here, as SVG")
      ->type_name("FILE");
  command->add_flag("--json", options->common.json, "print JSON");
  add_rules_option(*command, options->common);
  add_shop_option(*command, options->common);
  command->footer("Example: perrev trial --complaints 500 --strategy look_ahead");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
