// Segments of one domain, kept until lines are looked for.
//
// Bounded: when it is full, neighbours are added up in pairs, so a longer recording is kept more
// coarsely in time but whole.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/recording/welch.h"

namespace perrev {

class SegmentStore {
 public:
  // `most` values of density in all.
  explicit SegmentStore(std::size_t most) : most_(most) {}
  void take(const Segment& segment);
  // The last may stand for fewer than the others.
  const std::vector<Segment>& segments() const { return segments_; }

 private:
  void halve();

  std::size_t most_;
  double each_ = 1.0;  // segments taken behind one that is kept
  std::vector<Segment> segments_;
};

}  // namespace perrev
