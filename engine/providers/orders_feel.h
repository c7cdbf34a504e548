// How fast a vibration feels: which of five answers a person gives to what turns how fast.
//
// A person compares with what they know: the wheel, two or three times that, the shaft, the
// engine's sound; above some 80 Hz a vibration is heard rather than felt. Frequencies are told
// apart in the logarithm, coarsely, so the answer nearest to the line is the likely one and its
// neighbours the known confusions; what an engine does is mostly known by its sound. All figures
// are from memory. Where the vehicle or the speed is not known, typical vehicles and all speeds
// stand in.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "engine/casefile/vehicle_of.h"
#include "engine/knowledge/rule_base.h"
#include "engine/providers/usual_turns.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

enum class FeltRate { wheel, twice, shaft, engine, sound };
inline constexpr std::size_t kFeltRates = 5;
using FeltShares = std::array<double, kFeltRates>;

// Share of answers that have nothing to do with what shakes: those are spread like the answers of
// people whose fault is not in the rule base.
inline constexpr double kMisnamed = 0.2;

// What turns how fast at one moment.
struct FeltMoment {
  double share = 1.0;           // of all moments in question
  Rate wheel;                   // Hz
  Rate shaft, motor;            // turns per wheel turn
  Rate engine;                  // Hz
  Rate accessory;               // turns per engine turn
  bool engine_by_road = false;  // its spread is that of the wheel
};

// At a speed in m/s; `engine_hz` where it was read. `usual` of what the vehicle does not tell.
FeltMoment felt_moment(const VehicleFacts& vehicle, double speed,
                       const std::optional<double>& engine_hz, const UsualTurns& usual = {});
// The worst speed of the round, or the speed that a frequency was read at; else one moment for
// every band of worst speeds.
std::vector<FeltMoment> felt_moments(const RuleBase& base, const VehicleFactIndices& at,
                                     const RoundFacts& round, const VehicleFacts& vehicle,
                                     const UsualTurns& usual);

// Hz of a line at a moment.
Rate rate_of(const std::string& source, double order, double order_spread,
             const FeltMoment& moment);
// What people would say of lines of one source; what those are compared with is found once.
class FeltSource {
 public:
  FeltSource(const std::string& source, double order_spread,
             const std::vector<FeltMoment>& moments);
  // P(answer | line) of a person who names what they feel (kMisnamed aside); sums to 1.
  FeltShares shares(double order) const;

 private:
  // The first order at one moment, in octaves, and how sharply each is told, in 1/octaves.
  struct Compared {
    double share;  // of all moments
    bool turns;
    double heard, heard_sharp;  // above what half call a sound
    double measures;            // above the turns of the wheel, or of the slowest that is a measure
    double thrice;              // above the wheel: between three turns of it and the shaft
    double told_sharp;
  };
  double known_;  // by its sound
  std::vector<Compared> moments_;
};
// The same of one line at one moment.
FeltShares felt_as(const std::string& source, double order, double order_spread,
                   const FeltMoment& moment);

// The fact, and which of its answers means what.
struct FeltFact {
  int fact = -1;  // -1: the rule base has none with just these answers
  std::array<std::size_t, kFeltRates> answers{};  // by FeltRate
};
FeltFact felt_fact(const RuleBase& base);

}  // namespace perrev
