// Measures severity while a recording comes in; memory does not grow with its length.
#pragma once

#include <memory>

#include "engine/recording/severity.h"

namespace perrev {

class SeverityMeter {
 public:
  SeverityMeter();
  ~SeverityMeter();

  // Its rate is above 0, and that of the blocks before. At the begin and after every gap the
  // weightings start anew: kSettling seconds (weighting_filter.h) are left out of all figures, and
  // no second of a running r.m.s. has a gap in it.
  void take(const EvenBlock& block);
  // After the last block; the meter is then used up.
  Severity finish();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace perrev
