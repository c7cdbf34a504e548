#include "engine/recording/analysis.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/recording/line_finder.h"
#include "engine/recording/order_track.h"
#include "engine/recording/resampling.h"
#include "engine/recording/segment_store.h"
#include "engine/recording/severity_meter.h"
#include "engine/recording/speed_map.h"
#include "engine/recording/welch.h"

namespace perrev {
namespace {

constexpr double kSegmentSeconds = 4.0;
constexpr double kSegmentWheelTurns = 64.0, kSegmentEngineTurns = 128.0;
constexpr double kTrackWheelTurns = 16.0, kTrackEngineTurns = 32.0;
constexpr double kEnoughSegments = 17.0;  // 16 averages: a tone 6 dB over the noise then stands out
constexpr double kSlowest = 3.0;          // m/s: slower, the road is left out
constexpr double kSlowestEngine = 5.0;    // Hz; no engine idles below
constexpr double kLowestHz = 2.0;         // the body's own motion is below it,
constexpr double kLowestInTime = 5.0;     // Hz; and what is left of it after a pothole below this
constexpr double kLowestEngineOrder = 0.45;  // four strokes bring half an order
constexpr std::size_t kStored = 2'000'000;

// Spectra, their segments and the map of one domain, by segments of one length.
struct Cut {
  SegmentStore store{kStored};
  Welch welch;
  SpeedSums speeds;

  Cut(Domain domain, double rate, double length, double highest)
      : welch(domain, rate, length, highest,
              [this](const Segment& segment) {
                store.take(segment);
                speeds.take(segment);
              }),
        speeds(domain, welch.step()) {}
};

// Turns are cut into long segments, and into short ones until the long are enough. Seconds are not:
// half of kSegmentSeconds would not show the flanks of the wheel's hop as what they are.
class DomainSpectra {
 public:
  DomainSpectra(Domain domain, double rate, double length, double highest)
      : domain_(domain), long_(std::make_unique<Cut>(domain, rate, length, highest)) {
    if (domain != Domain::time) short_ = std::make_unique<Cut>(domain, rate, 0.5 * length, highest);
  }

  void take(const EvenBlock& block) {
    long_->welch.take(block);
    if (!short_) return;
    short_->welch.take(block);
    if (long_->welch.segments() >= kEnoughSegments) short_.reset();
  }
  Domain domain() const { return domain_; }
  const Cut& cut() const { return short_ ? *short_ : *long_; }

 private:
  Domain domain_;
  std::unique_ptr<Cut> long_, short_;
};

// A domain of turns: resampled, then as time is, and kept for tracks.
struct DomainTurns {
  DomainSpectra spectra;
  OrderTracker tracker;
  Resampler resampler;

  DomainTurns(Domain of, double highest, double slowest, double segment, double track,
              std::size_t kept)
      : spectra(of, highest / kPassed, segment, highest),
        tracker(of, highest / kPassed, track, kept),
        resampler(of, highest / kPassed, slowest, [this](const EvenBlock& block) {
          spectra.take(block);
          tracker.take(block);
        }) {}
};

}  // namespace

struct Analyser::State {
  AnalysisTerms terms;
  Analysis analysis;
  SeverityMeter severity;
  std::unique_ptr<DomainSpectra> time;
  std::unique_ptr<DomainTurns> road, engine;

  void begin(const EvenBlock& block);
  void tell_drive(const EvenBlock& block);
  void give(const DomainSpectra& spectra, std::vector<SearchedDomain>& searched);
};

Analyser::Analyser(const AnalysisTerms& terms) : state_(std::make_unique<State>()) {
  state_->terms = terms;
}

Analyser::~Analyser() = default;

void Analyser::State::begin(const EvenBlock& block) {
  analysis.rate = block.rate;
  time =
      std::make_unique<DomainSpectra>(Domain::time, block.rate, kSegmentSeconds, terms.highest_hz);
  const std::size_t domains = (block.speed.empty() ? 0U : 1U) + (block.engine_hz.empty() ? 0U : 1U);
  const std::size_t kept = terms.kept_samples / std::max<std::size_t>(1, domains);
  const double turns = terms.wheel_turns_per_metre;
  if (!block.speed.empty())
    road =
        std::make_unique<DomainTurns>(Domain::road, terms.highest_wheel_order * turns, kSlowest,
                                      kSegmentWheelTurns / turns, kTrackWheelTurns / turns, kept);
  if (!block.engine_hz.empty())
    engine =
        std::make_unique<DomainTurns>(Domain::engine, terms.highest_engine_order, kSlowestEngine,
                                      kSegmentEngineTurns, kTrackEngineTurns, kept);
}

void Analyser::State::tell_drive(const EvenBlock& block) {
  analysis.seconds += static_cast<double>(block.size()) / block.rate;
  for (const double hz : block.engine_hz)
    if (std::isfinite(hz)) analysis.engine_turns += hz / block.rate;
  for (const double speed : block.speed) {
    if (!std::isfinite(speed)) continue;
    if (analysis.metres == 0.0) analysis.lowest_speed = speed;
    analysis.metres += speed / block.rate;
    analysis.lowest_speed = std::min(analysis.lowest_speed, speed);
    analysis.highest_speed = std::max(analysis.highest_speed, speed);
  }
}

void Analyser::take(const EvenBlock& block) {
  State& state = *state_;
  if (block.size() == 0) return;
  if (!state.time) state.begin(block);
  state.tell_drive(block);
  state.severity.take(block);
  state.time->take(block);
  const auto tracked = [&](const std::unique_ptr<DomainTurns>& turns) {
    if (turns) turns->resampler.take(block);
    return turns && !turns->tracker.full();
  };
  const bool road = tracked(state.road), engine = tracked(state.engine);
  if (road || engine) state.analysis.tracked_seconds = state.analysis.seconds;
}

void Analyser::State::give(const DomainSpectra& spectra, std::vector<SearchedDomain>& searched) {
  const Cut& cut = spectra.cut();
  Spectrum spectrum = cut.welch.spectrum();
  if (spectrum.lines() == 0) return;
  SpeedMap map = cut.speeds.map();
  if (!map.density.empty()) analysis.maps.push_back(std::move(map));
  const double lowest = spectra.domain() == Domain::time ? kLowestInTime
                        : spectra.domain() == Domain::road
                            ? terms.lowest_wheel_order * terms.wheel_turns_per_metre
                            : kLowestEngineOrder;
  searched.push_back({{spectra.domain(), spectrum.step, lowest, kLowestHz, kPassed * analysis.rate},
                      &cut.store,
                      spectrum});
  analysis.spectra.push_back(std::move(spectrum));
}

Analysis Analyser::finish() {
  State& state = *state_;
  if (!state.time) return std::move(state.analysis);
  std::vector<SearchedDomain> searched;
  state.give(*state.time, searched);
  if (state.road) state.give(state.road->spectra, searched);
  if (state.engine) state.give(state.engine->spectra, searched);
  Analysis& out = state.analysis;
  out.severity = state.severity.finish();
  out.lines = find_lines(searched, state.terms.false_alarm);
  for (const FoundLine& line : out.lines)
    if (line.domain != Domain::time)
      out.tracks.push_back(
          (line.domain == Domain::road ? state.road : state.engine)->tracker.track(line.at));
  return std::move(out);
}

}  // namespace perrev
