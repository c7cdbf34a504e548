#include "src/answers/bay/dial_rows.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "engine/picture/plot.h"
#include "engine/quantity/angle.h"
#include "src/answers/bay/place_error.h"
#include "src/answers/bay/vector_words.h"

namespace perrev {

namespace {

constexpr double kDialDegrees = 360.0 / kTurn;

constexpr double kNothing = 1e-9;  // m: what is left of zero after rounding

Result<std::optional<DialRead>, Problems> read_one_amount(const BayInput& input,
                                                          std::string_view field, double amount_sd,
                                                          double place_sd) {
  const BayInput::Row& row = input.rows(field).front();
  const std::string at = std::string(field) + "/0";
  if (!row[0] || !row[1])
    return field_problem(at, problem("one row alone needs its amount and its place",
                                     "give where it is highest, or 4 to 36 readings"));
  if (*row[0] < 0.0)
    return field_problem(at, problem("an amount is from zero up", "highest less lowest"));
  return std::optional(
      DialRead{vector_read(*row[0] / 2.0, *row[1], amount_sd / 2.0, place_sd), std::nullopt});
}

}  // namespace

std::vector<BayColumn> dial_columns(const BayColumn& reading) {
  BayColumn open = reading;
  open.required = false;
  return {open, place_column("place", "Place", false)};
}

BayField dial_field(std::string_view id, std::string_view label, std::string_view help,
                    bool required) {
  return rows_field(id, label, help,
                    dial_columns({"reading", "Reading", Dimension::length, -2.0 * kMostRunout,
                                  2.0 * kMostRunout}),
                    1, kMostReadings, required);
}

std::vector<BayField> dial_gauge_fields(std::string_view usual_step) {
  return {quantity_field({"step", "Step of the dial", Dimension::length, 1e-6, 2e-3},
                         "One line of the dial, or the last digit.", false, usual_step),
          quantity_field(
              {"repeatability", "Same place read again", Dimension::length, 1e-7, 2e-3},
              "One standard deviation, if you know it; else it is learned from the readings.")};
}

std::vector<BayField> one_row_fields(std::string_view usual_sd) {
  return {quantity_field(
              {"amount_sd", "How far an amount may be off", Dimension::length, 1e-7, 2e-3},
              "One standard deviation, of rows that give the amount alone.", false, usual_sd),
          place_sd_field()};
}

Gauge dial_gauge(const BayInput& input) {
  return {input.number("step").value_or(0.0), input.number("repeatability").value_or(0.0)};
}

Result<RowsRound, Problems> rows_round(const BayInput& input, std::string_view field) {
  const std::vector<BayInput::Row>& rows = input.rows(field);
  const std::size_t placed = input.column(field, 1).size();
  if (placed > 0 && placed < rows.size())
    return field_problem(field, problem("some readings have a place and some have none",
                                        "give the place of each, or of none: then they stand "
                                        "evenly round the turn, the first at the mark"));
  RowsRound out;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (!rows[i][0]) continue;
    out.readings.push_back(*rows[i][0]);
    out.angles.push_back(placed > 0
                             ? *rows[i][1]
                             : kTurn * static_cast<double>(i) / static_cast<double>(rows.size()));
  }
  return out;
}

Result<std::optional<DialRead>, Problems> read_dial(const BayInput& input, std::string_view field) {
  if (input.rows(field).empty()) return std::optional<DialRead>();
  if (input.rows(field).size() == 1)
    return read_one_amount(input, field, input.required("amount_sd"), input.required("place_sd"));
  const auto round = rows_round(input, field);
  if (!round) return round.error();
  const auto runout =
      read_runout({round->readings, round->angles, {}, dial_gauge(input), std::nullopt});
  if (!runout) return field_problem(field, runout.error());
  return std::optional(DialRead{runout->fit->harmonics.front().vector, *runout});
}

