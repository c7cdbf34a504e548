// Recordings made up for tests: a car that hops and heaves over a random road, tones laid over it.
#pragma once

#include <cstdint>
#include <vector>

#include "engine/recording/analysis.h"

namespace perrev {

struct MadeUpDrive {
  double rate = 200.0, seconds = 60.0;  // Hz
  double from = 25.0, to = 25.0;        // m/s, at the begin and at the end
  double engine_turns_per_metre = 1.4;  // 0: no engine is recorded
  double level = 0.2;                   // m/s2 r.m.s. of the road, upright, at 25 m/s
  double holes = 0.0;                   // potholes in a minute
  std::uint64_t seed = 1;
};

struct MadeUp {
  EvenBlock block;
  std::vector<double> metres, turns;  // driven, and turned by the engine, at each sample
};

// Noise alone: wheel hop near 11 Hz and heave near 1.3 Hz, each a resonance that white noise
// drives, louder in proportion to the speed; white noise of the recorder; gravity upright.
MadeUp made_up(const MadeUpDrive& drive);

// amplitude cos(2 pi (cycles counted by `over`) + phase) onto an axis.
void add_tone(MadeUp& made, std::size_t axis, double amplitude, double at,
              const std::vector<double>& over, double phase = 0.0);

// Its samples from `from` up to `to`; it goes on from what is before them.
EvenBlock part_of(const EvenBlock& whole, std::size_t from, std::size_t to);
// In blocks of `rows`, as a file would come.
std::vector<EvenBlock> cut(const EvenBlock& whole, std::size_t rows);
Analysis analysed(const EvenBlock& whole, const AnalysisTerms& terms = {}, std::size_t rows = 4096);

}  // namespace perrev
