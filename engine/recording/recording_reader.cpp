#include "engine/recording/recording_reader.h"

#include <algorithm>
#include <utility>

#include "engine/recording/csv_reader.h"
#include "engine/recording/wav.h"

namespace perrev {

namespace {

constexpr std::size_t kSignature = 12;  // "RIFF", a size, "WAVE"

bool is_riff(std::string_view four) { return four == "RIFF" || four == "RF64" || four == "BW64"; }

std::optional<Problem> unreadable(std::string_view first) {
  const std::string_view four = first.substr(0, 4);
  const std::string_view mark = first.substr(0, 2);
  if (four == "RIFX") return problem("a WAV file of the kind RIFX is not read", "a RIFF WAV file");
  if (is_riff(four) && first.size() == kSignature && first.substr(8) != "WAVE")
    return problem("a RIFF file that is no WAV", "a WAV file or comma separated text");
  const bool wide = first.size() > 3 && first[0] != '\0' && first[1] == '\0' && first[3] == '\0';
  if (mark == "\xFF\xFE" || mark == "\xFE\xFF" || wide)
    return problem("text in UTF-16 is not read", "save it as UTF-8");
  return std::nullopt;
}

}  // namespace

struct RecordingReader::State {
  ReadingOptions options;
  SampleSink sink;
  FindingLog log;
  std::string first;  // bytes, until the format is known
  std::optional<CsvReader> csv;
  std::optional<WavReader> wav;
  std::optional<Problem> refused;

  std::optional<Problem> begin() {
    if (auto wrong = unreadable(first)) return wrong;
    if (first.size() == kSignature && is_riff(first.substr(0, 4)))
      wav.emplace(options, std::move(sink), log);
    else
      csv.emplace(options, std::move(sink), log);
    return pass(std::exchange(first, {}));
  }
  std::optional<Problem> pass(std::string_view bytes) {
    return wav ? wav->take(bytes) : csv->take(bytes);
  }
};

RecordingReader::RecordingReader(const ReadingOptions& options, SampleSink sink)
    : state_(std::make_unique<State>()) {
  state_->options = options;
  state_->sink = std::move(sink);
}

RecordingReader::~RecordingReader() = default;

std::optional<Problem> RecordingReader::take(std::string_view bytes) {
  State& state = *state_;
  if (state.refused) return state.refused;
  if (!state.csv && !state.wav) {
    const std::size_t more = std::min(bytes.size(), kSignature - state.first.size());
    state.first += bytes.substr(0, more);
    bytes.remove_prefix(more);
    if (state.first.size() < kSignature) return std::nullopt;
    state.refused = state.begin();
  }
  if (!state.refused) state.refused = state.pass(bytes);
  return state.refused;
}

std::optional<Problem> RecordingReader::finish() {
  State& state = *state_;
  if (!state.refused && !state.csv && !state.wav) state.refused = state.begin();
  if (!state.refused) state.refused = state.wav ? state.wav->finish() : state.csv->finish();
  return state.refused;
}

const std::vector<RecordedColumn>& RecordingReader::columns() const {
  static const std::vector<RecordedColumn> kNothing;
  return state_->csv ? state_->csv->columns() : state_->wav ? state_->wav->columns() : kNothing;
}

const std::vector<RecordingFinding>& RecordingReader::findings() const { return state_->log.all(); }

}  // namespace perrev
