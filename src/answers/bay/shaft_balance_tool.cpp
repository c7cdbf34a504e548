// A driveshaft balanced in the car from trial runs: with phase in one or two planes, or by
// amplitudes alone in one.
#include <cmath>
#include <numbers>

#include "engine/shopmath/amplitude_runs.h"
#include "engine/shopmath/hose_clamps.h"
#include "engine/shopmath/influence.h"
#include "src/answers/bay/balance_words.h"
#include "src/answers/bay/bay_tools.h"
#include "src/answers/bay/vector_words.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

// Columns; each with its place or phase behind it.
constexpr std::size_t kReading = 0, kShaftWeight = 2, kSecondReading = 4, kSecondWeight = 6;
constexpr std::size_t kFurtherReadings[] = {kSecondReading, 8, 10};

bool any_in(const BayInput& input, std::size_t column) {
  for (const BayInput::Row& row : input.rows("runs"))
    if (row[column]) return true;
  return false;
}

Problems run_problem(std::size_t row, std::size_t column, const char* what, const char* right) {
  return field_problem("runs/" + std::to_string(row) + "/" + std::to_string(column),
                       problem(what, right));
}

// The weight on the shaft in one run, kg at the radius of all of them.
Result<Vector, Problems> weight_of(const BayInput& input, std::size_t row, std::size_t column) {
  const BayInput::Row& of = input.rows("runs")[row];
  const double mass = of[column].value_or(0.0);
  if (mass > 0.0 && !of[column + 1])
    return run_problem(row, column + 1, "the place of a trial weight is not told",
                       "its angle or clock position");
  return vector_at(mass, of[column + 1].value_or(0.0));
}

Result<std::vector<PhaseRun>, Problems> phase_runs(const BayInput& input) {
  const bool two_planes = any_in(input, kSecondWeight);
  std::vector<std::size_t> readings{kReading};
  for (const std::size_t column : kFurtherReadings)
    if (any_in(input, column)) readings.push_back(column);
  const double way = input.choice("phase_way") == "same" ? 1.0 : -1.0;
  std::vector<PhaseRun> out(input.rows("runs").size());
  for (std::size_t row = 0; row < out.size(); ++row) {
    const BayInput::Row& of = input.rows("runs")[row];
    for (const std::size_t column : {kShaftWeight, kSecondWeight}) {
      if (column == kSecondWeight && !two_planes) continue;
      const auto weight = weight_of(input, row, column);
      if (!weight) return weight.error();
      out[row].weights.push_back(*weight);
    }
    for (const std::size_t column : readings) {
      if (!of[column])
        return run_problem(row, column, "a reading is missing", "every reading in every run");
      if (!of[column + 1] && *of[column] > 0.0)
        return run_problem(row, column + 1, "a phase is missing",
                           "the phase of every reading, or of none");
      out[row].readings.push_back(vector_at(*of[column], way * of[column + 1].value_or(0.0)));
    }
  }
  return out;
}

Result<std::vector<AmplitudeRun>, Problems> amplitude_runs(const BayInput& input) {
  std::vector<AmplitudeRun> out;
  for (std::size_t row = 0; row < input.rows("runs").size(); ++row) {
    for (std::size_t column = kSecondReading; column < input.rows("runs")[row].size(); column += 2)
      if (input.rows("runs")[row][column])
        return run_problem(row, column, "runs without phase balance one plane by one reading",
                           "a phase with every reading, or one plane and one reading");
    const auto weight = weight_of(input, row, kShaftWeight);
    if (!weight) return weight.error();
    out.push_back({*weight, *input.rows("runs")[row][kReading]});
  }
  return out;
}

constexpr double kMost = 1e6;  // of any vibration in any unit

BayColumn further_column(std::string_view id, std::string_view label) {
  return {id, label, Dimension::count, 0.0, kMost, false};
}

class ShaftWriter {
 public:
  ShaftWriter(const BayInput& input, const BayContext& context)
      : input_(input), units_(context.units) {}

