// Dial readings as rows of a form, for the tools that take runout: from 4 to 36 readings round the
// turn, or one row with the amount (peak to peak) and its high place. Internal to this folder.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "engine/picture/dial.h"
#include "engine/shopmath/runout.h"
#include "src/answers/bay/bay_tool.h"

namespace perrev {

struct DialRead {
  VectorEstimate vector;         // first harmonic, an amplitude
  std::optional<Runout> runout;  // where it was read round the turn
};

// A column of readings that may be left out, and their places.
std::vector<BayColumn> dial_columns(const BayColumn& reading);
BayField dial_field(std::string_view id, std::string_view label, std::string_view help,
                    bool required = false);
// One step and the standard deviation of the same place read again.
std::vector<BayField> dial_gauge_fields(std::string_view usual_step);
Gauge dial_gauge(const BayInput& input);

// Readings and their angles, of rows with a reading and a place. Where no row has a place they
// stand evenly round the turn; a row without its reading is a place that was left out.
struct RowsRound {
  std::vector<double> readings, angles;
};
Result<RowsRound, Problems> rows_round(const BayInput& input, std::string_view field);

// How far one row's amount (peak to peak) and its place may be off: fields of a form that takes
// such rows.
std::vector<BayField> one_row_fields(std::string_view usual_sd);
// Nothing where the field is empty. The form has `one_row_fields`.
Result<std::optional<DialRead>, Problems> read_dial(const BayInput& input, std::string_view field);

// Peak to peak of a first harmonic.
Interval first_total(const VectorEstimate& vector);
// What a case goes by of a total that was read with `fit`: never less than the first harmonic
// tells, of which a range holds at least pi / 4 (a square wave's is the least).
Interval total_for_case(const Interval& total, const TurnFit& fit);
// "highest at 72 deg (2:30 o'clock), give or take 6 deg"; that no place is known.
std::string told_high(const Harmonic& harmonic);
std::string told_high(const VectorEstimate& vector);
// A sentence for each reading that stands out.
std::vector<std::string> told_odd(const TurnFit& fit, Units units);
// First harmonic and higher ones, peak to peak, and the place of the first.
std::vector<BayNumber> harmonic_numbers(const TurnFit& fit);
// Readings with the curve through them and the first harmonic alone.
std::string turn_picture(std::string title, const TurnFit& fit, const std::vector<double>& readings,
                         const BayContext& context);

// An arrow of the round picture, peak to peak, with its 95 % circle.
DialArrow arrow_of(const std::string& name, const VectorEstimate& vector, Units units);

}  // namespace perrev
