// How far each line of a domain stands out of its surroundings, segment by segment.
//
// Each segment is held against its own noise, line by line: noise that grows with the speed, a
// pothole or another road then counts no more than any other segment, and noise alone gives one on
// average. No segment counts more than kMost times its noise in `steady`: what judges is whether a
// line is there all along. Over many segments that is near to gamma distributed; its scatter is
// taken from the lines themselves where it is wider than it should be.
#pragma once

#include <array>
#include <vector>

#include "engine/recording/noise_floor.h"
#include "engine/recording/segment_store.h"
#include "engine/recording/spectrum.h"

namespace perrev {

// A line already found, in whatever domain.
struct KnownLine {
  Domain domain = Domain::time;
  double at = 0.0;
  bool echo = false;  // of a line of another domain: it makes room in its own alone
};

struct Evidence {
  struct Series {
    std::vector<double> steady;  // over the noise, each segment's part bounded; 0 where not judged
    std::vector<double> whole;   // the same without bounds
    std::vector<double> score;   // of `steady`, in standard deviations of a normal distribution
  };
  std::array<Series, kSeries> series;  // those the recording lacks are empty
  std::array<std::vector<double>, kAxes> floor;
  double judged = 0.0;  // lines times series
};

struct EvidenceTerms {
  Domain domain = Domain::time;
  double step = 0.0;        // of the lines
  double lowest = 0.0;      // in units of the domain; below is nothing that turns
  double lowest_hz = 0.0;   // slower is not judged,
  double highest_hz = 0.0;  // nor faster
};

Evidence evidence_of(const EvidenceTerms& terms, const SegmentStore& store,
                     const std::vector<KnownLine>& known);

// Where a line of another domain goes in this one over the whole recording.
Span path_of(const KnownLine& line, const std::vector<Segment>& segments);
// Whether it stays on one line.
bool stays(const Span& path, double step);

}  // namespace perrev
