// After a check spin: what to add, to move, or to put in place of the weights that are on; and what
// the check spin tells of the balancer.
#include <algorithm>
#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/trim.h"
#include "src/answers/bay/balance_words.h"
#include "src/answers/bay/bay_tools.h"
#include "src/answers/bay/vector_words.h"
#include "src/answers/bay/wheel_planes.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr const char* kPlanes[] = {"Inner", "Outer"};
constexpr std::size_t kBefore = 0, kWeight = 2, kCheck = 4;  // columns; each with its place

struct PlaneSpins {
  VectorEstimate before, check;  // heavy, kg
  Vector weight;                 // put on between them
};

VectorEstimate mass_read(Vector heavy, double sd) {
  VectorEstimate out;
  out.value = heavy;
  out.xx = out.yy = 1.0;
  out.scatter = {sd, std::nullopt};
  return out;
}

Result<PlaneSpins, Problems> spins_of(const BayInput& input, std::size_t row) {
  const BayInput::Row& of = input.rows("planes")[row];
  for (const std::size_t column : {kBefore, kWeight, kCheck})
    if (!of[column + 1] && *of[column] > 0.0)
      return field_problem(
          "planes/" + std::to_string(row) + "/" + std::to_string(column + 1),
          problem("the place of a mass is not told", "its angle or clock position"));
  const double sd = input.required("reading_sd");
  const auto heavy = [&](std::size_t column) {
    return mass_read(heavy_place(input, *of[column], of[column + 1].value_or(0.0)), sd);
  };
  return PlaneSpins{heavy(kBefore), heavy(kCheck),
                    vector_at(*of[kWeight], of[kWeight + 1].value_or(0.0))};
}

// What the balancer makes of a weight of known mass and place.
std::string response_words(const Response& of) {
  const double lag = std::round(of.lag() * 360.0 / kTurn);
  std::string out = "the balancer showed " + fixed(100.0 * of.amount(), 0) +
                    " % of the weight's mass, " +
                    (lag == 0.0 ? std::string("at its place")
                                : fixed(std::abs(lag), 0) + " deg " +
                                      (lag > 0.0 ? "clockwise" : "counter-clockwise") + " of it");
  return out + (of.reads_true() ? "; it reads true." : ". It does not read true in this plane.");
}

class TrimWriter {
 public:
  TrimWriter(const BayInput& input, const BayContext& context)
      : input_(input), units_(context.units), limits_(balance_masses(context)) {}

  std::optional<Problems> plane(std::size_t row) {
    const auto spins = spins_of(input_, row);
    if (!spins) return spins.error();
    const std::string name = kPlanes[row];
    const double left = std::abs(spins->check.value);
    const bool passes = left <= limits_.static_mass;
    all_pass_ = all_pass_ && passes;
    number(row, "left", name + ", left over", left, spins->check.amount());
    arrows_.push_back(
        vector_arrow(name + ", heavy at the check", spins->check, Dimension::mass, units_));
    arrows_.push_back(mass_arrow(name + ", weight that is on", spins->weight, units_));
    arrows_.back().reference = true;
    const auto found = response(spins->before, spins->check, spins->weight);
    const Trim said = trim_of(*spins, found);
    out_.sentences.push_back(name + ": " + told(left, Dimension::mass, units_) + " is left (" +
                             told_limit(limits_.static_mass, Dimension::mass, units_) + " may be)" +
                             (passes ? "; it passes, leave it." : "; it does not pass."));
    // Where the weight that is on changed nothing, more of it is no advice.
    const bool known = found.ok() || !(std::abs(spins->weight) > 0.0);
    if (!passes && known) add_advice(row, *spins, said);
    tell_response(row, *spins, found);
    return std::nullopt;
  }

  BayResult done() {
    if (input_.rows("planes").size() == 2)
      out_.notes.push_back(
          "One check spin cannot tell what a weight in one plane does to the reading of the other: "
          "each plane is taken for itself. Where two trims do not bring it in, put on one weight "
          "at a time.");
    if (!all_pass_)
      out_.notes.push_back(
          "Spin again after trimming. Where a third spin still asks for weight, seat the wheel "
          "again first.");
    if (limits_.of_a_car)
      out_.notes.push_back("The kind of vehicle is not told: what may be left is that of a car.");
    out_.cautions = {"Hood down, stones out of the tread, nobody beside the wheel while it turns.",
                     "A clip that has been off is not used again; adhesive weight neither."};
    out_.svg = mass_dial("Check spin", "valve", arrows_, units_);
    return std::move(out_);
  }

 private:
  // By the response it showed where it does not read true.
  static Trim trim_of(const PlaneSpins& spins, const Result<Response>& found) {
    if (found.ok() && !found->reads_true()) {
      const auto by = trim_by_response(spins.before, spins.check, spins.weight, spins.weight);
      if (by.ok()) return *by;
    }
    return trim(spins.check, spins.weight);
  }

