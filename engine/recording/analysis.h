// A recording analysed: spectra, what stands out in them, how strong over speed, how severe.
//
// Accelerations are resampled to equal steps of road, and of the engine's turn where it is known
// (computed order tracking; K. R. Fyfe and E. D. S. Munck, Mechanical Systems and Signal Processing
// 11 (1997) 187): what turns becomes a sharp line whatever the speed did.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "engine/recording/severity.h"
#include "engine/recording/spectrum.h"

namespace perrev {

struct AnalysisTerms {
  // Of a wheel, turns per metre of the speed as recorded; how fine the road is cut hangs on it.
  double wheel_turns_per_metre = 0.5;
  // Nothing that turns with the road turns slower than a wheel, but for what its size is off by;
  // lines below are not looked for, as the wheel's hop is not told from them.
  double lowest_wheel_order = 0.9;
  double highest_wheel_order = 24.0;
  double highest_engine_order = 8.0;
  double highest_hz = 200.0;
  double false_alarm = 0.05;  // that a recording of noise alone shows any line
  // Memory for what is tracked, samples in all; past it the rest of a long recording is not
  // tracked.
  std::size_t kept_samples = 12'000'000;
};

struct Analysis {
  double seconds = 0.0, metres = 0.0;
  double lowest_speed = 0.0, highest_speed = 0.0;  // m/s; 0 where no speed is known
  double engine_turns = 0.0;                       // 0 where they were not recorded
  double rate = 0.0;                               // Hz
  double tracked_seconds = 0.0;                    // from the begin
  std::vector<Spectrum> spectra;                   // by domain, those that the recording allows
  std::vector<SpeedMap> maps;                      // by domain, where a speed is known
  std::vector<FoundLine> lines;                    // by domain, then strongest over the floor first
  std::vector<Track> tracks;                       // of `lines` of road and engine, in their order
  Severity severity;
};

class Analyser {
 public:
  explicit Analyser(const AnalysisTerms& terms);
  ~Analyser();
  void take(const EvenBlock& block);
  Analysis finish();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace perrev
