// `perrev orders`: the frequencies that the turning parts can make at one moment.
#include <array>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "engine/quantity/text.h"
#include "src/answers/lines_answer.h"
#include "src/commands/common.h"
#include "src/commands/option_values.h"
#include "src/commands/vehicle_options.h"

namespace perrev {

namespace {

struct OrdersOptions {
  Common common;
  VehicleOptions vehicle;
  Given speedometer_tire, speed, by, rpm, feels, beat, treads, pressures;
  std::vector<std::string> measured;
};

constexpr std::array<std::pair<const char*, FeltRate>, kFeltRates> kFeels = {
    {{"wheel", FeltRate::wheel},
     {"twice", FeltRate::twice},
     {"shaft", FeltRate::shaft},
     {"engine", FeltRate::engine},
     {"sound", FeltRate::sound}}};

// Values parted by commas; a comma between two digits is a decimal one.
std::vector<std::string> parted(const std::string& text) {
  const auto digit = [&](std::size_t i) {
    return i < text.size() && text[i] >= '0' && text[i] <= '9';
  };
  std::vector<std::string> out(1);
  for (std::size_t i = 0; i < text.size(); ++i)
    if (text[i] == ',' && !(i > 0 && digit(i - 1) && digit(i + 1)))
      out.emplace_back();
    else if (text[i] != ' ' || !out.back().empty())
      out.back() += text[i];
  return out;
}

// Two values, of two wheels.
std::optional<std::pair<double, double>> two(OptionReader& reader, const std::string& option,
                                             const Given& text, Dimension due,
                                             const OptionReader::Allowed& allowed) {
  if (!text) return std::nullopt;
  const std::vector<std::string> parts = parted(*text);
  if (parts.size() != 2) {
    reader.fault(option, problem(perrev::quoted(*text) + " is not two values",
                                 "one of each wheel, with a comma between"));
    return std::nullopt;
  }
  const auto one = reader.quantity(option, parts[0], due, allowed),
             other = reader.quantity(option, parts[1], due, allowed);
  if (!one || !other) return std::nullopt;
  return std::pair(*one, *other);
}

LinesQuestion asked_from(const OrdersOptions& options, OptionReader& reader) {
  LinesQuestion out;
  out.vehicle = vehicle_from(options.vehicle, reader);
  out.vehicle.speedometer_tire = reader.tire("--speedometer-tire", options.speedometer_tire);
  out.motion.speed = reader.quantity("--speed", options.speed, Dimension::speed, kRoadSpeed);
  out.motion.by = speed_source_named(options.by.value_or(""));
  out.motion.engine_hz =
      reader.quantity("--rpm", options.rpm, Dimension::frequency,
                      {100.0 / 60.0, 20000.0 / 60.0, "from 100 to 20000 rpm"}, "rpm");
  for (const std::string& given : options.measured)
    for (const std::string& reading : parted(given))
      if (const auto hz = reader.quantity("--measured", reading, Dimension::frequency,
                                          {kLowestHz, kHighestHz, "from 1 to 200 Hz"}))
        out.measured.push_back(*hz);
  for (const auto& [word, rate] : kFeels)
    if (options.feels == word) out.feels = rate;
  out.beat =
      reader.quantity("--beat", options.beat, Dimension::time, {0.2, 120.0, "from 0.2 to 120 s"});
  out.treads =
      two(reader, "--treads", options.treads, Dimension::length, {0.0, 0.030, "from 0 to 30 mm"});
  out.pressures = two(reader, "--pressures", options.pressures, Dimension::pressure,
                      {50e3, 1e6, "from 50 to 1000 kPa"});
  return out;
}

Exit run(const OrdersOptions& options) {
  OptionReader reader;
  const LinesQuestion asked = asked_from(options, reader);
  if (reader.failed()) return reader.tell();
  const LinesAnswer answer = lines_answer(asked);
  if (answer.lines.empty() && answer.turning.conflicts.empty())
    return tell(problem("nothing can be computed from this", "--tire and --speed, or --rpm"));
  if (options.common.json)
    std::cout << indented_json(to_json(asked, answer)) << "\n";
  else
    std::cout << lines_text(asked, answer, options.common.units());
  return Exit::done;
}

}  // namespace

void add_orders_command(CLI::App& app, Action& chosen) {
  CLI::App* command = app.add_subcommand(
      "orders", "Which frequencies the turning parts can make, and which one was measured");
  const auto options = std::make_shared<OrdersOptions>();
  const auto add = [&](const char* name, Given& value, const char* help) {
    return command->add_option(name, value, help);
  };
  add_vehicle_options(*command, options->vehicle);
  add("--speedometer-tire", options->speedometer_tire, "the size the speedometer is set for");
  CLI::Option* speed = add("--speed", options->speed, "road speed");
  add("--by", options->by, "what showed the speed")
      ->check(CLI::IsMember({"speedometer", "gps"}))
      ->needs(speed);
  add("--rpm", options->rpm, "engine speed, in rpm");
  command
      ->add_option("--measured", options->measured,
                   "what was measured then; again, or with commas: several")
      ->allow_extra_args(false);
  std::vector<std::string> feels;
  for (const auto& [word, rate] : kFeels) feels.emplace_back(word);
  add("--feels", options->feels, "how fast it feels: as the wheel turns, ...")
      ->check(CLI::IsMember(feels));
  add("--beat", options->beat, "from one swelling to the next, counted");
  add("--treads", options->treads, "tread depths of two wheels: \"7 mm, 5 mm\"");
  add("--pressures", options->pressures, "pressures of two wheels: \"33 psi, 29 psi\"");
  add_units_and_json(*command, options->common);
  command->footer(
      "Example: perrev orders --tire 265/70R17 --driven rear --axle-ratio 3.73 \\\n"
      "  --cylinders 8 --speed \"58 mph\" --by gps --rpm 1650 --measured \"10.6 Hz, 45 Hz\"");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
