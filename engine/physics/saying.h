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

// What people say of one way, as the tables below are made of it, at any `db` of the number.
class SaidOfWay {
 public:
  // `people` must outlive it.
  SaidOfWay(const PhysicsPeople& people, const FeltWay& way, const SpeedBands& worst);

  double complains(double db) const;
  const std::vector<double>& worst() const { return worst_; }  // by band
  double ever(double db) const;                                // that it is felt at some speed
  // That the named speed lies below `speed` m/s, of those whose answer has to do with the fault;
  // `ever` as above, which many speeds share.
  double begins_below(double speed, double db, double ever) const;
  double ends_below(double speed, double db, double ever) const;
  std::array<double, kStrengths> strength(double db) const;
  double ticked(std::size_t tick, double db) const;

 private:
  const PhysicsPeople* people_;
  bool upright_;
  std::vector<double> worst_, until_, from_;     // by band; the loudest up to, and from, a speed
  std::array<double, kFeltPlaces> at_{};         // at the worst speed, one number a place
  double heard_ = 0.0, most_ = 0.0, top_ = 0.0;  // there
};

// The share of a band among all answers, from what lies below its borders at one number.
double of_band(const SpeedBands& bands, std::size_t band, double below_low, double below_high);

// One standard deviation of the number, for a fault whose size has `size_db`.
double number_sd(const PhysicsPeople& people, double size_db);

// `size_db` is one standard deviation of the fault's size. What is not `asked` has no answers.
// Weights of the ways of a fault are on one scale; divided by the sum over all they are
// probabilities.
Sayings say(const PhysicsPeople& people, const FeltWay& way, double size_db,
            const AskedSpeeds& asked);

}  // namespace perrev
