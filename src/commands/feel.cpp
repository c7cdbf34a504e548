// `perrev feel`: what a fault of some size feels like over speed.
#include <algorithm>
#include <array>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "engine/quantity/text.h"
#include "src/answers/feel_words.h"
#include "src/commands/common.h"
#include "src/commands/vehicle_options.h"
#include "src/files.h"
#include "src/rules.h"

namespace perrev {

namespace {

constexpr std::size_t kPlacesShown = 3;

struct FeelOptions {
  Common common;
  VehicleOptions vehicle;
  Given kind_of_vehicle, cause, kind, size, at, source, order, speed;
  std::string plot;
};

FaultAsked fault_from(const FeelOptions& options, const RuleBase& base, OptionReader& reader) {
  FaultAsked out;
  if (options.cause) {
    out.cause = base.cause_index(*options.cause);
    std::vector<std::string> ids;
    for (const Cause& cause : base.causes) ids.push_back(cause.id);
    if (out.cause < 0)
      reader.fault("--cause", problem("there is no cause " + perrev::quoted(*options.cause),
                                      near_or(*options.cause, ids, "an id of rules/causes/")));
  }
  if (options.kind) out.kind = fault_kind_named(*options.kind);
  if (!options.cause && !options.kind)
    reader.fault("--cause", problem("no fault is named", "--cause, or --kind and --size"));
  out.size = options.size;
  if (options.at) out.front = *options.at == "front" ? 1.0 : 0.0;
  out.source = options.source.value_or("");
  out.order =
      reader.quantity("--order", options.order, Dimension::count, {0.5, 40.0, "from 0.5 to 40"});
  return out;
}

// Its place names the option it belongs to, if any.
Exit tell_fault(const Problem& problem) {
  const std::string option = problem.place.pointer;
  if (option.empty()) return tell(problem);
  Problem plain = problem;
  plain.place = {};
  return tell_option("--" + option, plain);
}

std::string right_of(const std::string& text, std::size_t width) {
  return std::string(text.size() < width ? width - text.size() : 0, ' ') + text;
}

struct PushColumn {
  Push push;
  const char* head;
  bool torque;
};
// In the order in which one is chosen: of those that push at all, the first.
constexpr std::array<PushColumn, 8> kPushColumns = {{
    {Push::shaft, "at shaft", false},
    {Push::axial, "axial", false},
    {Push::pressure, "at pedal", false},
    {Push::vertical, "up, down", false},
    {Push::torque, "torque", true},
    {Push::steer, "steering", true},
    {Push::lateral, "sideways", false},
    {Push::fore_aft, "to, fro", false},
}};

static_assert(kPushColumns.size() == kPushes);

const PushColumn& push_column(const FeelAnswer& answer) {
  for (const PushColumn& column : kPushColumns)
    if (answer.curve.back().pushes[static_cast<std::size_t>(column.push)] > 0.0) return column;
  return kPushColumns.front();
}

// Where it is most felt, in their usual order.
std::vector<FeltPlace> places_shown(const FeelAnswer& answer) {
  std::vector<FeltPlace> out = felt_places(answer);
  if (out.size() > kPlacesShown) out.resize(kPlacesShown);
  std::sort(out.begin(), out.end());
  return out;
}

const char* head_of(FeltPlace place) {
  constexpr std::array<const char*, kFeltPlaces> kHeads = {"wheel", "seat", "floor", "pedal",
                                                           "lever"};
  return kHeads[static_cast<std::size_t>(place)];
}

std::string table(const FeelAnswer& answer, Units units) {
  const PushColumn& push = push_column(answer);
  const std::vector<FeltPlace> places = places_shown(answer);
  const bool us = units == Units::us;
  const std::string unit = us ? (push.torque ? "lb ft" : "lb") : (push.torque ? "N m" : "N");
  const std::size_t middle = 27 + 8 * places.size();
  std::string top = right_of(push.head, 25) + "  m/s2 r.m.s.";
  top.resize(std::max(top.size(), middle + 2), ' ');
  std::string head = right_of(std::string(usual_unit(Dimension::speed, units)), 6) +
                     right_of("Hz", 8) + right_of(unit, 11);
  for (const FeltPlace place : places) head += right_of(head_of(place), 8);
  head += "  ";
  for (const FeltPlace place : places) head += right_of(head_of(place), 6);
  std::string out = top + "  felt by, %\n" + head + right_of("any", 6) + "\n";
  for (const FeltPoint& point : answer.rows) {
    const double pushed = point.pushes[static_cast<std::size_t>(push.push)];
    out += right_of(fixed(in_usual_unit(point.speed, Dimension::speed, units), 0), 6) +
           right_of(short_hz(point.hz), 8) +
           right_of(fixed(in_usual_unit(pushed, Dimension::force, units) /
                              (us && push.torque ? 0.3048 : 1.0),
                          1),
                    11);
    for (const FeltPlace place : places)
      out += right_of(fixed(point.places[static_cast<std::size_t>(place)].acceleration, 3), 8);
    out += "  ";
    for (const FeltPlace place : places)
      out +=
          right_of(fixed(100.0 * point.places[static_cast<std::size_t>(place)].probability, 0), 6);
    out += right_of(fixed(100.0 * point.probability, 0), 6) + "\n";
  }
  return out;
}

std::string to_text(const FeelQuestion& asked, const FeelAnswer& answer, Units units) {
  const auto& tire = asked.vehicle.front_tire;
  std::string out =
      wrapped("What is felt of " + feel_title(asked.fault, units) + "; " +
                  spaced(asked.fault.source) + " order " + show_number(asked.fault.order) + ", " +
                  answer.vehicle_kind + (tire ? " with " + tire->designation : ""),
              0, 2);
  out += "\n" + table(answer, units) + "\n";
  for (const std::string& sentence : feel_sentences(asked, answer, units))
    out += wrapped(sentence, 0, 2);
  for (const std::string& caution : answer.cautions) out += wrapped("Caution: " + caution, 0, 2);
  out += "\n";
  for (const std::string& note : answer.notes) out += wrapped(note, 0, 2);
  return out;
}

Exit write_plot(const FeelOptions& options, const FeelQuestion& asked, const FeelAnswer& answer) {
  std::vector<FeelMark> marks;
  if (asked.speed)
    marks.push_back(
        {*asked.speed, show_rounded(*asked.speed, Dimension::speed, options.common.units())});
  const Problems problems = write_output(
      options.plot, svg_of(feel_plot(asked, answer, marks, options.common.units())), {"<svg"});
  return problems.empty() ? Exit::done : tell(problems);
}

Exit run(const FeelOptions& options) {
  const auto base = load_rules(rules_folder(options.common.rules));
  if (!base) return tell(base.error());
  const Units units = options.common.units();
  OptionReader reader;
  FeelQuestion asked;
  asked.vehicle = vehicle_from(options.vehicle, reader);
  asked.vehicle_kind = options.kind_of_vehicle.value_or("");
  asked.speed = reader.quantity("--speed", options.speed, Dimension::speed,
                                {kFeelFrom, kFeelTo, "from 20 to 140 km/h (13 to 87 mph)"});
  const FaultAsked named = fault_from(options, *base, reader);
  if (reader.failed()) return reader.tell();
  const auto fault = fault_asked(*base, named, asked.vehicle, units);
  if (!fault) return tell_fault(fault.error());
  asked.fault = *fault;
  const auto answer = feel_answer(*base, asked, units);
  if (!answer) return tell(answer.error());
  if (!options.plot.empty()) {
    const Exit written = write_plot(options, asked, *answer);
    if (written != Exit::done) return written;
  }
  if (options.common.json)
    std::cout << indented_json(to_json(asked, *answer, units)) << "\n";
  else
    std::cout << to_text(asked, *answer, units)
              << (options.plot.empty() ? "" : "\nWritten: " + options.plot + "\n");
  return Exit::done;
}

std::string footer() {
  std::string out = "Kinds, with the units of their sizes:\n";
  for (const std::string& name : fault_kind_names())
    out += row("  " + name, 20, about(*fault_kind_named(name)));
  return out +
         "Example: perrev feel --tire 225/60R16 --cause static_imbalance --size \"1 oz\" \\\n"
         "  --at front --speed \"65 mph\" --plot felt.svg";
}

}  // namespace

void add_feel_command(CLI::App& app, Action& chosen) {
  CLI::App* command = app.add_subcommand(
      "feel", "What a fault of some size feels like: where, at which speeds, to how many people");
  const auto options = std::make_shared<FeelOptions>();
  const auto add = [&](const char* name, Given& value, const char* help) {
    return command->add_option(name, value, help);
  };
  CLI::Option* cause = add("--cause", options->cause, "a cause of the rule base");
  add("--kind", options->kind, "or a kind of fault, as below")
      ->check(CLI::IsMember(fault_kind_names()))
      ->excludes(cause);
  add("--size", options->size, "how large it is; default: the middle one of the cause");
  add("--at", options->at, "the axle it sits at")->check(CLI::IsMember({"front", "rear"}));
  add("--source", options->source, "the part it turns with, if it is another")
      ->check(CLI::IsMember(fault_sources()));
  add("--order", options->order, "how often it shakes in a turn of that part");
  add("--vehicle", options->kind_of_vehicle, "the kind of vehicle")
      ->check(CLI::IsMember({"car", "suv", "van", "pickup"}));
  add_vehicle_options(*command, options->vehicle);
  add("--speed", options->speed, "one speed to look at");
  command->add_option("--plot", options->plot, "the SVG file to draw it in")->type_name("FILE");
  add_rules_option(*command, options->common);
  add_units_and_json(*command, options->common);
  command->footer(footer());
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
