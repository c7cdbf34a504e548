#include "engine/bench/recording_trial.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/providers/recorded_lines.h"
#include "engine/random.h"

namespace perrev {

namespace {

constexpr std::uint64_t kDriveShapes = 3;
constexpr double kNear = 3.0;       // bandwidths
constexpr std::size_t kAbout = 20;  // lines of the spectrum to either side: the road about it
constexpr double kNoTone = 1e-9;    // m/s2: the fault does not reach the recorder
constexpr double kHzTarget = 0.1, kOrderTarget = 0.01;

// By axis.
std::array<const std::vector<double>*, kAxes> axes_of(const SyntheticRecording& recording) {
  return {&recording.x, &recording.y, &recording.z};
}

// The road, and so many times what the fault added to it.
EvenBlock mixed(const SyntheticRecording& road, const SyntheticRecording& loud, double gain,
                double rate) {
  EvenBlock out;
  out.rate = rate;
  out.speed = road.speed;
  for (std::size_t axis = 0; axis < kAxes; ++axis) {
    const std::vector<double>&without = *axes_of(road)[axis], &with = *axes_of(loud)[axis];
    for (std::size_t i = 0; i < without.size(); ++i)
      out.acceleration[axis].push_back(without[i] + gain * (with[i] - without[i]));
  }
  return out;
}

double tone_power(const SyntheticRecording& road, const SyntheticRecording& loud) {
  double sum = 0.0;
  for (std::size_t axis = 0; axis < kAxes; ++axis) {
    const std::vector<double>&without = *axes_of(road)[axis], &with = *axes_of(loud)[axis];
    for (std::size_t i = 0; i < without.size(); ++i) sum += std::pow(with[i] - without[i], 2);
  }
  return sum / static_cast<double>(road.time.size());
}

Analysis analysed(const EvenBlock& block, const VehicleFacts& vehicle) {
  AnalysisTerms terms;
  terms.wheel_turns_per_metre =
      1.0 / rolling_circumference(*vehicle.front_tire, vehicle.front_state).mean;
  Analyser analyser(terms);
  analyser.take(block);
  return analyser.finish();
}

const Spectrum* against_road(const Analysis& analysis) {
  for (const Spectrum& spectrum : analysis.spectra)
    if (spectrum.domain == Domain::road) return &spectrum;
  return nullptr;
}

// Of the road about a line, in one bandwidth.
double noise_power(const Spectrum& spectrum, double at) {
  const std::vector<double>& density = spectrum.density[kAllAxes];
  const std::size_t line =
      std::min(static_cast<std::size_t>(std::llround(at / spectrum.step)), density.size() - 1);
  const std::size_t first = line > kAbout ? line - kAbout : 1;
  const std::size_t last = std::min(line + kAbout, density.size() - 1);
  double sum = 0.0;
  for (std::size_t i = first; i <= last; ++i) sum += density[i];
  return sum / static_cast<double>(last - first + 1) * spectrum.bandwidth;
}

// As it is looked up before anybody records: its circumference is off all the same, and nobody
// knows the engine's speed.
VehicleFacts looked_up(const RuleBase& base, const SyntheticVehicle& vehicle) {
  const SyntheticKind& kind = synthetic_kinds()[static_cast<std::size_t>(vehicle.kind)];
  const auto word = [&](const char* fact, int answer) {
    const Fact& of = base.facts[static_cast<std::size_t>(base.fact_index(fact))];
    return of.answers[static_cast<std::size_t>(answer)].id;
  };
  VehicleFacts out;
  out.front_tire = out.rear_tire =
      parse_tire(std::string(kind.sizes[static_cast<std::size_t>(vehicle.size)])).value();
  out.axle_ratio = kind.axle_ratios[static_cast<std::size_t>(vehicle.ratio)];
  out.reduction_ratio = kind.reduction;
  out.driven_axle = driven_axle_named(word("driven_axle", vehicle.driven_axle));
  out.powertrain = powertrain_named(word("powertrain", vehicle.powertrain));
  return out;
}

// Front and rear driveshaft turn alike: no recording tells them apart.
std::string turning_name(const std::string& source, double order) {
  return line_name(source == "front_driveshaft" ? "driveshaft" : source, order);
}

void judge_line(RecordingTrial& trial, const Analysis& analysis, double at, double turns_per_metre,
                double tone) {
  const FoundLine* nearest = nullptr;
  for (const FoundLine& line : analysis.lines)
    if (line.domain == Domain::road &&
        (!nearest || std::abs(line.at - at) < std::abs(nearest->at - at)))
      nearest = &line;
  const Spectrum* spectrum = against_road(analysis);
  if (!nearest || std::abs(nearest->at - at) > kNear * spectrum->bandwidth) return;
  trial.seen = true;
  double power = 0.0;
  for (const double amplitude : nearest->amplitude) power += 0.5 * amplitude * amplitude;
  trial.amplitude = std::sqrt(power / tone);
  trial.hz_off = (nearest->at - at) * analysis.metres / analysis.seconds;
  trial.order_off = (nearest->at - at) / turns_per_metre;
}

void judge_meaning(RecordingTrial& trial, const RecordedLines& found) {
  if (found.vibrations.empty()) return;
  const RecordedVibration& most = found.vibrations.front();
  const auto name = [](const RecordedMeaning& meaning) {
    return turning_name(meaning.source, meaning.order);
  };
  trial.named_ambiguous = most.ambiguous();
  for (std::size_t i = 0; i < std::min<std::size_t>(3, most.meanings.size()); ++i)
    trial.in_three = trial.in_three || name(most.meanings[i]) == trial.line;
  if (most.meanings.empty() || most.unexplained > most.meanings.front().probability) {
    trial.found = "anything else";
    return;
  }
  trial.found = name(most.meanings.front());
  trial.right = trial.found == trial.line;
}

}  // namespace

std::optional<RecordingTrial> try_recording(const Simulator& simulator, std::uint64_t seed,
                                            std::uint64_t number,
                                            const RecordingTrialTerms& terms) {
  const SyntheticComplaint complaint = simulator.draw(seed, number);
  const SyntheticTruth& truth = complaint.truth;
  RecordingStyle style;
  style.shape = static_cast<DriveShape>(number % kDriveShapes);
  style.sample_rate = terms.sample_rate;
  const std::uint64_t drive = seed + 3 * number;
  const SyntheticRecording loud = record(simulator, complaint, style, drive);
  style.gain = 0.0;
  const SyntheticRecording road = record(simulator, complaint, style, drive);
  const double power = tone_power(road, loud);
  if (std::sqrt(power) < kNoTone) return {};

  // Not the stream that the complaint was drawn from: each cause would have decibels of its own.
  Random random = Random::stream(~seed, number);
  const double db = terms.lowest_db + (terms.highest_db - terms.lowest_db) * random.real();
  RecordingTrial out;
  out.shape = style.shape;
  out.line = turning_name(truth.source, truth.order);
  out.db = db;
  const VehicleFacts vehicle = looked_up(simulator.base(), truth.vehicle);
  const Analysis silent = analysed(mixed(road, loud, 0.0, style.sample_rate), vehicle);
  out.claimed = silent.lines.size();
  const double at = truth.order * truth.turns_per_metre;
  const Spectrum* spectrum = against_road(silent);
  if (!spectrum) return {};
  const double tone = noise_power(*spectrum, at) * std::pow(10.0, db / 10.0);
  const Analysis analysis =
      analysed(mixed(road, loud, std::sqrt(tone / power), style.sample_rate), vehicle);
  judge_line(out, analysis, at, truth.turns_per_metre, tone);
  judge_meaning(
      out, recorded_lines(simulator.base(), vehicle, UsualTurns{}, analysis, SpeedSource::gps));
  return out;
}

RecordingScore recording_score(const std::vector<RecordingTrial>& trials) {
  RecordingScore out;
  out.recordings = static_cast<int>(trials.size());
  double squares = 0.0, steady = 0.0, moving = 0.0;
  for (const RecordingTrial& trial : trials) {
    out.right += trial.right;
    out.in_three += trial.in_three;
    out.silent += trial.claimed == 0;
    if (!trial.seen) continue;
    out.seen += 1.0;
    squares += std::pow(trial.amplitude - 1.0, 2);
    const bool held = trial.shape == DriveShape::steady;
    (held ? steady : moving) += 1.0;
    if (held) out.hz_within += std::abs(trial.hz_off) <= kHzTarget;
    if (!held) out.order_within += std::abs(trial.order_off) <= kOrderTarget;
  }
  const double all = std::max(1.0, static_cast<double>(trials.size()));
  for (double* share : {&out.right, &out.in_three, &out.silent}) *share /= all;
  out.amplitude_rms = std::sqrt(squares / std::max(1.0, out.seen));
  out.hz_within /= std::max(1.0, steady);
  out.order_within /= std::max(1.0, moving);
  out.seen /= all;
  return out;
}

}  // namespace perrev
