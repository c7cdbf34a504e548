// One tire as it is found: pressure against the label, tread over its width, age by its date.
#include <algorithm>
#include <cmath>

#include "engine/shopmath/tire_date.h"
#include "engine/shopmath/tire_pressure.h"
#include "engine/shopmath/wear_and_play.h"
#include "src/answers/bay/bay_tools.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

// Of the air outside, 20 degrees Celsius; 20 K more or less move what is taken off by 7 %.
constexpr double kOutside = kFreezing + 20.0;
constexpr double kTread32nd = 0.0254 / 32.0;  // m
constexpr double kOldTire = 6.0;              // years, as the rule base asks for

class TireFound {
 public:
  TireFound(const BayInput& input, const BayContext& context) : input_(input), context_(context) {}

  Result<BayResult, Problems> told_all() {
    for (const auto part :
         {&TireFound::tell_pressure, &TireFound::tell_tread, &TireFound::tell_age})
      if (auto wrong = (this->*part)(); !wrong.empty()) return wrong;
    if (out_.sentences.empty())
      return field_problem("found", problem("nothing of the tire is given",
                                            "pressures, tread depths, or dates of making"));
    out_.cautions.push_back(
        "Bulges, cuts, cords and deep cracks come before any number: look all round and inside.");
    return std::move(out_);
  }

 private:
  void number(const char* id, const char* label, Dimension dimension, const Interval& of) {
    out_.numbers.push_back({id, label, dimension, of.value, of});
  }
  std::string words(const Interval& of, Dimension dimension) const {
    return told(of, dimension, context_.units);
  }

  Problems tell_pressure() {
    const auto found = input_.number("found"), label = input_.number("label");
    if (!found && !label) return {};
    if (!found || !label)
      return field_problem(found ? "label" : "found",
                           problem("one pressure alone says nothing of the other",
                                   "the pressure found, and that of the label"));
    TirePressureReading reading{*found, *label, {input_.required("gauge_sd"), std::nullopt}};
    if (const auto warmer = input_.number("warmer")) {
      reading.warm = WarmTire{};
      reading.warm->outside = kOutside;
      reading.warm->tire = reading.warm->outside + *warmer;
      reading.warm->sd = input_.required("warmer_sd");
    }
    const auto made = tire_pressure(reading);
    if (!made) return field_problem("found", made.error());
    const Interval& off = made->deviation;
    const Interval size = size_of(off);
    out_.sentences.push_back(
        (reading.warm ? "Cold it would hold " + words(made->cold, Dimension::pressure) + ", "
                      : "It holds " + told(*found, Dimension::pressure, context_.units) + ", ") +
        (size.value < 0.0005 ? std::string("what the label says")
                             : told(size.value, Dimension::ratio, context_.units) +
                                   (off.value < 0.0 ? " under" : " over") + " the label") +
        ".");
    number("cold_pressure", "Pressure, cold", Dimension::pressure, made->cold);
    number("deviation", "Over the label (- under)", Dimension::ratio, off);
    out_.feeds.push_back({"pressure_deviation", size.value, {}, size});
    out_.feeds.push_back({"pressure_found", std::fmax(0.0, made->cold.value), {}, made->cold});
    if (off.value < -kFarUnderLabel)
      out_.cautions.push_back(
          "More than a quarter under the label: it may have been driven flat. Take it off and look "
          "inside before air goes in, and stay out of the way of its sidewall.");
    if (!reading.warm)
      out_.notes.push_back(
          "Read cold, before it was driven. A warm tire holds about 1 % more of its absolute "
          "pressure for each 3 K: say how much warmer it is.");
    return {};
  }

  // "about 3/32 in, 0.0937 in (...)" as a tread gauge of the US shows it.
  std::string depth_words(const Interval& depth) const {
    std::string out = words(depth, Dimension::length);
    if (context_.units != Units::us) return out;
    return "about " + fixed(depth.value / kTread32nd, 0) + "/32 in, " + out + ",";
  }

  Problems tell_tread() {
    const auto& rows = input_.rows("grooves");
    if (rows.empty()) return {};
    std::vector<std::vector<double>> grooves;
    for (const auto& row : rows) {
      grooves.emplace_back();
      for (const auto& depth : row)
        if (depth) grooves.back().push_back(*depth);
    }
    const auto legal = input_.number("legal");
    const auto made = tread_across(
        grooves, {input_.required("depth_step"), input_.required("depth_sd")}, legal.value_or(0.0));
    if (!made) return field_problem("grooves", made.error());
    out_.sentences.push_back("The tread is " + depth_words(made->least) +
                             " deep at its shallowest.");
    number("tread_depth", "Least tread", Dimension::length, made->least);
    number("inside_less", "Outside less inside", Dimension::length, made->inside_less);
    if (rows.size() > 2)
      number("shoulders_less", "Middle less shoulders", Dimension::length, made->shoulders_less);
    tell_wear(*made, rows.size() > 2);
    out_.feeds.push_back({"tread_depth", std::fmax(0.0, made->least.value), {}, made->least});
    if (made->under_legal)
      out_.cautions.push_back("Under the legal depth that was given: not driven on the road.");
    if (!legal) out_.notes.push_back("Give the legal depth of the place to have it judged.");
    return {};
  }

