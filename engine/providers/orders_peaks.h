// Readings of a frequency as peaks, and what peaks say of a line.
//
// Readings nearer to one another than two readings of one peak would be are one peak, the sharper
// the more they are. Anything else that vibrates is log-uniform from 1 to 200 Hz.
#pragma once

#include <optional>
#include <vector>

#include "engine/vehicle/tire.h"

namespace perrev {

inline constexpr double kLowestHz = 1.0, kHighestHz = 200.0;
// Share of recordings that caught another vibration altogether; from memory.
inline constexpr double kSomethingElse = 0.1;

// Standard deviation of a frequency read by a person or an instrument: 2 % and at least 0.2 Hz.
double reading_sd(double hz);
// Density of anything else at `hz`.
double else_density(double hz);

struct Peak {
  double hz = 0.0;
  int readings = 1;
  double worth = 1.0;  // of each, in readings of reading_sd
  double sd() const;   // of the mean of its readings
};
// Ascending. `sd`: of each reading, Hz, where it is known, as of a recording's lines.
std::vector<Peak> peaks_of(std::vector<double> readings, std::optional<double> sd = std::nullopt);

// Density of a peak at `hz`, worth so many readings, on a line, over that of anything else. What of
// the line lies outside the band that is read counts as anything else, so the density sums to one.
double on_line(double hz, double readings, const Estimate& line);
double on_line(const Peak& peak, const Estimate& line);
// The same for all from `low` to `high`: probabilities, not their ratio.
double share_on_line(double low, double high, const Estimate& line);

// For each line: density of all peaks where the vibration sits on it, over that of peaks that are
// all anything else. One of the peaks is the line's, each as likely; each of the others is
// anything else, or as likely one of the other lines, by their shares. One time in ten none is.
std::vector<double> explained_by(const std::vector<Peak>& peaks, const std::vector<Estimate>& lines,
                                 const std::vector<double>& shares);
// The same of on_line() of each peak, line after line.
std::vector<double> explained_by(const std::vector<double>& fits,
                                 const std::vector<double>& shares);

}  // namespace perrev
