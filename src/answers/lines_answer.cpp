#include "src/answers/lines_answer.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numeric>

#include "src/answers/tire_answer.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

// Lines of one train nearer than this stay one line at any speed that can be driven.
constexpr double kAlike = 0.02;

// Whether a reading leaves both lines open.
bool both(const Explanation& explained, std::size_t i, std::size_t j, double least) {
  return explained.lines[i].probability >= least && explained.lines[j].probability >= least;
}

std::vector<Twins> twins_of(const LinesAnswer& answer) {
  std::vector<Twins> out;
  for (std::size_t i = 0; i < answer.lines.size(); ++i)
    for (std::size_t j = i + 1; j < answer.lines.size(); ++j) {
      const OrderLine &a = answer.lines[i], &b = answer.lines[j];
      const double apart = b.hz.mean - a.hz.mean;
      const auto near = [&](double hz) {
        return apart <= 2.0 * std::hypot(std::max(a.hz.sd, b.hz.sd), reading_sd(hz));
      };
      const auto twins_in = [&](const ExplainedPeak& read) {
        return both(read.explained, i, j, near(read.peak.hz) ? kInQuestion : kMayBe);
      };
      if (answer.peaks.empty() ? near(0.5 * (a.hz.mean + b.hz.mean))
                               : std::any_of(answer.peaks.begin(), answer.peaks.end(), twins_in))
        out.push_back({i, j, apart, advice_for(a, b)});
    }
  return out;
}

// That each line is the one felt: each peak as likely to be it, and how fast it feels.
void add_probabilities(const LinesQuestion& asked, LinesAnswer& answer) {
  for (const Peak& peak : peaks_of(asked.measured))
    answer.peaks.push_back({peak, explain_frequency(answer.lines, peak.hz, peak.sd())});
  if (answer.peaks.empty() && !asked.feels) return;
  answer.probability.assign(answer.lines.size(), answer.peaks.empty() ? 1.0 : 0.0);
  answer.unexplained = answer.peaks.empty() ? 1.0 : 0.0;
  for (const ExplainedPeak& read : answer.peaks) {
    for (std::size_t i = 0; i < answer.lines.size(); ++i)
      answer.probability[i] += read.explained.lines[i].probability;
    answer.unexplained += read.explained.unexplained;
  }
  if (asked.feels) {
    constexpr double kAnyAnswer = 1.0 / kFeltRates;
    const FeltMoment moment =
        felt_moment(asked.vehicle, asked.motion.speed.value_or(0.0), asked.motion.engine_hz);
    for (std::size_t i = 0; i < answer.lines.size(); ++i) {
      const OrderLine& line = answer.lines[i];
      const FeltShares named = felt_as(line.source, line.order, 0.0, moment);
      answer.probability[i] *= kMisnamed * kAnyAnswer +
                               (1.0 - kMisnamed) * named[static_cast<std::size_t>(*asked.feels)];
    }
    answer.unexplained *= kAnyAnswer;
  }
  const double total =
      std::accumulate(answer.probability.begin(), answer.probability.end(), answer.unexplained);
  for (double& p : answer.probability) p /= total;
  answer.unexplained /= total;
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
  if ((asked.beat || asked.treads || asked.pressures) && (!vehicle.front_tire || lacks("tire")))
    out.push_back("What two wheels make of it needs --tire and --speed.");
  if (lacks("motor_rotor") && vehicle.reduction_ratio)
    out.push_back("The motor's line needs --powertrain electric or hybrid, --tire and --speed.");
  return out;
}

Json peak_json(const ExplainedPeak& read) {
  Json out = {{"frequency_hz", six_digits(read.peak.hz)},
              {"readings", read.peak.readings},
              {"probabilities", Json::array()},
              {"unexplained_probability", six_digits(read.explained.unexplained)}};
  for (const ExplainedLine& line : read.explained.lines)
    out["probabilities"].push_back(six_digits(line.probability));
  return out;
}

}  // namespace

// Those of one train keep their ratio at every speed and in every gear.
std::string advice_for(const OrderLine& a, const OrderLine& b) {
  if (is_engines(a) != is_engines(b))
    return "Drive the same speed in another gear, or let it roll in neutral: the engine's line "
           "moves, "
           "the other one stays.";
  if (std::abs(a.hz.mean - b.hz.mean) < kAlike * a.hz.mean)
    return "They turn together at every speed and in every gear: only a look at the parts tells.";
  if (is_engines(a)) return "Both follow the engine: pick a higher engine speed, standing.";
  if (a.source == b.source)
    return "No speed or gear parts front and rear: record longer than one swelling and fading, or "
           "feel which end shakes.";
  return "Both follow the wheels and no gear parts them: pick a higher speed, read by satellite.";
}

LinesAnswer lines_answer(const LinesQuestion& asked) {
  LinesAnswer out;
  out.turning = rotations(asked.vehicle, asked.motion);
  out.lines = order_lines(asked.vehicle, out.turning);
  add_probabilities(asked, out);
  add_beating(asked, out);
  out.twins = twins_of(out);
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
    if (!answer.probability.empty()) item["probability"] = six_digits(answer.probability[i]);
    out["lines"].push_back(item);
  }
  out["measured_hz"] =
      answer.peaks.size() == 1 ? Json(six_digits(answer.peaks[0].peak.hz)) : Json(nullptr);
  out["unexplained_probability"] =
      answer.probability.empty() ? Json(nullptr) : Json(six_digits(answer.unexplained));
  out["peaks"] = Json::array();
  for (const ExplainedPeak& read : answer.peaks) out["peaks"].push_back(peak_json(read));
  out["beat"] = beat_json(asked, answer);
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
