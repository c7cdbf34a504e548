#include "tests/engine/recording/made_up_drive.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/random.h"

namespace perrev {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;

// A resonance of one degree of freedom, sampled; r.m.s. near one for white noise of one.
class Resonance {
 public:
  Resonance(double hz, double damping, double rate)
      : radius_(std::exp(-damping * kTwoPi * hz / rate)),
        bend_(2.0 * radius_ * std::cos(kTwoPi * hz * std::sqrt(1.0 - damping * damping) / rate)),
        gain_(std::sqrt(1.0 - radius_ * radius_)) {}
  double next(double push) {
    const double now = gain_ * push + bend_ * last_ - radius_ * radius_ * before_;
    before_ = last_;
    last_ = now;
    return now;
  }

 private:
  double radius_, bend_, gain_, last_ = 0.0, before_ = 0.0;
};

void add_holes(std::vector<double>& upright, const MadeUpDrive& drive, Random& random) {
  const auto count = static_cast<std::size_t>(drive.holes * drive.seconds / 60.0);
  for (std::size_t hole = 0; hole < count; ++hole) {
    const std::size_t at = random.below(upright.size());
    const double size = drive.level * (2.0 + 13.0 * random.real());
    for (std::size_t i = at; i < upright.size(); ++i) {
      const double time = static_cast<double>(i - at) / drive.rate;
      if (time > 3.0) break;
      upright[i] += size * (std::exp(-12.0 * time) * std::sin(kTwoPi * 11.0 * time) +
                            0.4 * std::exp(-2.2 * time) * std::sin(kTwoPi * 1.2 * time));
    }
  }
}

}  // namespace

MadeUp made_up(const MadeUpDrive& drive) {
  MadeUp made;
  const auto samples = static_cast<std::size_t>(drive.seconds * drive.rate);
  made.block.rate = drive.rate;
  double metres = 0.0;
  for (std::size_t i = 0; i < samples; ++i) {
    const double time = static_cast<double>(i) / drive.rate;
    const double slope = (drive.to - drive.from) / drive.seconds;
    made.block.speed.push_back(drive.from + slope * time);
    metres = drive.from * time + 0.5 * slope * time * time;
    made.metres.push_back(metres);
    if (drive.engine_turns_per_metre == 0.0) continue;
    made.block.engine_hz.push_back(drive.engine_turns_per_metre * made.block.speed.back());
    made.turns.push_back(drive.engine_turns_per_metre * metres);
  }
  const double share[kAxes] = {0.35, 0.25, 1.0};
  for (std::size_t axis = 0; axis < kAxes; ++axis) {
    Random random = Random::stream(drive.seed, axis);
    Resonance hop(11.0, 0.18, drive.rate), heave(1.3, 0.3, drive.rate);
    std::vector<double>& values = made.block.acceleration[axis];
    for (std::size_t i = 0; i < samples; ++i) {
      const double road = drive.level * share[axis] * made.block.speed[i] / 25.0;
      const double push = random.normal();
      values.push_back(road * (0.5 * hop.next(push) + 0.5 * heave.next(push) + 0.1 * push) +
                       0.01 * random.normal());
    }
  }
  Random random = Random::stream(drive.seed, kAxes);
  add_holes(made.block.acceleration[2], drive, random);
  for (double& value : made.block.acceleration[2]) value += 9.81;
  return made;
}

void add_tone(MadeUp& made, std::size_t axis, double amplitude, double at,
              const std::vector<double>& over, double phase) {
  for (std::size_t i = 0; i < over.size(); ++i)
    made.block.acceleration[axis][i] += amplitude * std::cos(kTwoPi * at * over[i] + phase);
}

EvenBlock part_of(const EvenBlock& whole, std::size_t from, std::size_t to) {
  const auto part = [&](const std::vector<double>& column) {
    if (column.empty()) return column;
    return std::vector<double>(column.begin() + static_cast<std::ptrdiff_t>(from),
                               column.begin() + static_cast<std::ptrdiff_t>(to));
  };
  EvenBlock out;
  out.rate = whole.rate;
  out.begin = whole.begin + static_cast<double>(from) / whole.rate;
  out.goes_on = from > 0;
  for (std::size_t axis = 0; axis < kAxes; ++axis)
    out.acceleration[axis] = part(whole.acceleration[axis]);
  out.speed = part(whole.speed);
  out.engine_hz = part(whole.engine_hz);
  return out;
}

std::vector<EvenBlock> cut(const EvenBlock& whole, std::size_t rows) {
  std::vector<EvenBlock> out;
  for (std::size_t from = 0; from < whole.size(); from += rows)
    out.push_back(part_of(whole, from, std::min(whole.size(), from + rows)));
  return out;
}

Analysis analysed(const EvenBlock& whole, const AnalysisTerms& terms, std::size_t rows) {
  Analyser analyser(terms);
  for (const EvenBlock& block : cut(whole, rows)) analyser.take(block);
  return analyser.finish();
}

}  // namespace perrev
