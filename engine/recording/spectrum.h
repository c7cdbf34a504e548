// Power spectra of the accelerations, against seconds, metres of road or turns of the engine.
//
// A vibration of a part that turns with the road keeps its number of cycles per metre whatever the
// speed; one of the engine its number per turn. So each spectrum has a domain: what its cycles are
// counted against. Densities are one-sided, by Welch's method (P. D. Welch, IEEE Trans. Audio
// Electroacoust. AU-15 (1967) 70) with Hann windows that overlap by half.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "engine/recording/samples.h"

namespace perrev {

enum class Domain { time, road, engine };
inline constexpr std::size_t kDomains = 3;

// x, y, z, and the sum of the three.
inline constexpr std::size_t kSeries = kAxes + 1, kAllAxes = kAxes;

struct Spectrum {
  Domain domain = Domain::time;
  double step = 0.0;  // of the lines: Hz, cycles per metre, cycles per turn
  // (m/s2)2 per unit of the domain, from zero on in `step`s; series the recording lacks are empty.
  std::array<std::vector<double>, kSeries> density;
  double segments = 0.0;   // that were averaged
  double averages = 0.0;   // how many independent ones they are worth
  double bandwidth = 0.0;  // equivalent noise bandwidth, in units of the domain

  std::size_t lines() const;
};

// The same by the speed at which it was driven: an order map.
struct SpeedMap {
  Domain domain = Domain::time;
  double step = 0.0;         // of the lines
  double first_speed = 0.0;  // m/s, where the first band begins
  double band = 0.0;         // m/s, width of one
  // By band, all axes: density by line; empty where nothing was driven at that speed.
  std::vector<std::vector<double>> density;
  std::vector<double> seconds;  // driven, by band
};

// A line that stands out of its surroundings by more than chance allows.
struct FoundLine {
  Domain domain = Domain::time;
  double at = 0.0;                        // Hz, cycles per metre, cycles per turn
  double sd = 0.0;                        // of `at`, by the signal alone
  std::size_t series = kAllAxes;          // in which it stands out most
  std::array<double, kAxes> amplitude{};  // m/s2 peak, r.m.s. over the recording times root two
  double over_floor_db = 0.0;  // power of the line over that of the noise in one `bandwidth`
  double by_chance = 0.0;      // that noise alone brings such a line, anywhere in the recording
};

// One order over speed: where the part was driven at that speed.
struct TrackPoint {
  double speed = 0.0;                     // m/s
  double hz = 0.0;                        // of the line, there
  std::array<double, kAxes> amplitude{};  // m/s2 peak
  std::array<double, kAxes> phase{};      // rad, against the turns counted from the begin
  double noise = 0.0;                     // m/s2 peak that noise alone would show here, all axes
  double seconds = 0.0;                   // behind it
};
struct Track {
  Domain domain = Domain::road;
  double at = 0.0;                 // as FoundLine::at
  double bandwidth = 0.0;          // of the filter that followed it, in units of the domain
  std::vector<TrackPoint> points;  // by speed, ascending
};

}  // namespace perrev
