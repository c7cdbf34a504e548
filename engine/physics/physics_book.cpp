#include "engine/physics/physics_book.h"

#include <array>
#include <cstddef>

#include "engine/quantity/angle.h"

namespace perrev {
namespace {

struct KindWords {
  std::string_view name, unit;
  double si;
};

// In the order of FaultKind.
constexpr std::array<KindWords, kFaultKinds> kKinds{{{"imbalance", "g", 1e-3},
                                                     {"couple_imbalance", "g", 1e-3},
                                                     {"force_variation", "N", 1.0},
                                                     {"radial_runout", "mm", 1e-3},
                                                     {"lateral_runout", "mm", 1e-3},
                                                     {"eccentricity", "mm", 1e-3},
                                                     {"shaft_imbalance", "g mm", 1e-6},
                                                     {"shaft_runout", "mm", 1e-3},
                                                     {"joint_angle", "deg", kDegree},
                                                     {"axial_force", "N", 1.0},
                                                     {"brake_torque", "N m", 1.0},
                                                     {"engine_torque", "N m", 1.0}}};

constexpr std::array<std::string_view, kFeltPlaces> kPlaces{"steering_wheel", "seat", "floor",
                                                            "brake_pedal", "gear_lever"};
constexpr std::array<std::string_view, kPushes> kPushNames{
    "vertical", "fore_aft", "steer", "lateral", "shaft", "axial", "torque", "pressure"};
constexpr std::array<std::string_view, kShakesWhile> kWhile{"driving", "braking", "pulling"};

const KindWords& words_of(FaultKind kind) { return kKinds[static_cast<std::size_t>(kind)]; }

}  // namespace

std::string_view name_of(FeltPlace place) { return kPlaces[static_cast<std::size_t>(place)]; }
std::string_view name_of(Push push) { return kPushNames[static_cast<std::size_t>(push)]; }
std::string_view name_of(ShakesWhile when) { return kWhile[static_cast<std::size_t>(when)]; }
std::string_view name_of(FaultKind kind) { return words_of(kind).name; }
std::string_view unit_of(FaultKind kind) { return words_of(kind).unit; }
double si_per_unit(FaultKind kind) { return words_of(kind).si; }

int body_index(const PhysicsBook& book, std::string_view id) {
  for (std::size_t b = 0; b < book.bodies.size(); ++b)
    if (book.bodies[b].id == id) return static_cast<int>(b);
  return 0;
}

}  // namespace perrev
