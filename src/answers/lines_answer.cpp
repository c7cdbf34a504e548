#include "src/answers/lines_answer.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "src/answers/tire_answer.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

// Lines of one train nearer than this stay one line at any speed that can be driven.
constexpr double kAlike = 0.02;

// What would part two lines. Those of one train keep their ratio at every speed and in every gear.
std::string advice_for(const OrderLine& a, const OrderLine& b) {
  if (is_engines(a) != is_engines(b))
    return "Drive the same speed in another gear: the engine's line moves, the other one stays.";
  if (std::abs(a.hz.mean - b.hz.mean) < kAlike * a.hz.mean)
    return "They turn together at every speed and in every gear: only a look at the parts tells.";
  if (is_engines(a)) return "Both follow the engine: pick a higher engine speed, standing.";
  if (a.source == b.source)
    return "No speed or gear parts front and rear: record longer than one swelling and fading, or "
           "feel which end shakes.";
  return "Both follow the wheels and no gear parts them: pick a higher speed, read by satellite.";
}

std::vector<Twins> twins_of(const LinesQuestion& asked, const LinesAnswer& answer) {
  std::vector<Twins> out;
  const auto at_least = [&](std::size_t i, double probability, bool unmeasured) {
    return answer.explained ? answer.explained->lines[i].probability >= probability : unmeasured;
  };
  for (std::size_t i = 0; i < answer.lines.size(); ++i)
    for (std::size_t j = i + 1; j < answer.lines.size(); ++j) {
      if (!at_least(i, kInQuestion, true) || !at_least(j, kInQuestion, true)) continue;
      const OrderLine &a = answer.lines[i], &b = answer.lines[j];
      const double read = reading_sd(asked.measured.value_or(0.5 * (a.hz.mean + b.hz.mean)));
      const double apart = b.hz.mean - a.hz.mean;
      const bool near = apart <= 2.0 * std::hypot(std::max(a.hz.sd, b.hz.sd), read);
      if (near || (at_least(i, kMayBe, false) && at_least(j, kMayBe, false)))
        out.push_back({i, j, apart, advice_for(a, b)});
    }
  return out;
}

std::vector<std::string> notes_on(const LinesQuestion& asked, const LinesAnswer& answer) {
  const VehicleFacts& vehicle = asked.vehicle;
  const auto lacks = [&](const char* source) {
    return std::none_of(answer.lines.begin(), answer.lines.end(),
                        [&](const OrderLine& line) { return line.source == source; });
  };
  std::vector<std::string> out;
  if (asked.motion.speed && asked.motion.by == SpeedSource::unknown)
    out.push_back(
        "The speed is taken as a speedometer's, about 2.5 % high; say --by speedometer or gps.");
  if (vehicle.axle_ratio && vehicle.driven_axle == DrivenAxle::unknown && !lacks("driveshaft"))
    out.push_back(
        "The axle ratio is taken for that of a driven rear axle with a driveshaft; say --driven.");
  for (const auto& tire : {vehicle.front_tire, vehicle.rear_tire})
    if (tire && tire->temporary_spare() && (out.empty() || out.back() != kSpareCaution))
      out.push_back(kSpareCaution);
  if (lacks("tire")) out.push_back("The wheels' lines need --tire and --speed.");
  const bool electric = vehicle.powertrain == Powertrain::electric;
  if (lacks("engine") && !electric && (vehicle.cylinders || vehicle.accessory_ratio))
    out.push_back("The engine's lines need --rpm, or --axle-ratio and --gear-ratio.");
  if (!lacks("engine") && !vehicle.cylinders) out.push_back("The firing order needs --cylinders.");
  if (lacks("motor_rotor") && vehicle.reduction_ratio)
    out.push_back("The motor's line needs --powertrain electric or hybrid, --tire and --speed.");
  return out;
}

}  // namespace

LinesAnswer lines_answer(const LinesQuestion& asked) {
  LinesAnswer out;
  out.turning = rotations(asked.vehicle, asked.motion);
  out.lines = order_lines(asked.vehicle, out.turning);
  if (asked.measured)
    out.explained = explain_frequency(out.lines, *asked.measured, reading_sd(*asked.measured));
  out.twins = twins_of(asked, out);
  out.notes = notes_on(asked, out);
  return out;
}

Json to_json(const LinesQuestion& asked, const LinesAnswer& answer) {
  Json out = {{"lines", Json::array()}};
  for (std::size_t i = 0; i < answer.lines.size(); ++i) {
    const OrderLine& line = answer.lines[i];
    Json item = {{"source", line.source},           {"part", line.part},
                 {"order", six_digits(line.order)}, {"frequency_hz", six_digits(line.hz.mean)},
                 {"sd_hz", six_digits(line.hz.sd)}, {"about", line.about}};
    if (answer.explained) item["probability"] = six_digits(answer.explained->lines[i].probability);
    out["lines"].push_back(item);
  }
  out["measured_hz"] = asked.measured ? Json(six_digits(*asked.measured)) : Json(nullptr);
  out["unexplained_probability"] =
      answer.explained ? Json(six_digits(answer.explained->unexplained)) : Json(nullptr);
  out["not_told_apart"] = Json::array();
  for (const Twins& twins : answer.twins)
    out["not_told_apart"].push_back(
        {{"lines", {twins.first, twins.second}},
         {"about", {answer.lines[twins.first].about, answer.lines[twins.second].about}},
         {"apart_hz", six_digits(twins.apart)},
         {"advice", twins.advice}});
  out["conflicts"] = Json::array();
  for (const Conflict& conflict : answer.turning.conflicts)
    out["conflicts"].push_back(
        {{"part", conflict.part},
         {"one_hz", six_digits(conflict.one.mean)},
         {"other_hz",
          conflict.other.mean > 0.0 ? Json(six_digits(conflict.other.mean)) : Json(nullptr)},
         {"what", conflict.what}});
  out["parts"] = Json::array();
  for (const PartSpeed& part : answer.turning.parts)
    out["parts"].push_back({{"part", part.part},
                            {"hz", six_digits(part.hz.mean)},
                            {"sd_hz", six_digits(part.hz.sd)},
                            {"from", part.from}});
  out["notes"] = answer.notes;
  return out;
}

}  // namespace perrev
