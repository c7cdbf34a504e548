// Spectra by the speed at which they were driven, added up as segments come.
#pragma once

#include <vector>

#include "engine/recording/spectrum.h"
#include "engine/recording/welch.h"

namespace perrev {

class SpeedSums {
 public:
  SpeedSums(Domain domain, double step) : domain_(domain), step_(step) {}
  // A segment counts at its mean speed, with half its length: it shares the rest with its
  // neighbour.
  void take(const Segment& segment);
  SpeedMap map() const;

 private:
  struct Band {
    std::vector<double> density;
    double seconds = 0.0;
  };
  Domain domain_;
  double step_;
  std::vector<Band> bands_;  // from standing on
};

}  // namespace perrev
