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
  if (!file) {
    const bool is_there = std::filesystem::exists(path, failed);
    return in_file(
        problem(is_there ? "it cannot be read" : "no such file", "a recording, CSV or WAV"), path);
  }
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
    if (auto refused = into.finish_speed()) return {in_file(*refused, options.speed_path)};
  }
  if (auto refused = stream(options.path, [&](std::string_view bytes) { return into.take(bytes); }))
    return {*refused};
  return {};
}

Result<std::optional<ClockOffset>, Problems> search_clocks(const RecordingOptions& options,
                                                           const RecordingTerms& terms) {
  ClockSearch search(terms.reading, terms.speed_file);
  if (Problems refused = stream_both(options, search); !refused.empty()) return refused;
  auto found = search.finish();
  if (!found) return Problems{in_file(found.error(), options.path)};
  return std::move(found).value();
}

Problems option_problem(const char* word, Problem of) {
  of.place.pointer = std::string("/") + word;
  return {std::move(of)};
}

// "role=name" each.
Problems add_columns(ReadingWords& words, const std::vector<std::string>& texts,
                     const char* option) {
  for (const std::string& text : texts) {
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos)
      return option_problem(
          option, problem(perrev::quoted(text) + " names no column", "\"x=lateral acc\""));
    words.columns[text.substr(0, equals)] = text.substr(equals + 1);
  }
  return {};
}

}  // namespace

bool is_json(const std::string& path) {
  std::error_code failed;
  if (!std::filesystem::is_regular_file(path, failed)) return false;
  std::ifstream file(path);
  char first = 0;
  return file >> first && first == '{';
}

void add_recording_options(CLI::App& command, RecordingOptions& options) {
  RecordingWords& words = options.words;
  CLI::Option* speeds = command
                            .add_option("--speed-file", options.speed_path,
                                        "speeds recorded apart, the engine's too, with times of\n"
                                        "their own")
                            ->type_name("FILE");
  command.add_option("--offset", words.offset, "to add to those times, as \"-1.5 s\"")
      ->needs(speeds);
  command
      .add_option("--speed-file-column", options.speed_file_columns,
                  "which of its columns is what, as \"speed=v\"; again for more")
      ->needs(speeds)
      ->allow_extra_args(false);
  command
      .add_option("--speed-file-time-unit", words.speed_file.time_unit,
                  "where that file does not say")
      ->needs(speeds);
  command.add_option("--speed", words.speed, "the speed, where it was held and not recorded");
  command.add_option("--rpm", words.rpm, "engine speed, where it was held and not recorded");
  command.add_option("--by", words.by, "what showed the speed; default gps")
      ->check(CLI::IsMember({"gps", "speedometer"}));
  command.add_option("--acceleration-unit", words.reading.acceleration_unit,
                     "where the file does not say: g, m/s2, mg");
  command.add_option("--speed-unit", words.reading.speed_unit, "likewise: mph, km/h, m/s, kn");
  command.add_option("--time-unit", words.reading.time_unit, "likewise: s, ms, us, ns");
  command.add_option("--engine-unit", words.reading.engine_unit, "likewise: rpm, Hz");
  command
      .add_option("--column", options.columns,
                  "which column is what, as \"x=lateral acc\" or \"x=column 3\": time, x (ahead), "
                  "y (left), z (up), speed, engine; \"y=\" for none; again for more")
      ->allow_extra_args(false);
  command.add_option("--rows-per-second", words.reading.rows_per_second,
                     "Hz, where there is no column of time");
  command
      .add_option("--full-scale", words.reading.full_scale,
                  "of a WAV file, as \"2 g\"; again for each channel")
      ->allow_extra_args(false);
  command
      .add_option("--channels", words.reading.channels,
                  "of a WAV file: those ahead, left and up, as 1,2,3; 0: none")
      ->delimiter(',');
}

Result<Recorded, Problems> read_recording(const RecordingOptions& options,
                                          const WheelTerms& wheel) {
  RecordingWords words = options.words;
  if (Problems problems = add_columns(words.reading, options.columns, "column"); !problems.empty())
    return problems;
  if (Problems problems =
          add_columns(words.speed_file, options.speed_file_columns, "speed_file_column");
      !problems.empty())
    return problems;
  auto terms = terms_of(words);
  if (!terms) return terms.error();
  terms.value().wheel = wheel;
  terms.value().speed_file.speed_unit = terms.value().reading.speed_unit;
  std::optional<RecordingFinding> clocks;
  if (!options.speed_path.empty() && !terms.value().offset) {
    auto found = search_clocks(options, *terms);
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
    if (option.size() > 8 && option.substr(option.size() - 8) == "-columns") option.pop_back();
    tell_option(option, plain);
  }
  return Exit::bad_input;
}

}  // namespace perrev
