#include "src/answers/recording/recording_run.h"

#include <algorithm>
#include <utility>

#include "engine/quantity/text.h"
#include "engine/recording/recording_reader.h"
#include "engine/recording/timeline.h"

namespace perrev {

struct RecordingRun::State {
  explicit State(const RecordingTerms& of)
      : terms(of), analyser(analysis_terms(of)), reader(of.reading, [this](const Samples& rows) {
          Timeline& timeline = this->timeline();
          if (!refused) refused = timeline.take(rows);
        }) {}

  static AnalysisTerms analysis_terms(const RecordingTerms& terms) {
    AnalysisTerms out;
    out.wheel_turns_per_metre = terms.wheel.turns_per_metre;
    out.lowest_wheel_order = terms.wheel.lowest_order;
    return out;
  }
  void finish_speed() {
    if (!speeds || std::exchange(speed_ended, true) || refused) return;
    auto wrong = speeds->finish();  // hands on its last rows, which may be refused too
    if (!refused) refused = std::move(wrong);
    if (!refused && (speed.any() || !engine.any())) refused = speed.finish();
    if (!refused && engine.any()) refused = engine.finish();
  }
  // Speeds have to be there before the first row is put beside them.
  Timeline& timeline() {
    if (!even) {
      finish_speed();
      TimelineOptions options;
      options.constant_speed = terms.speed.value_or(0.0);
      options.constant_engine_hz = terms.engine_hz.value_or(0.0);
      options.offset = terms.offset.value_or(0.0);
      if (speed.any()) options.speed = &speed;
      if (engine.any()) options.engine = &engine;
      even.emplace(options, [this](const EvenBlock& block) {
        seconds += static_cast<double>(block.size()) / block.rate;
        analyser.take(block);
      });
    }
    return *even;
  }
  std::optional<Problem> told(const std::optional<Problem>& problem) const {
    return problem ? problem : refused;
  }

  RecordingTerms terms;
  SlowTrace speed{SlowTrace::Of::speed}, engine{SlowTrace::Of::engine};
  std::optional<RecordingReader> speeds;
  bool speed_ended = false;
  FileBeginning beginning, speed_beginning;
  Analyser analyser;
  std::optional<Timeline> even;
  RecordingReader reader;
  std::optional<Problem> refused;
  std::vector<RecordingFinding> told_first;
  double seconds = 0.0;
};

namespace {

bool by_satellite(const std::vector<RecordedColumn>& columns) {
  return std::any_of(columns.begin(), columns.end(), [](const RecordedColumn& column) {
    return column.role == Role::speed && lower_case(column.name).find("gps") != std::string::npos;
  });
}

void add_findings(std::vector<RecordingFinding>& to, const std::vector<RecordingFinding>& from,
                  const std::string& whose = "") {
  for (const RecordingFinding& each : from) {
    to.push_back(each);
    to.back().what = whose + each.what;
  }
}

}  // namespace

RecordingRun::RecordingRun(const RecordingTerms& terms) : state_(std::make_unique<State>(terms)) {}

RecordingRun::~RecordingRun() = default;

std::optional<Problem> RecordingRun::take_speed(std::string_view bytes) {
  State& state = *state_;
  if (!state.speeds)
    state.speeds.emplace(state.terms.speed_file, [&state](const Samples& rows) {
      if (!state.refused) state.refused = state.speed.take(rows);
      if (!state.refused) state.refused = state.engine.take(rows);
    });
  state.speed_beginning.take(bytes);
  return state.told(state.speeds->take(bytes));
}

std::optional<Problem> RecordingRun::finish_speed() {
  state_->finish_speed();
  return state_->refused;
}

std::optional<Problem> RecordingRun::take(std::string_view bytes) {
  state_->beginning.take(bytes);
  return state_->told(state_->reader.take(bytes));
}

void RecordingRun::tell(RecordingFinding finding) {
  state_->told_first.push_back(std::move(finding));
}

double RecordingRun::seconds() const { return state_->seconds; }

std::vector<FileColumn> RecordingRun::file_columns() const {
  return state_->beginning.columns(state_->terms.reading);
}

std::vector<FileColumn> RecordingRun::speed_file_columns() const {
  return state_->speed_beginning.columns(state_->terms.speed_file);
}

Result<Recorded> RecordingRun::finish() {
  State& state = *state_;
  if (auto problem = state.told(state.reader.finish())) return *problem;
  Timeline& timeline = state.timeline();
  if (auto problem = state.told(timeline.finish())) return *problem;
  Recorded out;
  out.columns = state.reader.columns();
  out.file_columns = file_columns();
  if (state.speeds) {
    out.speed_columns = state.speeds->columns();
    out.speed_file_columns = speed_file_columns();
  }
  out.findings = state.told_first;
  add_findings(out.findings, state.reader.findings());
  if (state.speeds) {
    const std::string whose = "File of speeds: ";
    add_findings(out.findings, state.speeds->findings(), whose);
    add_findings(out.findings, state.speed.findings(), whose);
    if (!state.speed.any()) add_findings(out.findings, state.engine.findings(), whose);
    if (state.engine.any() && !state.terms.engine_hz)
      out.findings.push_back({RecordingFinding::Kind::told, "engine_apart",
                              "The engine's speed is that of the file of speeds."});
  }
  add_findings(out.findings, timeline.findings());
  out.analysis = state.analyser.finish();
  out.by = state.terms.by;
  if (out.by == SpeedSource::unknown && out.analysis.metres > 0.0) {
    out.by = SpeedSource::gps;
    if (!by_satellite(state.speeds ? out.speed_columns : out.columns))
      out.findings.push_back({RecordingFinding::Kind::told, "speed_source",
                              "The speed is taken for satellite speed; a dash reads high, so say "
                              "where it is the dash's."});
  }
  return out;
}

}  // namespace perrev