  std::optional<Problems> by_phase() {
    const auto runs = phase_runs(input_);
    if (!runs) return runs.error();
    const auto made = balance_shaft(*runs, input_.number("reading_sd"));
    if (!made) return field_problem("runs", made.error());
    for (std::size_t p = 0; p < made->weights.size(); ++p) {
      const std::string name =
          made->weights.size() == 1 ? "" : "Plane " + std::to_string(p + 1) + ": ";
      weight(name, "weight_" + std::to_string(p + 1), made->weights[p], made->scatter_known);
    }
    std::string expected;
    for (std::size_t k = 0; k < made->after.size(); ++k) {
      const double before = std::abs(made->before[k]);
      const double exact = std::abs(made->after[k]), after = exact < 1e-9 * before ? 0.0 : exact;
      expected += (k == 0 ? "" : ", ") + fixed(before, 2) + " should become " + fixed(after, 2);
      out_.numbers.push_back(
          {"expected_" + std::to_string(k + 1), "Expected reading", Dimension::count, after});
    }
    out_.sentences.push_back("Without trial weights: " + expected +
                             ". Run it again and put that run in as one more row.");
    for (const std::size_t p : made->weak_planes)
      out_.notes.push_back(
          "The trial weight of plane " + std::to_string(p + 1) +
          " changed the reading by less than 30 % and 30 deg; a heavier one tells more.");
    if (made->planes_alike)
      out_.notes.push_back(
          "Both planes act nearly alike: the answer sets large weights against one another. One "
          "plane may be all it needs.");
    if (!made->scatter_known) unknown_scatter("repeat the runs, or give how well readings repeat");
    return std::nullopt;
  }

  std::optional<Problems> by_amplitudes() {
    const auto runs = amplitude_runs(input_);
    if (!runs) return runs.error();
    const auto made = balance_by_amplitudes(*runs, input_.number("reading_sd"));
    if (!made) return field_problem("runs", made.error());
    const bool two = made->answers.size() == 2;
    for (std::size_t i = 0; i < made->answers.size(); ++i)
      weight(two ? (i == 0 ? "Try first: " : "Or: ") : "", "weight_" + std::to_string(i + 1),
             made->answers[i].weight, made->scatter_known);
    const AmplitudeAnswer& first = made->answers.front();
    const double now = expected_amplitude(first, 0.0);
    const double misfit = first.misfit < 1e-9 * now ? 0.0 : first.misfit;
    out_.numbers.push_back({"misfit", "Runs differ from the answer by", Dimension::count, misfit});
    if (const auto sd = input_.number("reading_sd"); sd && misfit > 3.0 * *sd)
      out_.notes.push_back(
          "The runs do not fit one another as well as readings repeat: another speed, a weight "
          "that "
          "moved, or something loose. Repeat them.");
    if (two)
      out_.sentences.push_back(
          "Three runs fit two answers. Where the first is the wrong one, the shaft will read "
          "about " +
          fixed(expected_amplitude(made->answers[1], first.weight.value), 2) +
          " with it; then it is the other. A run with the weight at another place tells as well.");
    else
      out_.sentences.push_back(
          "With it in place of the trial weight the reading should fall from " + fixed(now, 2) +
          " to little. Run it again and put that run in as one more row.");
    if (!made->scatter_known) unknown_scatter("more runs, or give how well readings repeat");
    out_.notes.push_back(
        "Amplitudes alone: intervals hold while readings repeat within a twentieth of the least "
        "reading and of what the trial weight does.");
    return std::nullopt;
  }

  BayResult done() {
    trial_arrows();
    out_.cautions = {
        "The shaft turns at road speed: run on a hoist or stands only as the maker allows, wheels "
        "off and brake drums or rotors held, joints near the angle they run at; no faster than "
        "needed.",
        "Nobody under the shaft, beside it or in its plane; a weight that lets go flies off. Tape "
        "over clamps, and tighten them again after each run.",
        "Cool the engine and brakes between runs; stop at the first sharp rise."};
    out_.notes.push_back(
        "First runout, joints and flanges: weight does not mend a bent shaft or a worn joint. All "
        "runs at one speed, weights at one radius, places counted one way from one mark.");
    out_.notes.push_back("It is good where the shaft's order 1 is below a third of what it was.");
    out_.svg = mass_dial("Weights on the shaft", "mark", arrows_, units_);
    return std::move(out_);
  }

