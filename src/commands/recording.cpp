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
  std::string case_path;
  struct {
    std::string path, speed_path, offset, speed;
  } after;  // severity's second recording; all else is as with the first
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
  std::optional<CaseFromFile> open;
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
  if (is_json(command.recording.path))
    return tell(Problem{{command.recording.path, 0, 0, {}},
                        "this is no recording; it looks like a case",
                        "the recording first, then the case: perrev recording add drive.csv "
                        "my-case.json",
                        {}});
  const auto base = load_rules(rules_folder(command.common.rules));
  if (!base) return tell(base.error());
  auto known = known_of(command, *base);
  if (!known) return tell(known.error());
  const CaseFromFile& open = *known.value().open;
  const RecordedVehicle& vehicle = known.value().vehicle;
  const auto recorded = read_recording(command.recording, wheel_of(*base, vehicle));
  if (!recorded) return tell_recording(recorded.error());
  const RecordedLines lines = lines_of(*base, *recorded, vehicle);
  std::vector<RecordedEntry> entries = recorded_entries(*base, open.facts, *recorded, lines);
  std::erase_if(entries,
                [&](const RecordedEntry& made) { return says_already(*base, open.facts, made); });
  CaseFile longer = open.file;
  const std::string at = next_moment(longer);
  for (const RecordedEntry& made : entries) longer.add(entry_of(made, at));
  if (!entries.empty())
    if (const Problems problems = write_longer(command.case_path, open, longer, *base);
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
  if (!command.after.path.empty() &&
      command.recording.speed_path.empty() != command.after.speed_path.empty())
    return tell(problem("one of the two recordings has a file of speeds, the other has none",
                        "both --speed-file and --after-speed-file, or neither"));
  const auto before = read_recording(command.recording);
  if (!before) return tell_recording(before.error());
  const Severity& first = before.value().analysis.severity;
  if (!command.after.path.empty()) {
    RecordingOptions second = command.recording;
    second.path = command.after.path;
    second.speed_path = command.after.speed_path;
    second.words.offset = command.after.offset;
    if (!command.after.speed.empty()) second.words.speed = command.after.speed;
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

// `example`: what stands behind `perrev recording`.
RecordingPart add_part(CLI::App& recording, const char* name, const char* what,
                       const std::string& example, Action& chosen,
                       Exit (*run)(const RecordingCommand&)) {
  CLI::App* app = recording.add_subcommand(name, what);
  const auto options = std::make_shared<RecordingCommand>();
  app->add_option("FILE", options->recording.path, "the recording, CSV or WAV")
      ->type_name("FILE")
      ->required();
  app->footer("Example: perrev recording " + example);
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
                       "check drive.csv --speed \"62 mph\"", chosen, run_check));
  const RecordingPart orders =
      add_part(*recording, "orders", "What stands out, and which part of the vehicle turns so fast",
               "orders drive.csv --tire 225/60R16 --axle-ratio 3.42 --spectrum spectrum.svg",
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
  const RecordingPart add = add_part(*recording, "add", "Puts into a case what stands out",
                                     "add drive.csv my-case.json", chosen, run_add);
  add.app->add_option("CASE", add.options->case_path, "the case file it is added to")
      ->type_name("FILE")
      ->required();
  add_rules_option(*add.app, add.options->common);
  finish_part(add);
  const RecordingPart severity =
      add_part(*recording, "severity", "How severe it is for people, before and after a repair",
               "severity before.csv after.csv --shook \"Shake on the seat\"", chosen, run_severity);
  auto& second = severity.options->after;
  CLI::Option* after =
      severity.app
          ->add_option("AFTER", second.path,
                       "recorded after the repair: with the same columns and units")
          ->type_name("FILE");
  CLI::Option* speeds =
      severity.app->add_option("--after-speed-file", second.speed_path, "--speed-file of AFTER")
          ->type_name("FILE")
          ->needs(after);
  severity.app->add_option("--after-offset", second.offset, "--offset of AFTER")->needs(speeds);
  severity.app
      ->add_option("--after-speed", second.speed, "--speed of AFTER; default: that of the first")
      ->needs(after);
  severity.app->add_option("--shook", severity.options->shook,
                           "what shook where, as \"Shake on the seat\"");
  finish_part(severity);
  recording->footer(
      "Example: perrev recording orders drive.csv --tire 225/60R16 --axle-ratio 3.42\n"
      "         perrev recording add drive.csv case.json");
}

}  // namespace perrev
