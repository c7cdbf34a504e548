#include "src/answers/recording/recorded_pictures.h"

#include <algorithm>

#include "src/answers/recording/recorded_words.h"

namespace perrev {

namespace {

constexpr double kHighestHz = 100.0, kHighestTireOrder = 12.0;

// What the vehicle may shake on, in the domain it hangs on.
std::vector<LabelledLine> vehicle_lines(const Recorded& recorded, const RecordedVehicle& vehicle) {
  const Motion motion = recorded_motion(recorded.analysis, recorded.by);
  std::vector<LabelledLine> out;
  for (const OrderLine& line : order_lines(vehicle.facts, rotations(vehicle.facts, motion))) {
    const bool engine = is_engines(line.source) && motion.engine_hz;
    if (engine)
      out.push_back({Domain::engine, line.hz.mean / *motion.engine_hz, line.about});
    else if (motion.speed)
      out.push_back({Domain::road, line.hz.mean / *motion.speed, line.about});
  }
  return out;
}

const Spectrum* spectrum_in(const Analysis& analysis, Domain domain) {
  for (const Spectrum& spectrum : analysis.spectra)
    if (spectrum.domain == domain) return &spectrum;
  return nullptr;
}

std::string track_pictures(const RecordedLines& lines, const PictureTerms& terms) {
  constexpr std::size_t kMost = 6;  // told apart whatever their colour
  std::vector<Track> tracks;
  std::vector<std::string> names;
  for (const RecordedVibration& vibration : lines.vibrations) {
    if (!vibration.track || vibration.track->points.size() < 2 || tracks.size() == kMost) continue;
    tracks.push_back(*vibration.track);
    names.push_back(meaning_words(vibration));
  }
  return tracks.empty() ? "" : svg_of(track_picture(tracks, names, terms));
}

}  // namespace

RecordedPictures pictures_of(const Recorded& recorded, const RecordedLines& lines,
                             const RecordedVehicle& vehicle, Units units, double width) {
  PictureTerms terms;
  terms.units = units;
  terms.width = width;
  terms.highest_hz = kHighestHz;
  terms.highest_tire_order = kHighestTireOrder;
  if (lines.circumference)
    terms.circumference = lines.circumference->mean;
  else if (vehicle.facts.front_tire)
    terms.circumference =
        rolling_circumference(*vehicle.facts.front_tire, vehicle.facts.front_state).mean;
  if (terms.circumference == 0.0) terms.highest_tire_order *= UsualTurns{}.wheel.value;
  const std::vector<LabelledLine> labelled = vehicle_lines(recorded, vehicle);
  RecordedPictures out;
  const Analysis& analysis = recorded.analysis;
  const Spectrum* spectrum = spectrum_in(analysis, Domain::road);
  if (!spectrum) spectrum = spectrum_in(analysis, Domain::time);
  if (spectrum) out.spectrum = svg_of(spectrum_picture(*spectrum, labelled, terms));
  for (const SpeedMap& map : analysis.maps)
    if (map.domain == Domain::time && map.density.size() > 1)
      out.map = svg_of(map_picture(map, labelled, terms));
  out.tracks = track_pictures(lines, terms);
  return out;
}

}  // namespace perrev
