#include "engine/recording/timeline.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "engine/quantity/quantity.h"
#include "engine/recording/clock_plan.h"
#include "engine/recording/even_blocks.h"
#include "engine/recording/first_rows.h"
#include "engine/recording/row_clock.h"
#include "engine/recording/sensor_watch.h"

namespace perrev {

namespace {

constexpr std::size_t kFirstRows = 4096;
constexpr double kNothing = std::numeric_limits<double>::quiet_NaN();
constexpr double kMostAcceleration = 5e3;  // m/s2, 500 g: what is more is no value
constexpr double kTooShort = 4.0;          // s, what a spectrum takes
constexpr std::size_t kWaiting = 16'384;   // even samples, before they are looked through

std::string figure(double value) { return show_rounded(value, Dimension::count, Units::metric); }

}  // namespace

struct Timeline::State {
  TimelineOptions options;
  EvenSink sink;
  FindingLog log;
  std::optional<Problem> refused;

  std::vector<RecordedRow> first;  // until the clock is known
  bool begun = false, has_speed = false, has_engine = false;
  std::array<bool, kAxes> has_axis{};
  std::vector<std::size_t> axes;
  BesideThem speed, engine;
  std::deque<Stretch> stretches;
  std::optional<RowClock> clock;
  std::optional<EvenGrid> grid;
  std::optional<SensorWatch> watch;
  std::optional<EvenBlocks> blocks;
  std::optional<RecordedRow> suspect;  // opens a gap, or is a slip of the clock
  double step = 0.0;
  std::size_t lost = 0;  // rows in pieces too short

