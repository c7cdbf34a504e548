#include "engine/recording/sensor_watch.h"

#include <algorithm>
#include <string>

#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

constexpr std::size_t kRun = 3, kRuns = 5;
constexpr double kFewSteps = 16.0, kMostClipped = 0.05, kStill = 2.0;
constexpr std::array<std::string_view, kAxes> kAxisNames = {"x", "y", "z"};

std::string plainly(double value) { return show_rounded(value, Dimension::count, Units::metric); }

}  // namespace

void SensorWatch::End::take(double at, std::size_t run, std::size_t line) {
  if (run < kRun || at != value) return;
  if (runs++ == 0) first_line = line;
  samples += run;
}

void SensorWatch::close_run(Axis& axis) {
  axis.high.take(axis.last, axis.run, axis.run_line);
  axis.low.take(axis.last, axis.run, axis.run_line);
}

void SensorWatch::take(double time, const std::array<double, kAxes>& value, std::size_t line) {
  bool changes = samples_ == 0;
  if (changes) last_time_ = changed_ = time;
  for (const std::size_t a : axes_) {
    Axis& axis = state_[a];
    const double now = value[a];
    if (samples_ > 0 && now == axis.last) {
      ++axis.run;
      continue;
    }
    changes = true;
    if (axis.run >= kRun) close_run(axis);
    if (samples_ == 0) {
      axis.high.value = axis.low.value = now;
    } else {
      const double step = now > axis.last ? now - axis.last : axis.last - now;
      if (axis.smallest_step == 0.0 || step < axis.smallest_step) axis.smallest_step = step;
    }
    if (now > axis.high.value) axis.high = {now, 0, 0, 0};
    if (now < axis.low.value) axis.low = {now, 0, 0, 0};
    axis.last = now;
    axis.run = 1;
    axis.run_line = line;
  }
  ++samples_;
  if (changes) {
    note_still();
    changed_ = time;
    changed_line_ = line;
  }
  last_time_ = time;
}

void SensorWatch::note_still() {
  if (last_time_ - changed_ < kStill) return;
  still_ += last_time_ - changed_;
  log_.tell("still", "No axis changes for two seconds or more.", changed_line_);
}

void SensorWatch::note_dead() {
  const auto dead = [&](std::size_t a) { return state_[a].high.value == state_[a].low.value; };
  if (std::all_of(axes_.begin(), axes_.end(), dead)) return;
  for (const std::size_t a : axes_)
    if (dead(a))
      log_.add({RecordingFinding::Kind::told, "dead_axis",
                "Axis " + std::string(kAxisNames[a]) + " reads " + plainly(state_[a].last) +
                    " m/s2 all along: nothing is measured there.",
                0, 1});
}

std::optional<Problem> SensorWatch::finish() {
  note_still();
  note_dead();
  log_.describe("still", "No axis changes for " + plainly(still_) +
                             " s, in pieces of two seconds or more: the sensor stood still, or the "
                             "vehicle with its engine off.");
  for (const std::size_t a : axes_) {
    Axis& axis = state_[a];
    close_run(axis);
    if (axis.high.value - axis.low.value <= kFewSteps * axis.smallest_step) continue;
    std::size_t clipped = 0, line = 0;
    for (const End& end : {axis.high, axis.low}) {
      if (end.runs < kRuns) continue;
      clipped += end.samples;
      line = line == 0 ? end.first_line : std::min(line, end.first_line);
    }
    if (clipped == 0) continue;
    const double share = static_cast<double>(clipped) / static_cast<double>(samples_);
    const std::string said = plainly(100.0 * share) + " % of the samples of axis " +
                             std::string(kAxisNames[a]) +
                             " stand at the end of the sensor's range, " +
                             plainly(std::max(axis.high.value, -axis.low.value)) + " m/s2";
    if (share > kMostClipped) {
      Problem out =
          problem(said + ": the sensor is overdriven",
                  "a recording with a wider range, or with the sensor where it shakes less");
      out.place.line = static_cast<int>(line);
      return out;
    }
    log_.add({RecordingFinding::Kind::told, "clipping",
              said + "; amplitudes are too low there, and harmonics appear that are none.", line,
              clipped});
  }
  return std::nullopt;
}

}  // namespace perrev
