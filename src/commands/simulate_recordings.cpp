#include "src/commands/simulate_recordings.h"

#include <array>
#include <cstdio>
#include <iostream>
#include <nlohmann/json.hpp>
#include <optional>
#include <vector>

#include "engine/bench/recording_trial.h"
#include "engine/json_text.h"
#include "src/progress_bar.h"
#include "src/side_by_side.h"

namespace perrev {

namespace {

constexpr std::array<DriveShape, 3> kShapes = {DriveShape::through, DriveShape::coasting,
                                               DriveShape::steady};
constexpr std::array<const char*, 4> kShapeNames = {"speeding up, or braking", "coasting down",
                                                    "held", "all"};

// Complaints whose fault does not reach the recorder are passed over.
std::vector<RecordingTrial> drawn_trials(const Simulator& simulator, std::uint64_t seed,
                                         std::size_t count, std::optional<double> sample_rate) {
  RecordingTrialTerms terms;
  terms.sample_rate = sample_rate.value_or(terms.sample_rate);
  std::vector<RecordingTrial> out;
  ProgressBar bar("recordings", count);
  for (std::size_t drawn = 0; out.size() < count && drawn < 4 * count;) {
    std::vector<std::optional<RecordingTrial>> made(count - out.size());
    side_by_side(made.size(), [&](std::size_t i) {
      made[i] = try_recording(simulator, seed, drawn + i, terms);
      if (made[i]) bar.step();
    });
    drawn += made.size();
    for (std::optional<RecordingTrial>& trial : made)
      if (trial) out.push_back(std::move(*trial));
  }
  return out;
}

// By shape, and all together.
std::array<RecordingScore, 4> scores_of(const std::vector<RecordingTrial>& trials) {
  std::array<RecordingScore, 4> out;
  for (std::size_t shape = 0; shape < kShapes.size(); ++shape) {
    std::vector<RecordingTrial> some;
    for (const RecordingTrial& trial : trials)
      if (trial.shape == kShapes[shape]) some.push_back(trial);
    out[shape] = recording_score(some);
  }
  out.back() = recording_score(trials);
  return out;
}

nlohmann::ordered_json json_of(const RecordingScore& score, const char* shape) {
  return {{"drive", shape},
          {"recordings", score.recordings},
          {"line_first", six_digits(score.right)},
          {"line_in_three", six_digits(score.in_three)},
          {"line_seen", six_digits(score.seen)},
          {"silent_without_fault", six_digits(score.silent)},
          {"amplitude_error_rms", six_digits(score.amplitude_rms)},
          {"within_0_1_hz", six_digits(score.hz_within)},
          {"within_0_01_order", six_digits(score.order_within)}};
}

std::string text_of(const std::array<RecordingScore, 4>& scores) {
  std::string out =
      "                                right line, %            silent, amplitude\n"
      "drive              recordings   first  in 3  seen   no fault  error, %\n";
  for (std::size_t i = 0; i < scores.size(); ++i) {
    const RecordingScore& score = scores[i];
    char line[120];
    std::snprintf(line, sizeof line, "%-23s %5d   %5.1f %5.1f %5.1f   %8.1f  %8.1f\n",
                  kShapeNames[i], score.recordings, 100.0 * score.right, 100.0 * score.in_three,
                  100.0 * score.seen, 100.0 * score.silent, 100.0 * score.amplitude_rms);
    out += line;
  }
  char line[120];
  std::snprintf(line, sizeof line,
                "\nSpeed held: within 0.1 Hz %.1f %%. Else: within 0.01 of an order %.1f %%.\n",
                100.0 * scores.back().hz_within, 100.0 * scores.back().order_within);
  return out + line;
}

}  // namespace

Exit score_recordings(const Simulator& simulator, std::uint64_t seed, std::size_t count,
                      std::optional<double> sample_rate, const Common& common) {
  const std::array<RecordingScore, 4> scores =
      scores_of(drawn_trials(simulator, seed, count, sample_rate));
  if (!common.json) {
    std::cout << text_of(scores);
    return Exit::done;
  }
  nlohmann::ordered_json json = {{"seed", seed}, {"drives", nlohmann::ordered_json::array()}};
  for (std::size_t i = 0; i < scores.size(); ++i)
    json["drives"].push_back(json_of(scores[i], kShapeNames[i]));
  std::cout << indented_json(json) << "\n";
  return Exit::done;
}

}  // namespace perrev
