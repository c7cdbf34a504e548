#include <array>
#include <utility>

#include "engine/vehicle/rotation.h"

namespace perrev {

namespace {

template <class Kind, std::size_t n>
Kind named(std::string_view word, const std::array<std::pair<std::string_view, Kind>, n>& words) {
  for (const auto& [name, kind] : words)
    if (word == name) return kind;
  return Kind::unknown;
}

}  // namespace

DrivenAxle driven_axle_named(std::string_view word) {
  return named<DrivenAxle, 4>(word, {{{"front", DrivenAxle::front},
                                      {"rear", DrivenAxle::rear},
                                      {"all", DrivenAxle::all},
                                      {"part_time", DrivenAxle::part_time}}});
}

Powertrain powertrain_named(std::string_view word) {
  return named<Powertrain, 3>(word, {{{"engine", Powertrain::engine},
                                      {"hybrid", Powertrain::hybrid},
                                      {"electric", Powertrain::electric}}});
}

Gearbox gearbox_named(std::string_view word) {
  return named<Gearbox, 5>(word, {{{"manual", Gearbox::manual},
                                   {"automatic", Gearbox::automatic},
                                   {"dual_clutch", Gearbox::dual_clutch},
                                   {"belt", Gearbox::belt},
                                   {"single_speed", Gearbox::single_speed}}});
}

SpeedSource speed_source_named(std::string_view word) {
  return named<SpeedSource, 2>(
      word, {{{"speedometer", SpeedSource::speedometer}, {"gps", SpeedSource::gps}}});
}

}  // namespace perrev
