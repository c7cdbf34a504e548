#include "src/answers/recording/recorded_entries.h"

#include <algorithm>
#include <cmath>

#include "engine/quantity/text.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr std::size_t kMostPeaks = 3;
constexpr double kLeastSd = 0.05;    // Hz: what a recording is worth at best
constexpr double kWideEnough = 5.0;  // m/s, of a drive that can tell a worst speed
constexpr double kFromTheEnd = 1.5;  // m/s

std::string number_text(double value, int decimals, const char* unit) {
  return fixed(value, decimals) + " " + unit;
}

std::string speed_text(double speed) { return number_text(3.6 * speed, 1, "km/h"); }

std::map<std::string, std::string> held_at(const Recorded& recorded, double speed) {
  std::map<std::string, std::string> out;
  if (speed > 0.0) out["speed"] = speed_text(speed);
  if (recorded.by == SpeedSource::gps) out["by"] = "gps";
  if (recorded.by == SpeedSource::speedometer) out["by"] = "speedometer";
  const Analysis& analysis = recorded.analysis;
  if (analysis.engine_turns > 0.0)
    out["rpm"] = number_text(60.0 * analysis.engine_turns / analysis.seconds, 0, "rpm");
  return out;
}

// Of a vibration at the speed of another one.
double hz_at(const RecordedVibration& of, double speed) {
  return of.line.domain == Domain::road ? of.line.at * speed : of.hz;
}

RecordedEntry frequencies(const Recorded& recorded, const RecordedLines& lines) {
  RecordedEntry out{"measured_frequency", {}, {}};
  const double speed = lines.vibrations.empty() ? 0.0 : lines.vibrations.front().speed;
  out.with = held_at(recorded, speed);
  double sd = kLeastSd;
  std::string amplitudes;
  for (std::size_t i = 0; i < std::min(kMostPeaks, lines.vibrations.size()); ++i) {
    const RecordedVibration& one = lines.vibrations[i];
    out.values.push_back(number_text(hz_at(one, speed), 2, "Hz"));
    sd = std::max(sd, one.hz_sd);
    amplitudes += (i == 0 ? "" : ", ") + number_text(one.amplitude, 3, "m/s2");
  }
  if (!out.values.empty()) {
    out.with["sd"] = number_text(sd, 2, "Hz");
    out.with["amplitudes"] = amplitudes;
  }
  return out;
}

bool tells_worst_speed(const Analysis& analysis, const RecordedVibration& most) {
  return most.track && analysis.highest_speed - analysis.lowest_speed >= kWideEnough &&
         most.speed >= analysis.lowest_speed + kFromTheEnd &&
         most.speed <= analysis.highest_speed - kFromTheEnd;
}

}  // namespace

bool says_already(const RuleBase& base, const CaseFacts& facts, const RecordedEntry& entry) {
  const Reading* known = facts.now().find(base.fact_index(entry.fact));
  return known && known->with == entry.with && known->unsure == entry.values.empty() &&
         (known->unsure || known->text == joined(entry.values));
}

std::string entry_text(const RecordedEntry& entry) {
  std::string out =
      spaced(entry.fact) + ": " + (entry.values.empty() ? "unsure" : joined(entry.values));
  std::vector<std::string> with;
  for (const auto& [what, text] : entry.with) with.push_back(what + " " + text);
  return with.empty() ? out : out + " (" + joined(with) + ")";
}

std::vector<RecordedEntry> recorded_entries(const RuleBase& base, const CaseFacts& facts,
                                            const Recorded& recorded, const RecordedLines& lines) {
  std::vector<RecordedEntry> out;
  if (base.fact_index("measured_frequency") >= 0) out.push_back(frequencies(recorded, lines));
  const int worst = base.fact_index("worst_speed");
  if (worst < 0 || lines.vibrations.empty()) return out;
  const Reading* known = facts.now().find(worst);
  const RecordedVibration& most = lines.vibrations.front();
  if ((!known || known->unsure) && tells_worst_speed(recorded.analysis, most)) {
    RecordedEntry entry{"worst_speed", {speed_text(most.speed)}, held_at(recorded, 0.0)};
    entry.with.erase("rpm");  // a mean over the drive, not of that moment
    out.push_back(std::move(entry));
  }
  return out;
}

}  // namespace perrev