  void add_advice(std::size_t row, const PlaneSpins& spins, const Trim& said) {
    const double step = clip_step(input_, "step", "planes");
    const auto real = [&](Vector mass) {
      const double size = std::round(std::abs(mass) / step) * step;
      return mass_at(size, angle_of(mass), units_);
    };
    std::string words = std::string(kPlanes[row]) + ": add " + real(said.add.value);
    if (std::abs(spins.weight) > 0.0) {
      words += ", or replace what is on by " + real(said.replaced);
      if (said.left_when_moved <= limits_.static_mass)
        words += ", or put as much as is on, " +
                 told(std::abs(spins.weight), Dimension::mass, units_) + ", " +
                 told_place(angle_of(said.moved)) + " in its place, which leaves " +
                 told(said.left_when_moved, Dimension::mass, units_);
    }
    out_.sentences.push_back(words + ".");
    number(row, "add", std::string(kPlanes[row]) + ", to add", std::abs(said.add.value),
           said.add.amount());
    place(row, "add_at", said.add.value);
    if (std::abs(spins.weight) > 0.0) {
      number(row, "replaced", std::string(kPlanes[row]) + ", one for all", std::abs(said.replaced));
      place(row, "replaced_at", said.replaced);
    }
    arrows_.push_back(
        vector_arrow(std::string(kPlanes[row]) + ", to add", said.add, Dimension::mass, units_));
  }

  void tell_response(std::size_t row, const PlaneSpins& spins, const Result<Response>& found) {
    if (!(std::abs(spins.weight) > 0.0)) return;
    if (!found.ok()) {
      out_.sentences.push_back(std::string(kPlanes[row]) +
                               ": the weight changed nothing that the balancer can tell. Is it "
                               "on, in this plane, and the radius set right?");
      return;
    }
    out_.numbers.push_back({id(row, "response"), std::string(kPlanes[row]) + ", shown of its mass",
                            Dimension::ratio, found->amount(), found->factor.amount()});
    out_.numbers.push_back({id(row, "lag"), std::string(kPlanes[row]) + ", shown clockwise of it",
                            Dimension::angle, found->lag(),
                            Interval{found->lag(), found->lag() - found->factor.angle_half_width(),
                                     found->lag() + found->factor.angle_half_width()}});
    out_.sentences.push_back(std::string(kPlanes[row]) + ": " + response_words(*found));
    if (!found->reads_true())
      out_.notes.push_back(
          std::string(kPlanes[row]) +
          ": the advice goes by what the weight did. Look for wrong distances and diameters, a "
          "weight beside its place, a wheel that moved on the shaft; then have it calibrated.");
  }

  static std::string id(std::size_t row, const char* what) {
    return (row == 0 ? "inner_" : "outer_") + std::string(what);
  }
  void number(std::size_t row, const char* what, const std::string& label, double value,
              const std::optional<Interval>& interval = std::nullopt) {
    out_.numbers.push_back({id(row, what), label, Dimension::mass, value, interval});
  }
  void place(std::size_t row, const char* what, Vector of) {
    out_.numbers.push_back(place_number(id(row, what), angle_of(of)));
  }

  const BayInput& input_;
  Units units_;
  BalanceMasses limits_;
  BayResult out_;
  std::vector<DialArrow> arrows_;
  bool all_pass_ = true;
};

Result<BayResult, Problems> run_trim(const BayInput& input, const BayContext& context) {
  TrimWriter writer(input, context);
  for (std::size_t row = 0; row < input.rows("planes").size(); ++row)
    if (auto wrong = writer.plane(row)) return *wrong;
  return writer.done();
}

}  // namespace

BayTool trim_tool() {
  return {"trim",
          "Trim after a check spin",
          "From the weight put on and the check spin to what is added, moved or replaced.",
          {},
          {"rebalance"},
          {rows_field("planes", "Planes", "Inner plane first, then outer.",
                      {{"before", "Shown before", Dimension::mass, 0.0, 0.5},
                       place_column("before_at", "Its place", false),
                       {"weight", "Weight put on", Dimension::mass, 0.0, 0.5},
                       place_column("weight_at", "Its place", false),
                       {"check", "Shown after", Dimension::mass, 0.0, 0.5},
                       place_column("check_at", "Its place", false)},
                      1, 2),
           shows_field(),
           quantity_field({"step", "Step of weights", Dimension::mass, 0.0005, 0.03},
                          "What each size is heavier than the next; else 0.25 oz, or 5 g where "
                          "readings are in grams."),
           quantity_field({"reading_sd", "How well it repeats", Dimension::mass, 0.0001, 0.05},
                          "One standard deviation of a reading.", false, "1 g")},
          run_trim,
          "perrev bay trim --planes \"1.50 oz, 3:00, 1.50 oz, 3:00, 0.50 oz, 6:00\""};
}

}  // namespace perrev
