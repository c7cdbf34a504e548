// The options that tell of a vehicle, for the commands that compute with one.
#pragma once

#include "src/commands/option_values.h"

namespace perrev {

struct VehicleOptions {
  Given tire, rear_tire, driven, powertrain, gearbox, axle_ratio, gear_ratio, transfer_ratio,
      reduction_ratio, accessory_ratio, cylinders;
};

void add_vehicle_options(CLI::App& command, VehicleOptions& options);
VehicleFacts vehicle_from(const VehicleOptions& options, OptionReader& reader);

}  // namespace perrev
