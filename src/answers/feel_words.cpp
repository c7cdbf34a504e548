#include "src/answers/feel_words.h"

#include <algorithm>
#include <cmath>

#include "engine/quantity/text.h"
#include "src/answers/road_words.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr double kTold = 0.005;  // a probability below it is not worth a word

std::string in_place(FeltPlace place) { return "in the " + words_of(place); }

const FeltAtPlace& of(const FeltPoint& point, FeltPlace place) {
  return point.places[static_cast<std::size_t>(place)];
}

double highest(const FeelAnswer& answer, FeltPlace place) {
  double out = 0.0;
  for (const FeltPoint& point : answer.curve) out = std::max(out, of(point, place).probability);
  return out;
}

const char* while_words(ShakesWhile when) {
  switch (when) {
    case ShakesWhile::driving:
      return "It";
    case ShakesWhile::braking:
      return "While braking, it";
    case ShakesWhile::pulling:
      return "While it pulls, it";
  }
  return "";
}

std::string worst_sentence(const FeelQuestion& asked, const FeelAnswer& answer, Units units) {
  const FeltPoint& worst = *answer.worst;
  const std::string where = speed_words(worst.speed, units) + " (" + short_hz(worst.hz) + " Hz)";
  std::string out = while_words(asked.fault.when);
  out += worst.speed < answer.curve.back().speed ? " is strongest at " + where
                                                 : " grows with speed, up to " + where;
  out += ", most of all " + in_place(answer.worst_place) + ": there " + percent(worst.probability) +
         " of people would feel it";
  return out + (answer.strength.empty() ? "." : ", and find it " + answer.strength + ".");
}

std::string half_sentence(const FeelAnswer& answer, Units units) {
  const std::string most = speed_words(answer.curve.back().speed, units);
  if (!answer.half_from) return "At no speed up to " + most + " would half of them feel it.";
  return "More than half feel it from " +
         (answer.half_to ? speed_words(*answer.half_from, *answer.half_to, units)
                         : speed_words(*answer.half_from, units) + " on") +
         ".";
}

std::string places_sentence(const FeelAnswer& answer) {
  std::vector<std::string> out;
  for (const FeltPlace place : felt_places(answer))
    if (place != answer.worst_place && highest(answer, place) >= kTold)
      out.push_back(percent(highest(answer, place)) + " " + in_place(place));
  return out.empty() ? "Nowhere else is it felt."
                     : "Elsewhere, at the speed that is worst there: " + joined(out) + ".";
}

std::string sizes_sentence(const FeelQuestion& asked, const FeelAnswer& answer, Units units) {
  const FeelSizes& sizes = answer.sizes;
  const std::string at = speed_words(answer.worst->speed, units);
  const auto words = [&](double size) { return size_words(asked.fault.kind, size, units); };
  if (!sizes.half) return "No size of it would be felt by half of them at " + at + ".";
  std::string out = "At " + at + " half of them would feel " + words(*sizes.half);
  if (sizes.few) out += ", one in six " + words(*sizes.few) + " already";
  if (sizes.most) out += ", five in six only " + words(*sizes.most);
  return out + ".";
}

std::string speed_sentence(const FeelAnswer& answer, Units units) {
  const FeltPoint& point = *answer.at_speed;
  std::string out = "At " + speed_words(point.speed, units) + " (" + short_hz(point.hz) + " Hz) " +
                    percent(point.probability) + " would feel it";
  std::vector<std::string> places;
  for (const FeltPlace place : felt_places(answer))
    if (of(point, place).probability >= kTold)
      places.push_back(percent(of(point, place).probability) + " " + in_place(place));
  return out + (places.empty() ? "." : ": " + joined(places) + ".");
}

PlotSeries series_of(const FeelAnswer& answer, const std::string& name, Units units,
                     double (*share)(const FeltPoint&, FeltPlace), FeltPlace place) {
  PlotSeries out;
  out.name = name;
  for (const FeltPoint& point : answer.curve)
    out.points.push_back(
        {in_usual_unit(point.speed, Dimension::speed, units), 100.0 * share(point, place)});
  return out;
}

}  // namespace

std::vector<std::string> feel_sentences(const FeelQuestion& asked, const FeelAnswer& answer,
                                        Units units) {
  if (!answer.worst) return {"None of it reaches a person: it is not felt at any size."};
  std::vector<std::string> out = {worst_sentence(asked, answer, units),
                                  half_sentence(answer, units), places_sentence(answer)};
  if (answer.at_speed) out.push_back(speed_sentence(answer, units));
  out.push_back(sizes_sentence(asked, answer, units));
  return out;
}

std::string feel_title(const FeelFault& fault, Units units) {
  std::string out = words_of(fault.kind, fault.size, units);
  if (fault.source == "tire" && fault.front == 1.0) out += ", front";
  if (fault.source == "tire" && fault.front == 0.0) out += ", rear";
  return out;
}

std::vector<FeltPlace> felt_places(const FeelAnswer& answer) {
  std::vector<std::pair<double, FeltPlace>> levels;
  for (int i = 0; i < kFeltPlaces; ++i) {
    const auto place = static_cast<FeltPlace>(i);
    double level = kNotThere;
    for (const FeltPoint& point : answer.curve) level = std::max(level, of(point, place).level_db);
    if (level > kNotThere) levels.emplace_back(level, place);
  }
  std::sort(levels.begin(), levels.end(), [](const auto& a, const auto& b) {
    return a.first != b.first ? a.first > b.first : a.second < b.second;
  });
  std::vector<FeltPlace> out;
  for (const auto& level : levels) out.push_back(level.second);
  return out;
}

std::string words_of(FeltPlace place) { return spaced(name_of(place)); }

Plot feel_plot(const FeelQuestion& asked, const FeelAnswer& answer,
               const std::vector<FeelMark>& marks, Units units) {
  Plot out;
  out.title = "Felt: " + feel_title(asked.fault, units);
  out.summary = joined(feel_sentences(asked, answer, units), " ");
  const auto in_units = [&](double speed) { return in_usual_unit(speed, Dimension::speed, units); };
  out.x = {"Speed", std::string(usual_unit(Dimension::speed, units)),
           PlotRange{in_units(kFeelFrom), in_units(kFeelTo)}};
  out.y = {"People who would feel it", "%", PlotRange{0.0, 100.0}};
  out.series.push_back(series_of(
      answer, "anywhere", units,
      [](const FeltPoint& point, FeltPlace) { return point.probability; }, FeltPlace::seat));
  for (const FeltPlace place : felt_places(answer))
    if (highest(answer, place) >= kTold)
      out.series.push_back(series_of(
          answer, words_of(place), units,
          [](const FeltPoint& point, FeltPlace at) { return of(point, at).probability; }, place));
  for (const FeelMark& mark : marks) {
    out.marks.push_back({in_units(mark.speed), mark.label});
    out.summary += " Marked: " + mark.label + ".";
  }
  return out;
}

}  // namespace perrev
