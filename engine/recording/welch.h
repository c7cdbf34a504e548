// Segments of a recording, each with its power spectrum, and their average by Welch's method.
//
// Hann windows that overlap by half, over a length that is fixed in the domain; from each segment
// its straight line is taken first (least squares), so gravity and slow drift do not leak. No
// segment reaches over a gap.
#pragma once

#include <array>
#include <functional>
#include <vector>

#include "engine/recording/fft.h"
#include "engine/recording/samples.h"
#include "engine/recording/spectrum.h"

namespace perrev {

struct Span {
  double low = 0.0, high = 0.0;
};

// A segment, or several added up.
struct Segment {
  // Mean of (m/s2)2 per unit of the domain, by line; empty for an axis the recording lacks.
  std::array<std::vector<float>, kAxes> density;
  double speed = 0.0;  // m/s, mean; 0 where it is not known
  // How fast the other domains went: their units per unit of this one, lowest and highest.
  std::array<Span, kDomains> rates;
  double many = 1.0;
};
using SegmentSink = std::function<void(const Segment&)>;

class Welch {
 public:
  // `rate` in samples per unit of the domain, `length` of a segment in units; lines up to
  // `highest`.
  Welch(Domain domain, double rate, double length, double highest, SegmentSink sink);
  void take(const EvenBlock& block);
  // Of all so far; no lines where not one segment is full.
  Spectrum spectrum() const;
  double step() const { return rate_ / static_cast<double>(fft_.points()); }
  double segments() const { return segments_; }

 private:
  void give();
  void add_axis(std::size_t axis, Segment& segment);
  void tell_rates(Segment& segment) const;

  Domain domain_;
  double rate_;
  RealFft fft_;
  std::size_t lines_;
  SegmentSink sink_;
  std::vector<double> window_, windowed_;
  EvenBlock held_;
  std::array<std::vector<double>, kAxes> sums_;
  double segments_ = 0.0;
};

}  // namespace perrev
