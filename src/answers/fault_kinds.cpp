#include "src/answers/fault_kinds.h"

#include <array>
#include <cmath>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

// A torque is a force at an arm; what is read and shown of it is put together from the two.
constexpr std::optional<Dimension> kTorque;
struct TorqueUnit {
  std::string_view name;
  const char* force;
  double arm;  // m
};
constexpr double kFoot = 0.3048;
constexpr std::array<TorqueUnit, 6> kTorqueUnits = {{{"N m", "N", 1.0},
                                                     {"Nm", "N", 1.0},
                                                     {"lb ft", "lb", kFoot},
                                                     {"lb-ft", "lb", kFoot},
                                                     {"ft lb", "lb", kFoot},
                                                     {"ft-lb", "lb", kFoot}}};

bool ends_with(std::string_view text, std::string_view end) {
  return text.size() >= end.size() && text.substr(text.size() - end.size()) == end;
}

Result<double> read_torque(std::string_view text) {
  const std::string_view all = trimmed(text);
  for (const TorqueUnit& unit : kTorqueUnits) {
    if (!ends_with(all, unit.name)) continue;
    const std::string number(all.substr(0, all.size() - unit.name.size()));
    const auto force = parse_quantity(number + unit.force, Dimension::force);
    return force ? Result<double>(unit.arm * *force) : force;
  }
  return problem(quoted(text) + " is no torque with its unit", "one such as 40 N m or 30 lb ft");
}

std::string torque_words(double torque, Units units) {
  const bool us = units == Units::us;
  const std::string force = show_rounded(torque / (us ? kFoot : 1.0), Dimension::force, units);
  return force + (us ? " ft" : " m");
}

// How a kind is spoken of, and what it turns with unless it is said.
struct KindWords {
  FaultKind kind;
  const char* words;
  std::optional<Dimension> dimension;
  const char* source;
  double order;  // 0: firing
  ShakesWhile when;
  double largest;  // SI; beyond it is a slip of the pen
  double beware;   // SI; from here on `danger`; common practice where it is above 0
  const char* danger;
};

constexpr const char* kLostWeight =
    "So much is no leftover of balancing. Look for a lost weight, thrown tread, and mud or ice in "
    "the wheel before it is driven fast.";
constexpr const char* kLump =
    "So much may be a tire coming apart, a bead that is not seated or a bent wheel. Look at tread, "
    "sidewalls and rim before it is driven.";
constexpr const char* kLooseWheel =
    "A wheel so far off its centre is not seated. Look at the nuts and the faces before it is "
    "driven.";
constexpr const char* kLooseShaft =
    "A shaft so far out breaks its joints. Look at bolts and joints before it is driven, and do "
    "not drive it fast.";

// In the order of FaultKind.
constexpr std::array<KindWords, kFaultKinds> kKinds = {{
    {FaultKind::imbalance, "imbalance at the rim", Dimension::mass, "tire", 1.0,
     ShakesWhile::driving, 2.0, 0.110, kLostWeight},
    {FaultKind::couple_imbalance, "imbalance at both flanges, opposite", Dimension::mass, "tire",
     1.0, ShakesWhile::driving, 2.0, 0.110, kLostWeight},
    {FaultKind::force_variation, "radial force variation, peak to peak", Dimension::force, "tire",
     1.0, ShakesWhile::driving, 5000.0, 270.0, kLump},
    {FaultKind::radial_runout, "radial runout, total", Dimension::length, "tire", 1.0,
     ShakesWhile::driving, 0.05, 0.003, kLump},
    {FaultKind::lateral_runout, "lateral runout, total", Dimension::length, "tire", 1.0,
     ShakesWhile::driving, 0.05, 0.006, kLump},
    {FaultKind::eccentricity, "offset of the wheel from its axis", Dimension::length, "tire", 1.0,
     ShakesWhile::driving, 0.02, 0.0015, kLooseWheel},
    {FaultKind::shaft_imbalance, "imbalance at one end of a shaft", Dimension::moment, "driveshaft",
     1.0, ShakesWhile::driving, 0.1, 0.004, kLooseShaft},
    {FaultKind::shaft_runout, "runout in the middle of a shaft, total", Dimension::length,
     "driveshaft", 1.0, ShakesWhile::driving, 0.02, 0.003, kLooseShaft},
    {FaultKind::joint_angle, "joint angle, all joints together", Dimension::angle, "driveshaft",
     2.0, ShakesWhile::driving, 0.7, 0.21, kLooseShaft},
    {FaultKind::axial_force, "force along a half shaft", Dimension::force, "tire", 3.0,
     ShakesWhile::pulling, 5000.0, 0.0, ""},
    {FaultKind::brake_torque, "brake torque variation, peak to peak", kTorque, "tire", 1.0,
     ShakesWhile::braking, 5000.0, 0.0, ""},
    {FaultKind::engine_torque, "engine torque variation", kTorque, "engine", 0.0,
     ShakesWhile::driving, 5000.0, 0.0, ""},
}};

const KindWords& words_for(FaultKind kind) { return kKinds[static_cast<std::size_t>(kind)]; }

}  // namespace

UsualWay usual_way(FaultKind kind) {
  const KindWords& words = words_for(kind);
  return {words.source, words.order, words.when};
}

bool can_turn_with(FaultKind kind, std::string_view source) {
  switch (kind) {
    case FaultKind::shaft_imbalance:
    case FaultKind::shaft_runout:
      return source != "tire";
    case FaultKind::joint_angle:
      return source == "driveshaft" || source == "front_driveshaft";
    default:
      return source == usual_way(kind).source;
  }
}

std::optional<FaultKind> fault_kind_named(std::string_view name) {
  for (const KindWords& words : kKinds)
    if (name_of(words.kind) == name) return words.kind;
  return std::nullopt;
}

std::vector<std::string> fault_kind_names() {
  std::vector<std::string> out;
  for (const KindWords& words : kKinds) out.emplace_back(name_of(words.kind));
  return out;
}

std::string about(FaultKind kind) {
  const KindWords& words = words_for(kind);
  std::string units = "N m, lb ft";
  if (words.dimension) {
    units = usual_unit(*words.dimension, Units::metric);
    const std::string us(usual_unit(*words.dimension, Units::us));
    if (us != units) units += ", " + us;
  }
  return std::string(words.words) + ": " + units;
}

std::string size_words(FaultKind kind, double size, Units units) {
  const auto dimension = words_for(kind).dimension;
  return dimension ? show_rounded(size, *dimension, units) : torque_words(size, units);
}

std::string words_of(FaultKind kind, double size, Units units) {
  return size_words(kind, size, units) + " of " + words_for(kind).words;
}

double largest_of(FaultKind kind) { return words_for(kind).largest; }

Result<double> read_fault_size(FaultKind kind, std::string_view text, Units units) {
  const KindWords& words = words_for(kind);
  const auto read = words.dimension ? parse_quantity(text, *words.dimension) : read_torque(text);
  if (!read) return read.error();
  const double size = std::abs(*read);
  if (size > 0.0 && size <= words.largest) return size;
  return problem(quoted(text) + " is out of range",
                 "more than nothing, at most " + size_words(kind, words.largest, units));
}

std::string danger_of(FaultKind kind, double size) {
  const KindWords& words = words_for(kind);
  return words.beware > 0.0 && size >= words.beware ? words.danger : "";
}

}  // namespace perrev
