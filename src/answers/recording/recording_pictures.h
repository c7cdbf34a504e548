// What a recording holds, as pictures: its spectrum, its map over speed, its orders over speed.
#pragma once

#include <string>
#include <vector>

#include "engine/picture/heat_map.h"
#include "engine/picture/plot.h"
#include "engine/quantity/quantity.h"
#include "engine/recording/spectrum.h"

namespace perrev {

// A line of the vehicle with the name it has there: "tire order 1".
struct LabelledLine {
  Domain domain = Domain::time;
  double at = 0.0;  // Hz, cycles per metre, cycles per turn
  std::string label;
};

struct PictureTerms {
  Units units = Units::us;
  // m; the road axis counts in turns of the tire by it. 0: not known, in cycles per metre.
  double circumference = 0.0;
  double highest_hz = 0.0;  // and so on for the others; 0: all there is
  double highest_tire_order = 0.0;
  double highest_engine_order = 0.0;
  double width = 520.0;  // of the frame, px
};

// Amplitude of a sine that would have as much power as the spectrum has in its bandwidth, all axes;
// marked are the lines of its domain.
Plot spectrum_picture(const Spectrum& spectrum, const std::vector<LabelledLine>& lines,
                      const PictureTerms& terms);

// Level over speed and the domain, in dB against the strongest cell. Lines of its own domain stand
// upright; those of the road lean in a map of frequencies, where they rise with speed.
HeatMap map_picture(const SpeedMap& map, const std::vector<LabelledLine>& lines,
                    const PictureTerms& terms);

// Amplitude of each order over speed, all axes, and what noise alone would show. `names`: one a
// track.
Plot track_picture(const std::vector<Track>& tracks, const std::vector<std::string>& names,
                   const PictureTerms& terms);

}  // namespace perrev
