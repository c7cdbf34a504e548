// What people say of what they feel: from levels over speed to the answers of a complaint.
//
// A *way* is one way for a fault to shake: at one axle, on one order line. Its levels are those of
// the median size; how much larger the fault is, and how much more this person feels than others,
// is one number of decibels for all answers of a complaint, normally distributed. Given
// the way and that number, answers have nothing to do with each other:
//   worst_speed  is drawn to where the level is high and to where people drive;
//   begins, ends are where the level rises above, or falls below, what this person feels;
//   strength     goes by the level at the worst speed;
//   places       are ticked where the level there is plain, and not far below the strongest.
// Who feels nothing does not complain: the distribution of the number is that of complaints.
#pragma once

#include <array>
#include <vector>

#include "engine/physics/felt_curve.h"

namespace perrev {

// Speeds that levels stand for, m/s: ascending, evenly apart.
const std::vector<double>& said_speeds();

// What is ticked beside the places.
inline constexpr int kWholeCar = kFeltPlaces, kHeardOnly = kFeltPlaces + 1;
inline constexpr int kTicks = kFeltPlaces + 2;
inline constexpr int kStrengths = 4;  // slight, clear, strong, alarming

struct FeltWay {
  double share = 1.0;  // of the ways of the fault; they sum to one
  // By speed: dB above what half of the people just feel, or hear.
  std::vector<std::array<double, kFeltPlaces>> felt;
  std::vector<double> heard;
  double speed_sd = 0.0;  // relative, of the speed that belongs to a frequency
  bool upright = false;   // it can shake the whole car
};

// Borders of the bands that a speed is answered in, m/s, ends included, and how often people who
// shake for other reasons name each: one answer in ten is of that kind. Empty: not asked. The bands
// of the worst speed also tell where people drive.
struct SpeedBands {
  std::vector<double> edges, base;
};
struct AskedSpeeds {
  SpeedBands worst, begins, ends;
};

inline constexpr int kLevels = 25;

// P(answer | way, number), by number where it hangs on it; ticks: that it is ticked.
struct Sayings {
  std::array<double, kLevels> weight{};  // of the number, the share of the way in it; see say()
  std::vector<double> worst;
  std::vector<std::array<double, kLevels>> begins, ends;  // by band
  std::array<std::array<double, kLevels>, kStrengths> strength{};
  std::array<std::array<double, kLevels>, kTicks> ticked{};
};

// One for each way; all weights together sum to one. `size_db` is one standard deviation of the
// fault's size. What is not `asked` has no answers.
std::vector<Sayings> say(const PhysicsPeople& people, const std::vector<FeltWay>& ways,
                         double size_db, const AskedSpeeds& asked);

}  // namespace perrev
