// Speeds on a graph of rotating parts. Internal to this folder.
//
// A link ties two parts by the ratio of their speeds; the links of a vehicle form trees. Readings
// enter at any part. What is known of a part is the weighted mean of all that reaches it over the
// links, each weighted by its own uncertainty: exact on a tree to first order, and the same from
// either end. Uncertainty is relative (one standard deviation over the mean) throughout.
#pragma once

#include <map>
#include <string>
#include <vector>

namespace perrev {

struct PartLink {
  std::string slow, fast;  // names by habit: `fast` turns `ratio` times as fast as `slow`
  double ratio = 1.0;
  double sd = 0.0;     // relative uncertainty of the ratio
  std::string factor;  // towards `fast`, for a person: " x axle ratio 3.73"
  std::string back;    // towards `slow`: " / axle ratio 3.73"
};

struct PartReading {
  std::string part;
  double value = 0.0;
  double sd = 0.0;     // relative
  std::string source;  // for a person: "read 1650 rpm"
};

// What reaches a part: from a reading of its own (no neighbour) or over one link.
struct Arrival {
  std::string neighbour;
  std::string text;  // the reading's source, or the link's factor in that direction
};

struct PartBelief {
  double value = 0.0;
  double sd = 0.0;  // relative
  std::vector<Arrival> arrivals;
};

// Every part that some reading reaches. Links that would close a circle are ignored.
std::map<std::string, PartBelief> spread(const std::vector<PartLink>& links,
                                         const std::vector<PartReading>& readings);

}  // namespace perrev
