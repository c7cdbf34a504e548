// Names and units that rules/physics.yaml and the command line speak in.
#include "engine/physics/physics_book.h"

#include <doctest/doctest.h>

#include <set>
#include <string>

#include "engine/quantity/units.h"

using namespace perrev;

TEST_CASE("every place, push and kind of fault has a name of its own") {
  std::set<std::string> places, pushes, kinds;
  for (int i = 0; i < kFeltPlaces; ++i) places.emplace(name_of(static_cast<FeltPlace>(i)));
  for (int i = 0; i < kPushes; ++i) pushes.emplace(name_of(static_cast<Push>(i)));
  for (int i = 0; i < kFaultKinds; ++i) kinds.emplace(name_of(static_cast<FaultKind>(i)));
  CHECK(places.size() == kFeltPlaces);
  CHECK(pushes.size() == kPushes);
  CHECK(kinds.size() == kFaultKinds);
  CHECK(name_of(FeltPlace::gear_lever) == "gear_lever");
  CHECK(name_of(Push::pressure) == "pressure");
  CHECK(name_of(FaultKind::shaft_imbalance) == "shaft_imbalance");
  CHECK(name_of(FaultKind::engine_torque) == "engine_torque");
}

TEST_CASE("units of faults are those of quantities, with the same size") {
  for (int i = 0; i < kFaultKinds; ++i) {
    const auto kind = static_cast<FaultKind>(i);
    CAPTURE(std::string(name_of(kind)));
    if (unit_of(kind) == "N m") {  // a torque; quantities have none
      CHECK(si_per_unit(kind) == 1.0);
      continue;
    }
    const auto dimension = dimension_of_unit(unit_of(kind));
    REQUIRE(dimension);
    CHECK(find_unit(unit_of(kind), *dimension)->size ==
          doctest::Approx(si_per_unit(kind)).epsilon(1e-12));
  }
}