  void begin(const Samples& samples);
  std::optional<Problem> check(const Samples& samples);
  std::optional<Problem> take_row(const RecordedRow& row);
  std::optional<Problem> start();
  void add(const RecordedRow& row);
  void place(const RecordedRow& row);
  void take_beside(const RecordedRow& row);
  std::optional<Problem> apart_from_speeds() const;
  void tell_rest();
  RecordedRow row_of(const Samples& samples, std::size_t i);
  double plausible(double acceleration, std::size_t line);
};

Timeline::Timeline(const TimelineOptions& options, EvenSink sink)
    : state_(std::make_unique<State>()) {
  State& s = *state_;
  s.options = options;
  s.sink = std::move(sink);
  s.speed.constant = options.constant_speed;
  s.engine.constant = options.constant_engine_hz;
  if (s.speed.constant <= 0.0 && options.speed)
    s.speed.trace = options.speed->shifted(options.offset);
  if (s.engine.constant <= 0.0 && options.engine)
    s.engine.trace = options.engine->shifted(options.offset);
  if (s.speed.constant > 0.0 && options.speed)
    s.log.tell("speed_apart_unused",
               "The speeds recorded apart are not used: one was given for all.");
  if (s.engine.constant > 0.0 && options.engine)
    s.log.tell("engine_apart_unused",
               "The engine speeds recorded apart are not used: one was given for all.");
}

Timeline::~Timeline() = default;

double Timeline::rate() const { return state_->step > 0.0 ? 1.0 / state_->step : 0.0; }
const std::vector<RecordingFinding>& Timeline::findings() const { return state_->log.all(); }

// Which columns the recording has stays the same all along.
void Timeline::State::begin(const Samples& samples) {
  for (std::size_t a = 0; a < kAxes; ++a) has_axis[a] = !samples.acceleration[a].empty();
  has_speed = !samples.speed.empty();
  has_engine = !samples.engine_hz.empty();
  if (has_speed && speed.there()) {
    log.tell("speed_by_hand", "The speed of the file is not used: another one was given.");
    has_speed = false;
  }
  if (has_engine && engine.there()) {
    log.tell("engine_by_hand", "The engine speed of the file is not used: another one was given.");
    has_engine = false;
  }
  if (has_speed) speed.trace.emplace();
  if (has_engine) engine.trace.emplace();
}

double Timeline::State::plausible(double acceleration, std::size_t line) {
  if (std::fabs(acceleration) <= kMostAcceleration) return acceleration;
  if (std::isfinite(acceleration))
    log.mend("impossible",
             "An acceleration of " + figure(acceleration) +
                 " m/s2, which is more than any ride has, is left out.",
             line);
  return kNothing;
}

RecordedRow Timeline::State::row_of(const Samples& samples, std::size_t i) {
  RecordedRow row;
  row.line = samples.first_line == 0 ? 0 : samples.first_line + i;
  row.time = samples.time[i];
  for (std::size_t a = 0; a < kAxes; ++a)
    if (has_axis[a]) row.value[a] = plausible(samples.acceleration[a][i], row.line);
  if (has_speed) row.speed = samples.speed[i];
  if (has_engine) row.engine = samples.engine_hz[i];
  return row;
}

std::optional<Problem> Timeline::take(const Samples& samples) {
  State& s = *state_;
  if (s.refused || samples.size() == 0) return s.refused;
  if (!std::exchange(s.begun, true)) s.begin(samples);
  for (std::size_t i = 0; i < samples.size() && !s.refused; ++i) {
    RecordedRow row = s.row_of(samples, i);
    if (!std::isfinite(row.time)) continue;  // no row; whoever read it has told
    if (s.has_speed && !s.refused) s.refused = implausible_speed(row.speed, row.line);
    if (s.has_engine && !s.refused) s.refused = implausible_engine(row.engine, row.line);
    if (!s.refused) s.refused = s.take_row(row);
    if (s.blocks && !s.stretches.empty() && s.stretches.back().size > kWaiting)
      s.blocks->drain(s.stretches, s.speed, s.engine);
  }
  if (s.blocks && !s.refused) s.blocks->drain(s.stretches, s.speed, s.engine);
  return s.refused;
}

std::optional<Problem> Timeline::State::take_row(const RecordedRow& row) {
  if (!clock) {
    first.push_back(row);
    return first.size() == kFirstRows ? start() : std::nullopt;
  }
  add(row);
  return std::nullopt;
}

std::optional<Problem> Timeline::State::start() {
  const auto plan = plan_rows(first, has_axis, log);
  if (!plan) return plan.error();
  axes = plan->axes;
  step = plan->clock.step;
  clock.emplace(plan->clock, log);
  grid.emplace(step, axes, stretches);
  watch.emplace(axes, log);
  blocks.emplace(step, axes, sink);
  for (const RecordedRow& row : std::exchange(first, {})) add(row);
  return std::nullopt;
}

void Timeline::State::add(const RecordedRow& row) {
  if (suspect) {
    const RecordedRow held = *suspect;
    suspect.reset();
    const bool slip = row.time < held.time && row.time > clock->last_stamp();
    if (slip)
      clock->slipped(held.line);
    else
      place(held);
  }
  if (!row.is_whole(axes)) {
    take_beside(row);
    return log.mend("missing_values", "A row without a value of every axis is left out.", row.line);
  }
  if (clock->jumps(row.time))
    suspect = row;
  else
    place(row);
}

// A row without accelerations: its time counts as those of the rows around it do.
void Timeline::State::take_beside(const RecordedRow& row) {
  const auto time = clock->between(row.time);
  if (!time) return;
  if (has_speed) speed.trace->take(*time, row.speed);
  if (has_engine) engine.trace->take(*time, row.engine);
}

void Timeline::State::place(const RecordedRow& row) {
  const RowClock::Verdict verdict = clock->place(row.time, row.line);
  if (verdict == RowClock::Verdict::left_out) return;
  if (verdict == RowClock::Verdict::after_gap) lost += grid->close();
  if (!grid->add(clock->time(), row.value)) {
    ++lost;
    return;
  }
  watch->take(clock->time(), row.value, row.line);
  if (has_speed) speed.trace->take(clock->time(), row.speed);
  if (has_engine) engine.trace->take(clock->time(), row.engine);
}

// Once its clock was set back nobody knows where a speed recorded apart belongs.
std::optional<Problem> Timeline::State::apart_from_speeds() const {
  if (!(speed.trace && !has_speed) && !(engine.trace && !has_engine)) return std::nullopt;
  for (const RecordingFinding& each : log.all())
    if (each.id == "clock_set_back") {
      Problem out = problem("the clock goes back, so what follows has no speed recorded apart",
                            "two recordings, cut here, each with its offset");
      out.place.line = static_cast<int>(each.line);
      return out;
    }
  return std::nullopt;
}

void Timeline::State::tell_rest() {
  if (lost > 0)
    log.mend(
        "short_piece",
        std::to_string(lost) +
            " rows between gaps are too few to be put on even steps, or overlap what was before, "
            "and are left out.");
  if (blocks->missing_speed() > 0.0)
    log.mend("no_speed", "For " + figure(blocks->missing_speed()) +
                             " s the speed is missing; they are left out.");
  if (blocks->samples() > 0 && blocks->longest_piece() < kTooShort)
    log.tell("too_short", "Its longest piece without a gap has " +
                              in_seconds(blocks->longest_piece()) +
                              ", too short for anything to stand out: record 30 s or more.");
  if (blocks->samples() > 0 && speed.there() && blocks->highest_speed() == 0.0)
    log.tell("no_drive", "The speed is 0 all along.");
  if (blocks->samples() > 0 && engine.there() && blocks->highest_engine() == 0.0)
    log.tell("engine_off", "The engine's speed is 0 all along: it was off, or nothing read it.");
  if (blocks->missing_engine() > 0.0)
    log.mend("no_engine", "For " + figure(blocks->missing_engine()) +
                              " s the engine speed is missing; they are left out.");
}

std::optional<Problem> Timeline::finish() {
  State& s = *state_;
  if (s.refused) return s.refused;
  if (!s.clock) {
    if (s.first.empty())
      s.refused = problem("there is no row with a time in it", "some seconds of a drive");
    else
      s.refused = s.start();
    if (s.refused) return s.refused;
  }
  if (s.suspect) s.place(*std::exchange(s.suspect, std::nullopt));
  s.lost += s.grid->close();
  if (s.has_speed) s.speed.trace->close();
  if (s.has_engine) s.engine.trace->close();
  s.blocks->drain(s.stretches, s.speed, s.engine);
  s.refused = s.clock->finish();
  if (!s.refused) s.refused = s.apart_from_speeds();
  if (!s.refused) s.refused = s.watch->finish();
  if (s.refused) return s.refused;
  s.tell_rest();
  if (s.blocks->samples() > 0) return std::nullopt;
  s.refused =
      s.blocks->missing_speed() > 0.0
          ? problem("no moment has both an acceleration and a speed",
                    "a speed at the time of the accelerations, one given by hand, or none")
          : problem("no piece of it is long enough to be used", "some seconds without gaps");
  return s.refused;
}

}  // namespace perrev