 private:
  void weight(const std::string& name, const std::string& id, const VectorEstimate& of,
              bool scatter_known) {
    const double mass = std::abs(of.value);
    std::string words = name + "put " + mass_at(mass, angle_of(of.value), units_) +
                        " on, in place of trial weights";
    if (name.empty()) words[0] = 'P';
    out_.numbers.push_back({id, name.empty() ? "Weight" : name + "weight", Dimension::mass, mass,
                            scatter_known ? std::optional(of.amount()) : std::nullopt});
    BayNumber at = place_number(id + "_at", angle_of(of.value));
    const double half = of.angle_half_width();
    if (scatter_known && half < std::numbers::pi)
      at.interval = Interval{at.value, at.value - half, at.value + half};
    out_.numbers.push_back(at);
    arrows_.push_back(scatter_known ? vector_arrow(name + "weight", of, Dimension::mass, units_)
                                    : mass_arrow(name + "weight", of.value, units_));
    out_.sentences.push_back(words + "." + clamp_words(of.value));
    if (scatter_known && !(of.amount().low > 0.0))
      out_.notes.push_back(
          "The runs do not settle this weight: none at all is as good within how readings repeat. "
          "Repeat the runs, or use a heavier trial weight.");
  }

  // With two clamps where their screw's mass is told.
  std::string clamp_words(Vector mass) {
    const auto screw = input_.number("clamp_screw");
    if (!screw) return {};
    constexpr double kAnyRadius = 0.05;  // one radius for all: it falls out
    const auto places = clamp_places(mass * kAnyRadius, *screw, kAnyRadius);
    if (!places.ok()) return {};
    if (!places->enough)
      return " Two clamps side by side make only " + told(2.0 * *screw, Dimension::mass, units_) +
             ": heavier ones, or a third.";
    return " With two hose clamps: one screw " + told_place(places->first) + ", the other " +
           told_place(places->second) + ".";
  }

  void unknown_scatter(const std::string& what) {
    out_.notes.push_back("How sure that is cannot be told: " + what + ".");
  }

  void trial_arrows() {
    for (std::size_t row = 0; row < input_.rows("runs").size(); ++row)
      for (const std::size_t column : {kShaftWeight, kSecondWeight}) {
        const BayInput::Row& of = input_.rows("runs")[row];
        if (of[column].value_or(0.0) <= 0.0) continue;
        arrows_.push_back(mass_arrow("Trial weight of run " + std::to_string(row + 1),
                                     vector_at(*of[column], of[column + 1].value_or(0.0)), units_));
        arrows_.back().reference = true;
      }
  }

  const BayInput& input_;
  Units units_;
  BayResult out_;
  std::vector<DialArrow> arrows_;
};

Result<BayResult, Problems> run_shaft_balance(const BayInput& input, const BayContext& context) {
  ShaftWriter writer(input, context);
  bool phases = any_in(input, kReading + 1);
  for (const std::size_t column : kFurtherReadings) phases = phases || any_in(input, column + 1);
  if (auto wrong = phases ? writer.by_phase() : writer.by_amplitudes()) return *wrong;
  return writer.done();
}

}  // namespace

BayTool shaft_balance_tool() {
  return {
      "shaft_balance",
      "Shaft balance in the car",
      "From runs with a trial weight on a driveshaft to the weights that still it.",
      {},
      {"balance_driveshaft"},
      {rows_field(
           "runs", "Runs",
           "One without weight, one with a trial weight in each plane; up to four readings a run, "
           "of other pickups or other speeds, the same in every run. Without phase: one reading, "
           "the trial weight at three places.",
           {{"reading", "Vibration", Dimension::count, 0.0, kMost},
            place_column("phase", "Its phase", false),
            {"weight", "Weight on", Dimension::mass, 0.0, 0.3, false},
            place_column("weight_at", "Its place", false),
            further_column("second_reading", "At a second pickup or speed"),
            place_column("second_phase", "Its phase", false),
            {"second_weight", "Weight in the other plane", Dimension::mass, 0.0, 0.3, false},
            place_column("second_weight_at", "Its place", false),
            further_column("third_reading", "At a third"),
            place_column("third_phase", "Its phase", false),
            further_column("fourth_reading", "At a fourth"),
            place_column("fourth_phase", "Its phase", false)},
           2, 16),
       choice_field("phase_way", "Phase is counted", "From the mark, seen from the same end.",
                    {{"same", "The way places are"}, {"opposite", "The other way round"}}, "same"),
       quantity_field({"clamp_screw", "Screw of a hose clamp", Dimension::mass, 0.001, 0.1},
                      "What it is heavier than the band it stands on."),
       quantity_field({"reading_sd", "How well a reading repeats", Dimension::count, 0.0, kMost},
                      "One standard deviation, in the unit of the readings; else runs tell.")},
      run_shaft_balance,
      "perrev bay shaft-balance --reading-sd 0.1 \\\n"
      "    --runs \"3; 4, , 10 g, 0 deg; 2.5, , 10 g, 120 deg; 5, , 10 g, 240 deg\""};
}

}  // namespace perrev
