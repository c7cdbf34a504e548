// `perrev simulate`: complaints made up from physics, with the truth in them, and how well the
// ranking does on them.
#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <numeric>
#include <tuple>

#include "engine/bench/synthetic_recording.h"
#include "engine/bench/synthetic_score.h"
#include "engine/json_text.h"
#include "engine/quantity/text.h"
#include "src/answers/reasoning.h"
#include "src/commands/common.h"
#include "src/commands/simulate_recordings.h"
#include "src/files.h"
#include "src/progress_bar.h"
#include "src/rules.h"
#include "src/side_by_side.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

struct SimulateOptions {
  Common common;
  std::uint64_t seed = 1;
  int count = 1, score = 0, score_recordings = 0;
  std::string cause, folder, recording;
  RecordingStyle style;
  std::optional<double> sample_rate;  // Hz
};

Result<int> asked_cause(const Simulator& simulator, const std::string& id) {
  if (id.empty()) return -1;
  const RuleBase& base = simulator.base();
  const int cause = base.cause_index(id);
  if (cause >= 0 && simulator.can_draw(cause)) return cause;
  std::vector<std::string> drawn;
  for (std::size_t c = 0; c < base.causes.size(); ++c)
    if (simulator.can_draw(static_cast<int>(c))) drawn.push_back(base.causes[c].id);
  if (cause >= 0)
    return problem("physics does not compute what " + perrev::quoted(id) + " does",
                   "a cause under `faults` of physics.yaml whose parts turn with the road");
  return problem(perrev::quoted(id) + " is no cause", near_or(id, drawn, "the id of a cause"));
}

Exit write_cases(const Simulator& simulator, const SimulateOptions& options, int cause) {
  std::vector<std::string> texts;
  for (int i = 0; i < options.count; ++i) {
    const std::uint64_t number = static_cast<std::uint64_t>(i);
    const SyntheticComplaint complaint = simulator.draw(options.seed, number, cause);
    texts.push_back(simulator.case_text(complaint, options.seed, number));
    if (options.recording.empty()) continue;
    RecordingStyle style = options.style;
    style.sample_rate = options.sample_rate.value_or(style.sample_rate);
    const SyntheticRecording made = record(simulator, complaint, style, options.seed);
    const Problems problems =
        write_output(options.recording, recording_csv(made), {"time_s,speed_m_s,"});
    if (!problems.empty()) return tell(problems);
  }
  if (options.folder.empty()) {
    if (options.count == 1) {
      std::cout << texts.front();
      return Exit::done;
    }
    Json all = Json::array();
    for (const std::string& text : texts) all.push_back(Json::parse(text));
    std::cout << indented_json(all) << "\n";
    return Exit::done;
  }
  std::error_code failed;
  std::filesystem::create_directories(options.folder, failed);
  if (failed)
    return tell_option(
        "--out", problem("the folder " + options.folder + " cannot be made: " + failed.message(),
                         "a place that can be written"));
  for (std::size_t i = 0; i < texts.size(); ++i) {
    const std::filesystem::path path =
        std::filesystem::path(options.folder) /
        ("simulated_" + std::to_string(options.seed) + "_" + std::to_string(i) + ".json");
    const Problems problems = write_output(
        path.generic_string(), texts[i], {"{\n  \"perrev_case\": 1,\n  \"label\": \"Simulated, "});
    if (!problems.empty()) return tell(problems);
  }
  if (options.common.json) {
    std::cout << indented_json(Json{{"cases", texts.size()}, {"folder", options.folder}}) << "\n";
  } else {
    std::cout << texts.size() << (texts.size() == 1 ? " case" : " cases") << " in "
              << options.folder << "\n";
  }
  return Exit::done;
}

// Complaints of vehicles known alike one after the other, as the provider keeps the last few.
std::vector<std::size_t> by_vehicle(const std::vector<SyntheticComplaint>& complaints) {
  std::vector<std::size_t> out(complaints.size());
  std::iota(out.begin(), out.end(), std::size_t{0});
  std::sort(out.begin(), out.end(), [&](std::size_t a, std::size_t b) {
    const SyntheticHeard &one = complaints[a].heard, &other = complaints[b].heard;
    return std::tie(one.kind, one.size, one.ratio, a) <
           std::tie(other.kind, other.size, other.ratio, b);
  });
  return out;
}

Json json_of(const FamilyScore& score) {
  return {{"complaints", score.complaints},
          {"line_first", six_digits(score.line_first)},
          {"line_in_three", six_digits(score.line_in_three)},
          {"best_line_first", six_digits(score.best_line_first)},
          {"best_line_in_three", six_digits(score.best_line_in_three)},
          {"cause_first", six_digits(score.cause_first)},
          {"cause_in_three", six_digits(score.cause_in_three)},
          {"best_cause_first", six_digits(score.best_cause_first)},
          {"cause_first_of_simulated", six_digits(score.first_of_drawn)},
          {"said_of_first_cause", six_digits(score.said_first)},
          {"best_said_of_first_cause", six_digits(score.best_first)}};
}

std::string score_line(const FamilyScore& score) {
  char line[120];
  std::snprintf(line, sizeof line, "%-20s %5d %6.1f %5.1f %5.1f %5.1f %7.1f %5.1f %5.1f %6.1f\n",
                score.family.empty() ? "all" : score.family.c_str(), score.complaints,
                100.0 * score.line_first, 100.0 * score.line_in_three,
                100.0 * score.best_line_first, 100.0 * score.best_line_in_three,
                100.0 * score.cause_first, 100.0 * score.cause_in_three,
                100.0 * score.best_cause_first, 100.0 * score.first_of_drawn);
  return line;
}

