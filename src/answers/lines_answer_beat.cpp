// What swells and fades together: two lines of the vehicle, or two wheels of nearly one size.
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <tuple>

#include "src/answers/lines_answer.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

// Relative, of the ratios within one train: they are written down to two or three digits.
constexpr double kRatioSd = 0.003;

Estimate swelling(const OrderLine& a, const OrderLine& b) {
  const double apart = beat_hz(a.hz.mean, b.hz.mean);
  const double sd =
      is_engines(a) == is_engines(b)
          ? std::hypot(apart * a.hz.sd / a.hz.mean, kRatioSd * std::min(a.hz.mean, b.hz.mean))
          : std::hypot(a.hz.sd, b.hz.sd);
  return {apart, sd};
}

std::vector<BeatingLines> beating_lines(double period, const std::vector<OrderLine>& lines) {
  constexpr double kNear = 2.0;  // standard deviations
  std::vector<BeatingLines> out;
  for (std::size_t i = 0; i < lines.size(); ++i)
    for (std::size_t j = i + 1; j < lines.size(); ++j) {
      if (lines[i].source == lines[j].source) continue;
      const Estimate hz = swelling(lines[i], lines[j]);
      if (std::fabs(hz.mean - 1.0 / period) <= kNear * hz.sd) out.push_back({i, j, hz});
    }
  std::sort(out.begin(), out.end(), [&](const BeatingLines& a, const BeatingLines& b) {
    const double x = std::fabs(a.hz.mean - 1.0 / period), y = std::fabs(b.hz.mean - 1.0 / period);
    return std::tie(x, a.first, a.second) < std::tie(y, b.first, b.second);
  });
  return out;
}

std::optional<Estimate> difference_of(const LinesQuestion& asked, const Tire& tire) {
  if (!asked.treads && !asked.pressures) return std::nullopt;
  TireState one, other;
  if (asked.treads) one.tread_depth = asked.treads->first, other.tread_depth = asked.treads->second;
  if (asked.pressures)
    one.pressure = asked.pressures->first, other.pressure = asked.pressures->second;
  return circumference_difference(tire, one, tire, other);
}

}  // namespace

void add_beating(const LinesQuestion& asked, LinesAnswer& answer) {
  if (asked.beat) answer.beating = beating_lines(*asked.beat, answer.lines);
  const PartSpeed* wheels = answer.turning.find("front_wheels");
  const auto& tire = asked.vehicle.front_tire;
  if (!wheels || !tire) return;
  BeatingWheels made{wheels->hz.mean, std::nullopt, difference_of(asked, *tire)};
  if (asked.beat)
    made.behind = behind_beat(*asked.beat, wheels->hz.mean * tire->rolling_circumference, *tire);
  if (made.behind || made.difference) answer.wheels = made;
}

Json beat_json(const LinesQuestion& asked, const LinesAnswer& answer) {
  if (!asked.beat && !answer.wheels) return nullptr;
  Json out = {{"period_s", asked.beat ? Json(six_digits(*asked.beat)) : Json(nullptr)},
              {"lines", Json::array()},
              {"behind", nullptr},
              {"wheels", nullptr}};
  for (const BeatingLines& pair : answer.beating)
    out["lines"].push_back(
        {{"lines", {pair.first, pair.second}},
         {"about", {answer.lines[pair.first].about, answer.lines[pair.second].about}},
         {"beat_hz", six_digits(pair.hz.mean)},
         {"sd_hz", six_digits(pair.hz.sd)}});
  if (!answer.wheels) return out;
  if (const auto& behind = answer.wheels->behind)
    out["behind"] = {
        {"relative", six_digits(behind->relative)},
        {"circumference_mm", six_digits(1000.0 * behind->circumference)},
        {"tread_depth_mm", six_digits(1000.0 * behind->tread_depth)},
        {"tread_depth_32nds", six_digits(behind->tread_depth / kThirtySecond)},
        {"tread_depth_belt_mm", six_digits(1000.0 * behind->tread_depth_belt)},
        {"tread_depth_belt_32nds", six_digits(behind->tread_depth_belt / kThirtySecond)}};
  if (const auto& difference = answer.wheels->difference) {
    const double hz = answer.wheels->wheel_hz * std::fabs(difference->mean);
    out["wheels"] = {{"relative", six_digits(difference->mean)},
                     {"relative_sd", six_digits(difference->sd)},
                     {"period_s", hz > 0.0 ? Json(six_digits(1.0 / hz)) : Json(nullptr)}};
  }
  return out;
}

}  // namespace perrev
