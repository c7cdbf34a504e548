#include "src/commands/vehicle_options.h"

namespace perrev {

void add_vehicle_options(CLI::App& command, VehicleOptions& options) {
  const auto add = [&](const char* name, Given& value, const char* help) {
    return command.add_option(name, value, help);
  };
  CLI::Option* tire = add("--tire", options.tire, "tire size, front and rear");
  add("--rear-tire", options.rear_tire, "the rear tires' size, if it is another")->needs(tire);
  add("--driven", options.driven, "the driven axle")
      ->check(CLI::IsMember({"front", "rear", "all", "part_time"}));
  add("--powertrain", options.powertrain, "what drives it")
      ->check(CLI::IsMember({"engine", "hybrid", "electric"}));
  add("--gearbox", options.gearbox, "the gearbox")
      ->check(CLI::IsMember({"manual", "automatic", "dual_clutch", "belt", "single_speed"}));
  add("--cylinders", options.cylinders, "how many the engine has");
  add("--axle-ratio", options.axle_ratio, "driveshaft turns for one turn of the wheels");
  add("--gear-ratio", options.gear_ratio, "engine turns for one of the gearbox output");
  add("--transfer-ratio", options.transfer_ratio, "gearbox output turns for one of the driveshaft");
  add("--reduction-ratio", options.reduction_ratio, "motor turns for one turn of the wheels");
  add("--accessory-ratio", options.accessory_ratio, "pulley turns for one of the crankshaft");
}

VehicleFacts vehicle_from(const VehicleOptions& options, OptionReader& reader) {
  const OptionReader::Allowed ratio{0.1, 30.0, "from 0.1 to 30"};
  const auto ratio_of = [&](const char* option, const Given& text) {
    return reader.quantity(option, text, Dimension::ratio, ratio);
  };
  VehicleFacts out;
  out.front_tire = reader.tire("--tire", options.tire);
  out.rear_tire =
      options.rear_tire ? reader.tire("--rear-tire", options.rear_tire) : out.front_tire;
  out.driven_axle = driven_axle_named(options.driven.value_or(""));
  out.powertrain = powertrain_named(options.powertrain.value_or(""));
  out.gearbox = gearbox_named(options.gearbox.value_or(""));
  out.axle_ratio = ratio_of("--axle-ratio", options.axle_ratio);
  out.gear_ratio = ratio_of("--gear-ratio", options.gear_ratio);
  out.transfer_ratio = ratio_of("--transfer-ratio", options.transfer_ratio);
  out.reduction_ratio = ratio_of("--reduction-ratio", options.reduction_ratio);
  out.accessory_ratio = ratio_of("--accessory-ratio", options.accessory_ratio);
  out.cylinders = reader.whole_number("--cylinders", options.cylinders, 2, 16);
  if (options.cylinders && out.powertrain == Powertrain::electric)
    reader.fault("--cylinders",
                 problem("an electric vehicle has none", "leave one of the two out"));
  return out;
}

}  // namespace perrev
