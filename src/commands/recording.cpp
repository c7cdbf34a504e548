// `perrev recording`: what a recorder in the car wrote down, checked, held against the vehicle, put
// into the case.
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "src/answers/recording/recorded_answer.h"
#include "src/answers/recording/recorded_json.h"
#include "src/answers/recording/recorded_pictures.h"
#include "src/answers/recording/recorded_words.h"
#include "src/answers/recording/severity_words.h"
#include "src/commands/recording_files.h"
#include "src/commands/vehicle_options.h"
#include "src/files.h"
#include "src/rules.h"

namespace perrev {

namespace {

constexpr double kPictureWidth = 520.0;  // px
constexpr std::size_t kFirst = 4;        // vibrations that are said in a sentence

struct RecordingCommand {
  Common common;
  RecordingOptions recording;
  VehicleOptions vehicle;
  std::string case_path, after_path;
  std::string spectrum, map, tracks, shook = kAtTheRecorder;
};

Exit run_check(const RecordingCommand& command) {
  const auto recorded = read_recording(command.recording);
  if (!recorded) return tell_recording(recorded.error());
  if (command.common.json)
    std::cout << indented_json(reading_json(*recorded)) << "\n";
  else
    std::cout << reading_text(*recorded, command.common.units());
  return Exit::done;
}

// What a command knows beside the recording.
struct Known {
  std::optional<OpenCase> open;
  RecordedVehicle vehicle;
};

Result<Known, Problems> known_of(const RecordingCommand& command, const RuleBase& base) {
  auto open = open_if_given(command.case_path, base);
  if (!open) return open.error();
  Known out;
  out.open = std::move(open).value();
  out.vehicle = vehicle_in(base, out.open ? &*out.open : nullptr);
  return out;
}

Problems write_pictures(const RecordingCommand& command, const RecordedPictures& pictures) {
  struct Wanted {
    const char* option;
    const std::string *path, *svg;
  };
  for (const Wanted& wanted : {Wanted{"--spectrum", &command.spectrum, &pictures.spectrum},
                               Wanted{"--map", &command.map, &pictures.map},
                               Wanted{"--tracks", &command.tracks, &pictures.tracks}}) {
    if (wanted.path->empty()) continue;
    if (wanted.svg->empty())
      return {problem(std::string(wanted.option) + ": the recording has nothing to draw there",
                      "a recording with a speed, in which something stands out")};
    if (Problems problems = write_output(*wanted.path, *wanted.svg, {"<svg"}); !problems.empty())
      return problems;
  }
  return {};
}

// Of many vibrations the strongest; the table has them all.
std::vector<std::string> first_sentences(const Recorded& recorded, const RecordedLines& lines,
                                         const RecordedVehicle& vehicle, Units units) {
  std::vector<std::string> out = recorded_sentences(recorded, lines, vehicle, units);
  const auto at = [&](std::size_t i) { return out.begin() + static_cast<std::ptrdiff_t>(i); };
  if (lines.vibrations.size() > kFirst) out.erase(at(kFirst), at(lines.vibrations.size()));
  return out;
}

std::string orders_text(const Recorded& recorded, const RecordedLines& lines,
                        const RecordedVehicle& vehicle, Units units) {
  std::string out = reading_text(recorded, units) + "\n";
  for (const std::string& sentence : first_sentences(recorded, lines, vehicle, units))
    out += wrapped(sentence, 0, 2);
  if (!lines.vibrations.empty()) out += "\n" + vibrations_text(lines, units);
  out += "\n";
  for (const std::string& sentence : severity_sentences(recorded.analysis.severity, kAtTheRecorder))
    out += wrapped(sentence, 0, 2);
  for (const std::string& caution : recording_cautions())
    out += wrapped("Caution: " + caution, 0, 2);
  return out;
}

Exit run_orders(const RecordingCommand& command) {
  OptionReader reader;
  const VehicleFacts typed = vehicle_from(command.vehicle, reader);
  if (reader.failed()) return reader.tell();
  const auto base = load_rules(rules_folder(command.common.rules));
  if (!base) return tell(base.error());
  auto known = known_of(command, *base);
  if (!known) return tell(known.error());
  RecordedVehicle& vehicle = known.value().vehicle;
  if (command.case_path.empty()) vehicle.facts = typed;
  const auto recorded = read_recording(command.recording, wheel_of(*base, vehicle));
  if (!recorded) return tell_recording(recorded.error());
  const RecordedLines lines = lines_of(*base, *recorded, vehicle);
  const Units units = command.common.units();
  const Problems problems =
      write_pictures(command, pictures_of(*recorded, lines, vehicle, units, kPictureWidth));
  if (!problems.empty()) return tell(problems);
  if (!command.common.json) {
    std::cout << orders_text(*recorded, lines, vehicle, units);
    return Exit::done;
  }
  nlohmann::ordered_json json =
      recorded_answer(*base, *recorded, vehicle,
                      known.value().open ? &*known.value().open : nullptr, units, kPictureWidth);
  json.erase("svg");
  std::cout << indented_json(json) << "\n";
  return Exit::done;
}

void print(const std::vector<std::string>& sentences) {
  for (const std::string& sentence : sentences) std::cout << wrapped(sentence, 0, 2);
}

Entry entry_of(const RecordedEntry& made, const std::string& at) {
  Entry out;
  out.at = at;
  out.by = Asker::road;
  out.fact = made.fact;
  out.values = made.values;
  out.is_list = made.values.size() > 1;
  out.unsure = made.values.empty();
  out.with = made.with;
  return out;
}

Exit run_add(const RecordingCommand& command) {
  const auto base = load_rules(rules_folder(command.common.rules));
  if (!base) return tell(base.error());
  auto known = known_of(command, *base);
  if (!known) return tell(known.error());
  OpenCase& open = *known.value().open;
  const RecordedVehicle& vehicle = known.value().vehicle;
  const auto recorded = read_recording(command.recording, wheel_of(*base, vehicle));
  if (!recorded) return tell_recording(recorded.error());
  const RecordedLines lines = lines_of(*base, *recorded, vehicle);
  std::vector<RecordedEntry> entries = recorded_entries(*base, open.facts, *recorded, lines);
  std::erase_if(entries,
                [&](const RecordedEntry& made) { return says_already(*base, open.facts, made); });
  const std::string at = next_moment(open.file);
  for (const RecordedEntry& made : entries) open.file.add(entry_of(made, at));
  if (auto read = read_case(command.case_path, open.file.text(), *base); !read)
    return tell(read.error());
  if (const Problems problems = write_file(link_target(command.case_path), open.file.text());
      !problems.empty())
    return tell(problems);
  if (command.common.json) {
    std::cout << indented_json({{"case", command.case_path}, {"entries", to_json(entries)}})
              << "\n";
    return Exit::done;
  }
  print(first_sentences(*recorded, lines, vehicle, command.common.units()));
  std::cout << "\n"
            << (entries.empty() ? "Nothing to add: the case says so already\n"
                                : "Added to " + command.case_path + "\n");
  for (const RecordedEntry& made : entries) std::cout << wrapped(entry_text(made), 2, 4);
  return Exit::done;
}

Exit tell_change(const RecordingCommand& command, const Severity& before, const Severity& after) {
  const auto change = change_between(before, after);
  if (command.common.json)
    std::cout << indented_json({{"before", severity_json(before)},
                                {"after", severity_json(after)},
                                {"change", change ? change_json(*change) : nullptr}})
              << "\n";
  else if (change)
    print(change_sentences(*change, command.shook, command.common.units()));
  else
    return tell(problem("the two cannot be compared", "recordings of more than a few seconds"));
  return Exit::done;
}

Exit run_severity(const RecordingCommand& command) {
  const auto before = read_recording(command.recording);
  if (!before) return tell_recording(before.error());
  const Severity& first = before.value().analysis.severity;
  if (!command.after_path.empty()) {
    RecordingOptions second = command.recording;
    second.path = command.after_path;
    const auto after = read_recording(second);
    if (!after) return tell_recording(after.error());
    return tell_change(command, first, after.value().analysis.severity);
  }
  if (command.common.json)
    std::cout << indented_json(severity_json(first)) << "\n";
  else
    print(severity_sentences(first, command.shook));
  return Exit::done;
}

struct RecordingPart {
  CLI::App* app;
  std::shared_ptr<RecordingCommand> options;
};

RecordingPart add_part(CLI::App& recording, const char* name, const char* what, Action& chosen,
                       Exit (*run)(const RecordingCommand&)) {
  CLI::App* app = recording.add_subcommand(name, what);
  const auto options = std::make_shared<RecordingCommand>();
  app->add_option("FILE", options->recording.path, "the recording, CSV or WAV")
      ->type_name("FILE")
      ->required();
  app->callback([&chosen, options, run] { chosen = [options, run] { return run(*options); }; });
  return {app, options};
}

void finish_part(const RecordingPart& part) {
  add_recording_options(*part.app, part.options->recording);
  add_units_and_json(*part.app, part.options->common);
}

}  // namespace

void add_recording_command(CLI::App& app, Action& chosen) {
  CLI::App* recording = app.add_subcommand(
      "recording", "Vibrations that a phone or a logger recorded, and what turns so fast");
  recording->require_subcommand(1);
  finish_part(add_part(*recording, "check", "What the file holds, and what is wrong with it",
                       chosen, run_check));
  const RecordingPart orders =
      add_part(*recording, "orders", "What stands out, and which part of the vehicle turns so fast",
               chosen, run_orders);
  CLI::Option* of_case =
      orders.app->add_option("--vehicle", orders.options->case_path, "a case of that vehicle")
          ->type_name("FILE");
  // With a case everything about the vehicle is the case's.
  const std::size_t before = orders.app->get_options().size();
  add_vehicle_options(*orders.app, orders.options->vehicle);
  const std::vector<CLI::Option*> options = orders.app->get_options();
  for (std::size_t i = before; i < options.size(); ++i) of_case->excludes(options[i]);
  orders.app->add_option("--spectrum", orders.options->spectrum, "the SVG file for the spectrum")
      ->type_name("FILE");
  orders.app->add_option("--map", orders.options->map, "the SVG file for speed against frequency")
      ->type_name("FILE");
  orders.app
      ->add_option("--tracks", orders.options->tracks, "the SVG file for the strength over speed")
      ->type_name("FILE");
  add_rules_option(*orders.app, orders.options->common);
  finish_part(orders);
  const RecordingPart add =
      add_part(*recording, "add", "Puts into a case what stands out", chosen, run_add);
  add.app->add_option("CASE", add.options->case_path, "the case")->type_name("FILE")->required();
  add_rules_option(*add.app, add.options->common);
  finish_part(add);
  const RecordingPart severity =
      add_part(*recording, "severity", "How severe it is for people, before and after a repair",
               chosen, run_severity);
  severity.app->add_option("AFTER", severity.options->after_path, "recorded after the repair")
      ->type_name("FILE");
  severity.app->add_option("--shook", severity.options->shook,
                           "what shook where, as \"Shake on the seat\"");
  finish_part(severity);
  recording->footer(
      "Example: perrev recording orders drive.csv --tire 225/60R16 --axle-ratio 3.42\n"
      "         perrev recording add drive.csv case.json");
}

}  // namespace perrev