std::string score_text(const ScoreReport& report) {
  std::string out =
      "                             right line, %           right cause, %\n"
      "family               cases  first  in 3  best  in 3   first  in 3  best  alone\n";
  for (const FamilyScore& family : report.families) out += score_line(family);
  out += score_line(report.all);
  out +=
      "\nA line is a source and an order. Best: what the simulator's own likelihoods\n"
      "allow. Alone: first where only causes that are simulated count.\n";
  if (!report.worst.empty()) out += "Farthest below the best cause: " + report.worst + "\n";
  return out;
}

Exit score_all(const Simulator& simulator, const SimulateOptions& options, int cause) {
  const Reasoning reasoning(simulator.base());
  const std::size_t count = static_cast<std::size_t>(options.score);
  std::vector<SyntheticComplaint> complaints(count);
  side_by_side(count,
               [&](std::size_t i) { complaints[i] = simulator.draw(options.seed, i, cause); });
  const std::vector<std::size_t> order = by_vehicle(complaints);
  std::vector<std::optional<SyntheticScore>> found(count);
  {
    ProgressBar bar("complaints", count);
    side_by_side(count, [&](std::size_t i) {
      found[order[i]] =
          score_complaint(simulator, reasoning.reasoner, reasoning.felt, complaints[order[i]]);
      bar.step();
    });
  }
  std::vector<SyntheticScore> scores;
  for (const auto& each : found) {
    if (!each)
      return tell(problem("a complaint does not fit the facts of this rule base",
                          "facts with the answers of the shipped rules"));
    scores.push_back(*each);
  }
  const ScoreReport report = score_report(simulator.base(), scores);
  if (!options.common.json) {
    std::cout << score_text(report);
    return Exit::done;
  }
  Json json = json_of(report.all);
  json["seed"] = options.seed;
  json["worst_family"] = report.worst.empty() ? Json() : Json(report.worst);
  json["families"] = Json::array();
  for (const FamilyScore& family : report.families) {
    Json one = {{"family", family.family}};
    one.update(json_of(family));
    json["families"].push_back(std::move(one));
  }
  std::cout << indented_json(json) << "\n";
  return Exit::done;
}

Exit run(const SimulateOptions& options) {
  if (!options.recording.empty() && options.count > 1)
    return tell_option("--recording", problem("is of one complaint", "--count 1"));
  if (options.sample_rate && options.recording.empty() && options.score_recordings == 0)
    return tell_option("--sample-rate",
                       problem("there is nothing to record", "--recording or --score-recordings"));
  const auto base = load_rules(rules_folder(options.common.rules));
  if (!base) return tell(base.error());
  const Simulator simulator(*base);
  if (!simulator.can_draw())
    return tell(problem("this rule base lacks what complaints are made of",
                        "faults in physics.yaml, and the facts of the vehicle"));
  const auto cause = asked_cause(simulator, options.cause);
  if (!cause) return tell_option("--cause", cause.error());
  if (options.score_recordings > 0)
    return score_recordings(simulator, options.seed,
                            static_cast<std::size_t>(options.score_recordings), options.sample_rate,
                            options.common);
  return options.score > 0 ? score_all(simulator, options, *cause)
                           : write_cases(simulator, options, *cause);
}

}  // namespace

void add_simulate_command(CLI::App& app, Action& chosen) {
  CLI::App* command = app.add_subcommand(
      "simulate", "Complaints made up from physics, with the truth, and how the ranking does");
  const auto options = std::make_shared<SimulateOptions>();
  command->add_option("--seed", options->seed, "the same seed gives the same complaints")
      ->check(whole_number())
      ->capture_default_str();
  CLI::Option* count = command->add_option("--count", options->count, "how many cases")
                           ->check(CLI::Range(1, 10000))
                           ->capture_default_str();
  command->add_option("--cause", options->cause, "of this cause; else as usual as each is");
  CLI::Option* out =
      command->add_option("--out", options->folder, "folder for a file each; else they are printed")
          ->type_name("FOLDER");
  CLI::Option* recording = command
                               ->add_option("--recording", options->recording,
                                            "write what a recorder on the body would here, as CSV")
                               ->type_name("FILE");
  CLI::Option* rate =
      command
          ->add_option("--sample-rate", options->sample_rate,
                       "of the recording, Hz: else 200, and 1000 with --score-recordings")
          ->check(number_from(20.0, 2000.0));
  CLI::Option* duration =
      command->add_option("--duration", options->style.duration, "of the recording, s")
          ->check(number_from(5.0, 600.0))
          ->capture_default_str();
  CLI::Option* score = command
                           ->add_option("--score", options->score,
                                        "diagnose so many, and tell how often it was right")
                           ->check(CLI::Range(1, 1000000));
  CLI::Option* recordings =
      command
          ->add_option("--score-recordings", options->score_recordings,
                       "analyse recordings of so many, and tell how often it was right")
          ->check(CLI::Range(1, 100000))
          ->excludes(score);
  for (CLI::Option* each : {score, recordings})
    for (CLI::Option* other : {count, out, recording, duration}) each->excludes(other);
  rate->excludes(score);
  duration->needs(recording);
  command->add_flag("--json", options->common.json, "print JSON; cases always are");
  add_rules_option(*command, options->common);
  command->footer(
      "Example: perrev simulate --seed 3 --recording drive.csv\n"
      "         perrev simulate --score 500");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