  // What is worn more, where the readings leave no doubt.
  void tell_wear(const TreadAcross& made, bool middle) {
    if (made.inside_less.low > 0.0)
      out_.sentences.push_back("The inside is worn more than the outside.");
    if (made.inside_less.high < 0.0)
      out_.sentences.push_back("The outside is worn more than the inside.");
    // Air wears both shoulders alike: one of them alone is another matter.
    const bool both =
        std::fabs(made.shoulders_less.value) > 0.5 * std::fabs(made.inside_less.value);
    if (middle && both && made.shoulders_less.low > 0.0)
      out_.sentences.push_back(
          "The shoulders are worn more than the middle, as by too little air.");
    if (middle && both && made.shoulders_less.high < 0.0)
      out_.sentences.push_back("The middle is worn more than the shoulders, as by too much air.");
  }

  Problems tell_age() {
    const auto codes = input_.column("dates", 0);
    if (codes.empty()) return {};
    for (const char* field : {"year", "month", "day"})
      if (!input_.number(field))
        return field_problem(
            field, problem("the day to count to is not given", "year, month and day of the check"));
    const auto year = input_.number("year"), month = input_.number("month"),
               day = input_.number("day");
    const Day on{static_cast<int>(*year), static_cast<int>(*month), static_cast<int>(*day)};
    if (!is_day(on))
      return field_problem(
          "day", problem("that month of that year has no such day", "a day of the calendar"));
    double oldest = -1.0;
    for (std::size_t i = 0; i < codes.size(); ++i) {
      const std::string at = "dates/" + std::to_string(i);
      std::string figures = fixed(codes[i], 0);
      figures.insert(0, figures.size() < 4 ? 4 - figures.size() : 0, '0');
      const auto made = made_in(figures);
      if (!made) return field_problem(at, made.error());
      const auto age = tire_age_years(*made, on);
      if (!age) return field_problem(at, age.error());
      oldest = std::max(oldest, *age);
    }
    out_.sentences.push_back((codes.size() == 1 ? "The tire is " : "The oldest tire is ") +
                             fixed(oldest, 1) + " years old.");
    out_.numbers.push_back(
        {"age_years", "Age of the oldest, years", Dimension::count, oldest, std::nullopt});
    // The oldest of the vehicle: known from all four, or where one is already old.
    if (codes.size() >= 4 || oldest > kOldTire)
      out_.feeds.push_back({"tire_age", 0.0,
                            oldest < 1.0         ? "under_one_year"
                            : oldest <= kOldTire ? "under_six_years"
                                                 : "over_six_years"});
    else
      out_.notes.push_back("The age of the oldest tire is kept where all four dates are given.");
    return {};
  }

  const BayInput& input_;
  const BayContext& context_;
  BayResult out_;
};

Result<BayResult, Problems> run_tires(const BayInput& input, const BayContext& context) {
  return TireFound(input, context).told_all();
}

std::vector<BayField> tires_fields() {
  return {
      quantity_field({"found", "Pressure found", Dimension::pressure, 0.0, 2e6},
                     "Before anyone adds air."),
      quantity_field({"label", "Pressure on the label", Dimension::pressure, 50e3, 2e6},
                     "Of the car, cold, for the load it carries."),
      quantity_field({"gauge_sd", "How far the gauge is off", Dimension::pressure, 0.0, 100e3},
                     "One standard deviation.", false, "5 kPa"),
      quantity_field(
          {"warmer", "Tire warmer than the air", Dimension::temperature_difference, 0.0, 120.0},
          "Where it was driven just before; none where it is cold."),
      quantity_field(
          {"warmer_sd", "How far that is off", Dimension::temperature_difference, 0.0, 50.0},
          "The air in the tire is warmer than its tread: one standard deviation.", false, "5 K"),
      rows_field("grooves", "Tread depths", "Each main groove, from the inside to the outside.",
                 {{"depth", "Depth", Dimension::length, 0.0, 0.03},
                  {"again", "Read again", Dimension::length, 0.0, 0.03, false}},
                 2, 8, false),
      quantity_field({"legal", "Legal depth", Dimension::length, 0.0, 0.03},
                     "The least that the law of the place allows."),
      quantity_field({"depth_step", "Step of the depth gauge", Dimension::length, 0.0, 0.002},
                     "The least it shows.", false, "0.1 mm"),
      quantity_field({"depth_sd", "How far the depth gauge is off", Dimension::length, 0.0, 0.005},
                     "One standard deviation.", false, "0.1 mm"),
      rows_field("dates", "Dates of making",
                 "The last four figures of the long code, week and year; a row for each tire.",
                 {whole_column("date", "Four figures", 0.0, 9999.0)}, 1, 6, false),
      quantity_field(whole_column("year", "Year of the check", 2000.0, 2099.0),
                     "To count the age to."),
      quantity_field(whole_column("month", "Month", 1.0, 12.0), "1 to 12."),
      quantity_field(whole_column("day", "Day", 1.0, 31.0), "1 to 31.")};
}

}  // namespace

BayTool tires_tool() {
  return {"tires",
          "Tires",
          "From pressure, tread and date of a tire to how far it is from what it should be.",
          {"pressure_deviation", "pressure_found", "tread_depth", "tire_age"},
          {"set_pressures"},
          tires_fields(),
          run_tires,
          "perrev bay tires --found \"28 psi\" --label \"35 psi\" \\\n"
          "    --grooves \"3/32 in; 6/32 in; 7/32 in; 7/32 in\""};
}

}  // namespace perrev
