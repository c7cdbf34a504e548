// What a case knows of its vehicle and of the moment it shook, for the arithmetic of rotating
// parts.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

// Where a rule base has the facts that are read here, for whoever reads many cases; -1: nowhere.
struct VehicleFactIndices {
  explicit VehicleFactIndices(const RuleBase& base);

  int accessory_ratio, axle_ratio, cylinders, driven_axle, gear_ratio, gearbox, measured_frequency,
      powertrain, pressure_found, reduction_ratio, rpm_at_worst, speedometer_tire_size, tire_size,
      transfer_ratio, tread_depth, vehicle_kind, worst_speed;
};

// Refused: two tires on one axle whose sizes differ by more than 3 % (a temporary spare aside).
Result<VehicleFacts, Problems> vehicle_of(const CaseFile& file, const RuleBase& base,
                                          const CaseFacts& facts, std::size_t round);
// The same without the check of axles, for facts that were checked before.
VehicleFacts vehicle_of(const RuleBase& base, const CaseFacts& facts, std::size_t round);
VehicleFacts vehicle_of(const RuleBase& base, const VehicleFactIndices& at,
                        const RoundFacts& round);

// The id of the answer in force to a fact of kind one; empty where none is known.
std::string answer_known(const RuleBase& base, const RoundFacts& round, std::string_view fact);
std::string answer_known(const RuleBase& base, const RoundFacts& round, int fact);

// The facts that the two above and below read, by id.
const std::vector<std::string_view>& vehicle_facts();

// Speed and rpm at which the vibration is worst; `with` of the entry wins over the facts of the
// round.
Motion motion_of(const RuleBase& base, const CaseFacts& facts, std::size_t round);
Motion motion_of(const VehicleFactIndices& at, const RoundFacts& round);

}  // namespace perrev
