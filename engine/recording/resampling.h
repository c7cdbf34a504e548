// Even steps of time to even steps of road or of the engine's turn: computed order tracking.
//
// Speed goes in straight lines between samples, so the turn is known exactly in between; values
// come by a sinc under a Kaiser window. Its cut follows the speed: slower, steps are longer than
// those of time, and what they could not carry is taken out first. Up to kPassed of the slower of
// both rates the gain is 1 within 2e-4, and what would fold back below it is down by 75 dB.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "engine/recording/samples.h"
#include "engine/recording/spectrum.h"

namespace perrev {

// Cycles per sample that pass.
inline constexpr double kPassed = 0.4;

class Resampler {
 public:
  // `per_unit` samples per metre or turn. Where the part does fewer than `slowest` units in a
  // second nothing comes out, and what comes after does not go on.
  Resampler(Domain domain, double per_unit, double slowest, EvenSink sink);
  void take(const EvenBlock& block);

 private:
  struct Due {
    std::size_t row;  // of those kept, the last before it
    double part;      // of the step to the next
    double cut;       // of the filter, relative to half the rate in
  };
  using Row = std::array<double, kAxes + 1>;  // the last is not used: it keeps rows even in memory

  void begin_run();
  void step_to(double turns_per_second, double step, std::size_t row);
  void give(const EvenBlock& like);
  void give_one(const Due& due, EvenBlock& out);
  void forget(double rate);

  Domain domain_;
  double per_unit_, slowest_;
  EvenSink sink_;
  std::vector<double> kernel_, rise_;  // by position in steps, and what each gains to the next
  std::vector<Row> rows_;
  std::vector<double> speed_, engine_hz_;
  std::vector<Due> due_;
  std::vector<double> weights_;
  double turned_ = 0.0;  // samples out, up to the last row
  double rate_ = 0.0;    // samples out in a second, at the last row
  double next_ = 0.0;    // sample to come
  bool running_ = false, goes_on_ = false;
};

}  // namespace perrev
