#include "src/commands/recording_files.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <functional>

#include "engine/quantity/text.h"
#include "src/answers/recording/clock_search.h"
#include "src/progress_bar.h"

namespace perrev {

namespace {

constexpr std::size_t kChunk = 1u << 20;

using Taker = std::function<std::optional<Problem>(std::string_view)>;

Problem in_file(Problem of, const std::string& path) {
  of.place.file = path;
  return of;
}

// Hands on a file's bytes a chunk at a time.
std::optional<Problem> stream(const std::string& path, const Taker& take) {
  std::error_code failed;
  if (std::filesystem::is_directory(path, failed))
    return in_file(problem("it is a folder", "a recording, CSV or WAV"), path);
  std::ifstream file(path, std::ios::binary);
  if (!file) return in_file(problem("it cannot be read", "a recording, CSV or WAV"), path);
  const std::uintmax_t size = std::filesystem::file_size(path, failed);
  ProgressBar bar("MB read", failed ? 1 : static_cast<std::size_t>(size / kChunk) + 1);
  std::string chunk(kChunk, '\0');
  while (file) {
    file.read(chunk.data(), static_cast<std::streamsize>(chunk.size()));
    const std::size_t got = static_cast<std::size_t>(file.gcount());
    if (const auto refused = take(std::string_view(chunk).substr(0, got)))
      return in_file(*refused, path);
    bar.step();
  }
  if (file.bad()) return in_file(problem("it cannot be read to its end"), path);
  return std::nullopt;
}

// The file of speeds, where there is one, then the recording.
template <class Into>
Problems stream_both(const RecordingOptions& options, Into& into) {
  if (!options.speed_path.empty()) {
    if (auto refused = stream(options.speed_path,
                              [&](std::string_view bytes) { return into.take_speed(bytes); }))
      return {*refused};
    if (auto refused = into.end_speed()) return {in_file(*refused, options.speed_path)};
  }
  if (auto refused = stream(options.path, [&](std::string_view bytes) { return into.take(bytes); }))
    return {*refused};
  return {};
}

Result<std::optional<ClockOffset>, Problems> search_clocks(const RecordingOptions& options,
                                                           const ReadingOptions& reading) {
  ClockSearch search(reading);
  if (Problems refused = stream_both(options, search); !refused.empty()) return refused;
  auto found = search.finish();
  if (!found) return Problems{in_file(found.error(), options.path)};
  return std::move(found).value();
}

// "role=name" into the words; false where there is no "=".
bool add_column(RecordingWords& words, const std::string& text) {
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos) return false;
  words.columns[text.substr(0, equals)] = text.substr(equals + 1);
  return true;
}

Problems option_problem(const char* word, Problem of) {
  of.place.pointer = std::string("/") + word;
  return {std::move(of)};
}

}  // namespace

void add_recording_options(CLI::App& command, RecordingOptions& options) {
  RecordingWords& words = options.words;
  CLI::Option* speeds = command
                            .add_option("--speed-file", options.speed_path,
                                        "speeds recorded apart, the engine's too, with times of\n"
                                        "their own")
                            ->type_name("FILE");
  command.add_option("--offset", words.offset, "to add to those times, as \"-1.5 s\"")
      ->needs(speeds);
  command.add_option("--speed", words.speed, "the speed, where it was held and not recorded");
  command.add_option("--rpm", words.rpm, "engine speed, where it was held and not recorded");
  command.add_option("--by", words.by, "what showed the speed; default gps")
      ->check(CLI::IsMember({"gps", "speedometer"}));
  command.add_option("--acceleration-unit", words.acceleration_unit,
                     "where the file does not say: g, m/s2, mg");
  command.add_option("--speed-unit", words.speed_unit, "likewise: mph, km/h, m/s, kn");
  command.add_option("--time-unit", words.time_unit, "likewise: s, ms, us, ns");
  command.add_option("--engine-unit", words.engine_unit, "likewise: rpm, Hz");
  command
      .add_option("--column", options.columns,
                  "which column is what, as \"x=lateral acc\": time, x (ahead),\n"
                  "y (left), z (up), speed, engine; \"y=\" for none; again for more")
      ->allow_extra_args(false);
  command.add_option("--rows-per-second", words.rows_per_second,
                     "Hz, where there is no column of time");
  command
      .add_option("--full-scale", words.full_scale,
                  "of a WAV file, as \"2 g\"; again for each channel")
      ->allow_extra_args(false);
  command
      .add_option("--channels", words.channels,
                  "of a WAV file: those ahead, left and up, as 1,2,3; 0: none")
      ->delimiter(',');
}

Result<Recorded, Problems> read_recording(const RecordingOptions& options,
                                          const WheelTerms& wheel) {
  RecordingWords words = options.words;
  for (const std::string& column : options.columns)
    if (!add_column(words, column))
      return option_problem(
          "column", problem(perrev::quoted(column) + " names no column", "\"x=lateral acc\""));
  auto terms = terms_of(words);
  if (!terms) return terms.error();
  terms.value().wheel = wheel;
  std::optional<RecordingFinding> clocks;
  if (!options.speed_path.empty() && !terms.value().offset) {
    auto found = search_clocks(options, terms.value().reading);
    if (!found) return found.error();
    clocks = clock_finding(*found);
    terms.value().offset = *found ? (**found).seconds : 0.0;
  }
  RecordingRun run(*terms);
  if (clocks) run.tell(*clocks);
  if (Problems refused = stream_both(options, run); !refused.empty()) return refused;
  auto recorded = run.finish();
  if (!recorded) return Problems{in_file(recorded.error(), options.path)};
  return std::move(recorded).value();
}

Exit tell_recording(const Problems& problems) {
  for (const Problem& problem : problems) {
    if (problem.place.pointer.empty()) {
      tell(problem);
      continue;
    }
    Problem plain = problem;
    plain.place = {};
    std::string option = "--" + problem.place.pointer.substr(1);
    std::replace(option.begin(), option.end(), '_', '-');
    if (option == "--columns") option = "--column";
    tell_option(option, plain);
  }
  return Exit::bad_input;
}

}  // namespace perrev
