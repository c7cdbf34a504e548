// The world of made-up complaints as tables: what is driven, what people know of it, and what a
// road test finds. All from memory; nothing here is read by the ranking.
#pragma once

#include <array>
#include <string_view>
#include <vector>

#include "engine/knowledge/rule_base.h"

namespace perrev {

// Vehicles of one kind: each tire size and each axle ratio equally often, whatever the other.
inline constexpr int kSyntheticSizes = 3, kSyntheticRatios = 3;
struct SyntheticKind {
  std::string_view id;  // an answer of vehicle_kind
  std::array<std::string_view, kSyntheticSizes> sizes;
  std::array<double, kSyntheticRatios> axle_ratios;
  double reduction;  // motor turns per wheel turn
};
const std::vector<SyntheticKind>& synthetic_kinds();

// How a fault answers to what the driver does.
enum class Behaviour { wheel, braking, pulling, shaft, joint, motor };
inline constexpr int kBehaviours = 6;
Behaviour behaviour_of(const PhysicsFault& fault, std::string_view source);

// What is found of a fact by behaviour; rows sum to one.
struct SyntheticFind {
  std::string_view fact;
  Asker by;
  double asked;  // share of complaints in which it is entered
  bool needs_engine, needs_gears;
  std::vector<std::string_view> answers;
  std::array<std::vector<double>, kBehaviours> shares;
};
const std::vector<SyntheticFind>& synthetic_finds();

// `how_fast` by what shakes.
const std::vector<std::string_view>& synthetic_paces();
const std::vector<double>& pace_shares(std::string_view source, double order);

// Shares of complaints in which something is entered, and of those in which the person is unsure.
struct SyntheticHabits {
  double size_known = 0.9, ratio_known = 0.4, axle_known = 0.9, gearbox_known = 0.8,
         cylinders_known = 0.85, reduction_known = 0.5;
  double worst = 0.95, begins = 0.75, ends = 0.55, places = 0.97, strong = 0.95, pace = 0.8;
  double rpm = 0.35, unsure = 0.07, unsure_end = 0.3;
  double by_satellite = 0.25, says_dash = 0.75;  // the rest reads the dash and does not say so
  double measured = 0.7;
};
inline constexpr SyntheticHabits kSyntheticHabits;

// Of the readings; the last is the share of those that caught another vibration.
inline constexpr double kDashHigh = 1.025, kCircumferenceSd = 0.015, kReadingNoise = 0.02,
                        kCaughtOther = 0.1;

}  // namespace perrev
