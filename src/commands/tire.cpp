// `perrev tire`: one tire's size and turns.
//
// JSON, metric whatever --units says: designation, kind (metric, flotation, inch, millimetre),
// construction (radial, bias, bias_belted), prefix, commercial, temporary_spare, section_width_mm,
// aspect_percent, rim_diameter_mm, outer_diameter_mm, rolling_circumference_mm (in the state that
// --tread and --pressure tell), rolling_circumference_sd_mm, revs_per_km, revs_per_mile,
// load_index, load_index_dual, load_range, maximum_load_kg, speed_symbol, maximum_speed_km_h,
// above_maximum_speed, cautions; with --speed also speed_km_h, speed_by, frequency_hz and
// frequency_sd_hz. What the designation does not tell is null.
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/vehicle/rotation.h"
#include "src/commands/common.h"
#include "src/commands/option_values.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

// A temporary spare is for this speed and less: 50 mph, 80 km/h. Common practice; it is moulded on
// the tire.
constexpr double kSpareSpeed = 80.5 / 3.6;

struct TireOptions {
  Common common;
  std::string size;
  Given speed, by, tread, pressure, placard;
};

struct Asked {
  Tire tire;
  TireState state;
  std::optional<double> speed;  // m/s
  Given by;
};

struct Turning {
  double speed = 0.0;  // m/s, as asked
  Estimate hz;
};

// What follows from it.
struct Answer {
  Estimate circumference;          // m, in the state it is in
  std::optional<Turning> turning;  // when a speed was given
  std::vector<std::string> cautions;

  double per_metre() const { return 1.0 / circumference.mean; }
};

// How often the tire turns. A speed that no instrument was named for is a true one.
std::optional<Turning> turning_of(const Asked& asked) {
  if (!asked.speed) return std::nullopt;
  VehicleFacts vehicle;
  vehicle.rear_tire = asked.tire;
  // The tire by itself: a spare's doubt is about an axle whose two wheels turn differently.
  vehicle.rear_tire->prefix.clear();
  vehicle.rear_state = asked.state;
  Motion motion;
  motion.speed = asked.speed;
  motion.by = asked.by ? speed_source_named(*asked.by) : SpeedSource::gps;
  if (!asked.by) motion.speed_reading_sd = 0.0;
  const Rotations found = rotations(vehicle, motion);
  const PartSpeed* wheels = found.find("rear_wheels");
  return wheels ? std::optional<Turning>({*asked.speed, wheels->hz}) : std::nullopt;
}

Answer answer_of(const Asked& asked) {
  const Tire& tire = asked.tire;
  Answer out;
  out.circumference = rolling_circumference(tire, asked.state);
  out.turning = turning_of(asked);
  if (tire.temporary_spare()) {
    out.cautions.push_back(kSpareCaution);
    if (asked.speed && *asked.speed > kSpareSpeed)
      out.cautions.push_back("The speed asked for is faster than that. Do not drive it.");
  } else if (asked.speed && tire.maximum_speed && !tire.above_maximum &&
             *asked.speed > *tire.maximum_speed) {
    out.cautions.push_back("The speed asked for is above what the tire is made for.");
  }
  return out;
}

const char* name_of(TireKind kind) {
  switch (kind) {
    case TireKind::metric:
      return "metric";
    case TireKind::flotation:
      return "flotation";
    case TireKind::inch:
      return "inch";
    case TireKind::millimetre:
      return "millimetre";
  }
  return "";
}

const char* name_of(TireConstruction construction) {
  switch (construction) {
    case TireConstruction::radial:
      return "radial";
    case TireConstruction::bias:
      return "bias";
    case TireConstruction::bias_belted:
      return "bias_belted";
  }
  return "";
}

template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json text_or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json size_or_null(double value) { return value > 0.0 ? Json(six_digits(value)) : Json(nullptr); }

Json to_json(const Asked& asked, const Answer& answer) {
  const Tire& tire = asked.tire;
  Json out = {{"designation", tire.designation},
              {"kind", name_of(tire.kind)},
              {"construction", name_of(tire.construction)},
              {"prefix", text_or_null(tire.prefix)},
              {"commercial", tire.commercial},
              {"temporary_spare", tire.temporary_spare()},
              {"section_width_mm", size_or_null(tire.width_mm)},
              {"aspect_percent", size_or_null(tire.aspect_percent)},
              {"rim_diameter_mm", size_or_null(tire.rim_mm)},
              {"outer_diameter_mm", six_digits(1000.0 * tire.outer_diameter)},
              {"rolling_circumference_mm", six_digits(1000.0 * answer.circumference.mean)},
              {"rolling_circumference_sd_mm", six_digits(1000.0 * answer.circumference.sd)},
              {"revs_per_km", six_digits(1000.0 * answer.per_metre())},
              {"revs_per_mile", six_digits(1609.344 * answer.per_metre())},
              {"load_index", or_null(tire.load_index)},
              {"load_index_dual", or_null(tire.load_index_dual)},
              {"load_range", text_or_null(tire.load_range)},
              {"maximum_load_kg", or_null(tire.maximum_load_kg)},
              {"speed_symbol", text_or_null(tire.speed_symbol)},
              {"maximum_speed_km_h",
               tire.maximum_speed ? Json(six_digits(3.6 * *tire.maximum_speed)) : Json(nullptr)},
              {"above_maximum_speed", tire.above_maximum}};
  if (answer.turning) {
    out["speed_km_h"] = six_digits(3.6 * answer.turning->speed);
    out["speed_by"] = or_null(asked.by);
    out["frequency_hz"] = six_digits(answer.turning->hz.mean);
    out["frequency_sd_hz"] = six_digits(answer.turning->hz.sd);
  }
  out["cautions"] = answer.cautions;
  return out;
}

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

std::string frequency_rows(const Asked& asked, const Answer& answer, Units units) {
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

std::string to_text(const Asked& asked, const Answer& answer, Units units) {
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
  Asked asked;
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
  const Answer answer = answer_of(asked);
  if (options.common.json)
    std::cout << to_json(asked, answer)
                     .dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace)
              << "\n";
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
