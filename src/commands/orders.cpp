// `perrev orders`: the frequencies that the turning parts can make at one moment.
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "src/answers/lines_answer.h"
#include "src/commands/common.h"
#include "src/commands/option_values.h"

namespace perrev {

namespace {

constexpr std::size_t kPairsShown = 6;

struct OrdersOptions {
  Common common;
  Given tire, rear_tire, speedometer_tire, driven, powertrain, gearbox, axle_ratio, gear_ratio,
      transfer_ratio, reduction_ratio, accessory_ratio, cylinders, speed, by, rpm, measured;
};

VehicleFacts vehicle_from(const OrdersOptions& options, OptionReader& reader) {
  const OptionReader::Allowed ratio{0.1, 30.0, "from 0.1 to 30"};
  const auto ratio_of = [&](const char* option, const Given& text) {
    return reader.quantity(option, text, Dimension::ratio, ratio);
  };
  VehicleFacts out;
  out.front_tire = reader.tire("--tire", options.tire);
  out.rear_tire =
      options.rear_tire ? reader.tire("--rear-tire", options.rear_tire) : out.front_tire;
  out.speedometer_tire = reader.tire("--speedometer-tire", options.speedometer_tire);
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

LinesQuestion asked_from(const OrdersOptions& options, OptionReader& reader) {
  LinesQuestion out;
  out.vehicle = vehicle_from(options, reader);
  out.motion.speed = reader.quantity("--speed", options.speed, Dimension::speed, kRoadSpeed);
  out.motion.by = speed_source_named(options.by.value_or(""));
  out.motion.engine_hz =
      reader.quantity("--rpm", options.rpm, Dimension::frequency,
                      {100.0 / 60.0, 20000.0 / 60.0, "from 100 to 20000 rpm"}, "rpm");
  out.measured = reader.quantity("--measured", options.measured, Dimension::frequency,
                                 {1.0, 200.0, "from 1 to 200 Hz"});
  return out;
}

// In words, how well the line explains what was measured; empty where it hardly does.
std::string mark(double probability) {
  if (probability < kInQuestion) return {};
  const char* words = probability >= 0.5      ? "most likely this"
                      : probability >= kMayBe ? "may be this"
                                              : "hardly this";
  return std::string(words) + ", " + percent(probability);
}

constexpr std::size_t kWordColumn = 26;  // where the words stand

std::string right_aligned(const std::string& text, std::size_t width) {
  return std::string(text.size() < width ? width - text.size() : 0, ' ') + text;
}

std::string line_text(const OrderLine& line, const std::string& marked) {
  std::string out =
      row(right_aligned(short_hz(line.hz.mean), 8) + right_aligned(short_hz(line.hz.sd), 15),
          kWordColumn, line.about);
  if (!marked.empty()) out += wrapped("<- " + marked, kWordColumn, kWordColumn + 3);
  return out;
}

// "tire order 2, front", "engine order 4": without what explains it.
std::string short_name(const OrderLine& line) {
  std::size_t end = line.about.find(',');
  if (!is_engines(line) && end != std::string::npos) end = line.about.find(',', end + 1);
  return line.about.substr(0, end);
}

std::string twins_text(const LinesAnswer& answer) {
  std::vector<const Twins*> told;  // what holds for the first order holds for its multiples
  for (const Twins& twins : answer.twins) {
    const OrderLine &a = answer.lines[twins.first], &b = answer.lines[twins.second];
    const bool repeats = std::any_of(told.begin(), told.end(), [&](const Twins* earlier) {
      return answer.lines[earlier->first].part == a.part &&
             answer.lines[earlier->second].part == b.part && a.order == b.order;
    });
    if (!repeats) told.push_back(&twins);
  }
  if (told.empty()) return {};
  std::string out = "\nLines that one reading cannot tell apart here\n";
  for (std::size_t i = 0; i < told.size() && i < kPairsShown; ++i)
    out += wrapped("- " + short_name(answer.lines[told[i]->first]) + " and " +
                       short_name(answer.lines[told[i]->second]) + ": " + short_hz(told[i]->apart) +
                       " Hz apart. " + told[i]->advice,
                   2, 4);
  if (told.size() > kPairsShown)
    out += "  and " + std::to_string(told.size() - kPairsShown) + " more pairs\n";
  return out;
}

std::string to_text(const LinesQuestion& asked, const LinesAnswer& answer, Units units) {
  std::string out;
  if (asked.motion.speed)
    out = "At " + show(*asked.motion.speed, Dimension::speed, units) +
          (asked.motion.by == SpeedSource::gps           ? " by satellite"
           : asked.motion.by == SpeedSource::speedometer ? " by the speedometer"
                                                         : "");
  if (asked.motion.engine_hz)
    out += (out.empty() ? "At " : " and ") + fixed(60.0 * *asked.motion.engine_hz, 0) + " rpm";
  if (asked.measured) out += "; measured " + show(*asked.measured, Dimension::frequency, units);
  out += "\n";
  for (const Conflict& conflict : answer.turning.conflicts)
    out += wrapped("These cannot all be true: " + conflict.what + ".", 0, 2);
  out += "\n      Hz   give or take   what can shake at this frequency\n";
  for (std::size_t i = 0; i < answer.lines.size(); ++i)
    out +=
        line_text(answer.lines[i],
                  answer.explained ? mark(answer.explained->lines[i].probability) : std::string());
  if (answer.explained)
    out += wrapped("Something that is not in this list: " + percent(answer.explained->unexplained),
                   kWordColumn, kWordColumn + 2);
  out += twins_text(answer);
  out += "\nGive or take is one standard deviation.\n";
  for (const std::string& note : answer.notes) out += wrapped(note, 0, 2);
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
    std::cout << to_text(asked, answer, options.common.units());
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
  CLI::Option* tire = add("--tire", options->tire, "tire size, front and rear");
  add("--rear-tire", options->rear_tire, "the rear tires' size, if it is another")->needs(tire);
  add("--speedometer-tire", options->speedometer_tire, "the size the speedometer is set for");
  CLI::Option* speed = add("--speed", options->speed, "road speed");
  add("--by", options->by, "what showed the speed")
      ->check(CLI::IsMember({"speedometer", "gps"}))
      ->needs(speed);
  add("--rpm", options->rpm, "engine speed, in rpm");
  add("--measured", options->measured, "the frequency that was measured then");
  add("--driven", options->driven, "the driven axle")
      ->check(CLI::IsMember({"front", "rear", "all", "part_time"}));
  add("--powertrain", options->powertrain, "what drives it")
      ->check(CLI::IsMember({"engine", "hybrid", "electric"}));
  add("--gearbox", options->gearbox, "the gearbox")
      ->check(CLI::IsMember({"manual", "automatic", "dual_clutch", "belt", "single_speed"}));
  add("--cylinders", options->cylinders, "how many the engine has");
  add("--axle-ratio", options->axle_ratio, "driveshaft turns for one turn of the wheels");
  add("--gear-ratio", options->gear_ratio, "engine turns for one of the gearbox output");
  add("--transfer-ratio", options->transfer_ratio,
      "gearbox output turns for one of the driveshaft");
  add("--reduction-ratio", options->reduction_ratio, "motor turns for one turn of the wheels");
  add("--accessory-ratio", options->accessory_ratio, "pulley turns for one of the crankshaft");
  add_units_and_json(*command, options->common);
  command->footer(
      "Example: perrev orders --tire 265/70R17 --driven rear --axle-ratio 3.73\n"
      "  --cylinders 8 --speed \"58 mph\" --by gps --rpm 1650 --measured \"45 Hz\"");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
