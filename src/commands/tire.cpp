// `perrev tire`: one tire's size and turns.
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "src/answers/tire_answer.h"
#include "src/commands/common.h"
#include "src/commands/option_values.h"

namespace perrev {

namespace {

struct TireOptions {
  Common common;
  std::string size;
  Given speed, by, tread, pressure, placard;
};

constexpr std::size_t kColumn = 26;  // where the values stand

std::string in_unit(double si, Dimension dimension, Units units, int decimals) {
  return fixed(in_usual_unit(si, dimension, units), decimals) + " " +
         std::string(usual_unit(dimension, units));
}

std::string with_doubt(const Estimate& length, Units units) {
  const int decimals = units == Units::us ? 1 : 0;
  return in_unit(length.mean, Dimension::length, units, decimals) + ", give or take " +
         in_unit(length.sd, Dimension::length, units, decimals);
}

std::string kind_text(const Tire& tire) {
  std::string out = tire.construction == TireConstruction::radial ? "radial"
                    : tire.construction == TireConstruction::bias ? "bias ply"
                                                                  : "bias ply with a belt";
  out += tire.kind == TireKind::metric       ? ", metric size"
         : tire.kind == TireKind::flotation  ? ", flotation size"
         : tire.kind == TireKind::millimetre ? ", for a rim in mm"
                                             : ", inch size";
  if (tire.temporary_spare()) out += ", temporary spare";
  if (tire.commercial) out += ", for vans";
  if (tire.run_flat) out += ", runs flat";
  return out;
}

std::string service_rows(const Tire& tire, Units units) {
  std::string out;
  const auto weight = [&](double kg) {
    return units == Units::us ? fixed(kg / 0.45359237, 0) + " lb" : fixed(kg, 0) + " kg";
  };
  if (tire.maximum_load_kg && tire.load_index)
    out += row("  Load index " + std::to_string(*tire.load_index), kColumn,
               weight(*tire.maximum_load_kg) + " at most, single");
  if (!tire.load_range.empty()) out += row("  Load range", kColumn, tire.load_range);
  if (tire.maximum_speed)
    out +=
        row(tire.speed_symbol.empty() ? "  Speed" : "  Speed symbol " + tire.speed_symbol, kColumn,
            in_unit(*tire.maximum_speed, Dimension::speed, units, 0) +
                (tire.above_maximum ? " and more" : " at most"));
  return out;
}

std::string frequency_rows(const TireQuestion& asked, const TireAnswer& answer, Units units) {
  if (!answer.turning) return {};
  const Estimate& hz = answer.turning->hz;
  std::string out =
      row("  At " + in_unit(answer.turning->speed, Dimension::speed, units, 0), kColumn,
          fixed(hz.mean, 2) + " Hz, give or take " + fixed(hz.sd, 2) + " Hz");
  const std::string by = asked.by.value_or("");
  out +=
      wrapped(by == "speedometer" ? "The speed is the speedometer's, which reads about 2.5 % high."
              : by == "gps"       ? "The speed is the satellite's, read to 1 mph."
                                  : "The speed is taken as true; say --by where it was read.",
              kColumn, kColumn);
  return out;
}

std::string to_text(const TireQuestion& asked, const TireAnswer& answer, Units units) {
  const Tire& tire = asked.tire;
  std::string out = wrapped(tire.designation, 0, 2);
  out += row("  Kind", kColumn, kind_text(tire));
  out += row("  Outer diameter", kColumn,
             in_unit(tire.outer_diameter, Dimension::length, units, units == Units::us ? 1 : 0));
  out += row("  Rolling circumference", kColumn, with_doubt(answer.circumference, units));
  out += row(units == Units::us ? "  Turns per mile" : "  Turns per km", kColumn,
             fixed((units == Units::us ? 1609.344 : 1000.0) * answer.per_metre(), 0));
  out += service_rows(tire, units) + frequency_rows(asked, answer, units);
  if (tire.size_sd > 0.0)
    out += "\n" +
           wrapped("The designation leaves the true height of the tire open: measure it.", 0, 0);
  const bool known = asked.state.tread_depth && asked.state.pressure;
  out += "\n" + wrapped(std::string("Give or take is one standard deviation") +
                            (known ? "." : ", wider as --tread and --pressure are not told."),
                        0, 0);
  for (const std::string& caution : answer.cautions) out += wrapped("Caution: " + caution, 0, 2);
  return out;
}

Exit run(const TireOptions& options) {
  OptionReader reader;
  const auto tire = reader.tire("SIZE", options.size);
  TireQuestion asked;
  asked.by = options.by;
  asked.speed = reader.quantity("--speed", options.speed, Dimension::speed, kRoadSpeed);
  asked.state.tread_depth =
      reader.quantity("--tread", options.tread, Dimension::length, {0.0, 0.030, "from 0 to 30 mm"});
  const OptionReader::Allowed pressure{2e4, 1.2e6, "from 20 to 1200 kPa (3 to 174 psi)"};
  asked.state.pressure =
      reader.quantity("--pressure", options.pressure, Dimension::pressure, pressure);
  asked.state.placard_pressure =
      reader.quantity("--placard", options.placard, Dimension::pressure, pressure);
  if (reader.failed() || !tire) return reader.tell();
  asked.tire = *tire;
  const TireAnswer answer = tire_answer(asked);
  if (options.common.json)
    std::cout << indented_json(to_json(asked, answer)) << "\n";
  else
    std::cout << to_text(asked, answer, options.common.units());
  return Exit::done;
}

}  // namespace

void add_tire_command(CLI::App& app, Action& chosen) {
  CLI::App* command = app.add_subcommand("tire", "Size, rolling circumference and turns of a tire");
  const auto options = std::make_shared<TireOptions>();
  command->add_option("SIZE", options->size, "the designation, as moulded on the side")->required();
  CLI::Option* speed =
      command->add_option("--speed", options->speed, "how often it turns at this speed");
  command->add_option("--by", options->by, "what showed the speed; default: it is true")
      ->check(CLI::IsMember({"speedometer", "gps"}))
      ->needs(speed);
  command->add_option("--tread", options->tread, "tread depth now");
  CLI::Option* pressure = command->add_option("--pressure", options->pressure, "pressure now");
  CLI::Option* placard = command->add_option("--placard", options->placard, "the placard's");
  pressure->needs(placard);
  placard->needs(pressure);
  add_units_and_json(*command, options->common);
  command->footer("Example: perrev tire 225/60R16 --speed \"65 mph\" --tread \"5 mm\"");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