Interval first_total(const VectorEstimate& vector) { return Harmonic{1, vector}.peak_to_peak(); }

Interval total_for_case(const Interval& total, const TurnFit& fit) {
  const double least = kTurn / 8.0 * fit.harmonics.front().peak_to_peak().low;
  return {total.value, std::max(total.low, least), total.high};
}

std::string told_high(const Harmonic& harmonic) {
  const double half = harmonic.high_half_width();
  if (half >= 0.5 * kTurn / harmonic.order) return "its high place is not known";
  return "highest " + told_place(harmonic.high_place()) + ", give or take " + whole_degrees(half);
}

std::string told_high(const VectorEstimate& vector) { return told_high(Harmonic{1, vector}); }

std::vector<std::string> told_odd(const TurnFit& fit, Units units) {
  std::vector<std::string> out;
  for (const OddReading& odd : fit.odd)
    out.push_back("Reading " + std::to_string(odd.reading + 1) + " stands " +
                  told(std::abs(odd.off), Dimension::length, units) +
                  (odd.off > 0.0 ? " above" : " below") +
                  " what the others say: look at that place and read it again. It is counted; with "
                  "its row left empty it is not.");
  return out;
}

std::vector<BayNumber> harmonic_numbers(const TurnFit& fit) {
  constexpr std::string_view kNames[] = {"first", "second", "third", "fourth"};
  std::vector<BayNumber> out;
  for (std::size_t k = 0; k < fit.harmonics.size() && k < std::size(kNames); ++k) {
    Interval amount = fit.harmonics[k].peak_to_peak();
    if (amount.value < kNothing) amount.value = 0.0;
    std::string label(kNames[k]);
    label[0] = static_cast<char>(label[0] - 'a' + 'A');
    out.push_back({std::string(kNames[k]) + "_harmonic", label + " harmonic, peak to peak",
                   Dimension::length, amount.value, amount});
  }
  const Harmonic& first = fit.harmonics.front();
  const double place = first.high_place(), half = first.high_half_width();
  if (half < 0.5 * kTurn)
    out.push_back({"high_place", "High place of the first harmonic", Dimension::angle, place,
                   Interval{place, place - half, place + half}});
  return out;
}

std::string turn_picture(std::string title, const TurnFit& fit, const std::vector<double>& readings,
                         const BayContext& context) {
  const auto shown = [&](double length) {
    return in_usual_unit(length, Dimension::length, context.units);
  };
  PlotSeries read{"Readings", PlotKind::points}, curve{"Fit"}, first{"First harmonic"};
  first.reference = true;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    PlotPoint point{fit.angles[i] * kDialDegrees, shown(readings[i])};
    for (const OddReading& odd : fit.odd)
      if (odd.reading == i) point.note = std::to_string(i + 1);
    read.points.push_back(point);
  }
  for (int degree = 0; degree <= 360; degree += 3) {
    const double at = degree / kDialDegrees;
    const Vector alone = fit.harmonics.front().vector.value * vector_at(1.0, -at);
    curve.points.push_back({static_cast<double>(degree), shown(fit.at(at))});
    first.points.push_back({static_cast<double>(degree), shown(fit.mean.value + alone.real())});
  }
  Plot plot;
  plot.title = std::move(title);
  plot.x = {"Place from the mark", "deg", PlotRange{0.0, 360.0}};
  plot.y = {"Reading", std::string(usual_unit(Dimension::length, context.units))};
  plot.width = context.plot_width;
  plot.series = {first, curve, read};
  if (fit.harmonics.front().high_half_width() < 0.5 * kTurn)
    plot.marks = {{fit.harmonics.front().high_place() * kDialDegrees, "high place"}};
  return svg_of(plot);
}

DialArrow arrow_of(const std::string& name, const VectorEstimate& vector, Units units) {
  return vector_arrow(name, times(vector, 2.0), Dimension::length, units);
}

}  // namespace perrev
