#include "src/answers/bay/wheel_planes.h"

#include <cmath>

#include "engine/quantity/text.h"
#include "src/answers/bay/balance_words.h"

namespace perrev {

namespace {

bool behind_spokes(const BayInput& input) {
  const std::string weights = input.choice("weights");
  return weights == "inner_and_adhesive" || weights == "adhesive" ||
         input.choice("read_at") == "spokes";
}

constexpr double kLeastApart = 0.01;  // m, of two planes

// What is wrong with the planes of adhesive weights, by the field at fault.
std::optional<Problems> adhesive_problem(const BayInput& input, double width) {
  const std::string weights = input.choice("weights");
  const double spokes = input.required("spoke_plane");
  const auto outside = [&](const char* field) {
    return field_problem(field, problem("this plane lies outside the rim",
                                        "less than the width between the flanges"));
  };
  const auto at_one_place = [](const char* field) {
    return field_problem(field, problem("the two planes of weights are at one place along the axis",
                                        "planes at least 10 mm (0.4 in) apart"));
  };
  if (spokes > width) return outside("spoke_plane");
  if (input.required("adhesive_diameter") >= input.required("rim_diameter"))
    return field_problem("adhesive_diameter",
                         problem("adhesive weights sit inside the rim", "less than its diameter"));
  if (weights == "inner_and_adhesive" && spokes < kLeastApart) return at_one_place("spoke_plane");
  if (weights != "adhesive") return std::nullopt;
  const double inner = input.required("inner_adhesive");
  if (inner > width) return outside("inner_adhesive");
  if (std::abs(inner - spokes) < kLeastApart) return at_one_place("inner_adhesive");
  return std::nullopt;
}

// The heavy moment that two columns of `spins` show, mass and place.
Result<VectorEstimate, Problems> moment_read(const BayInput& input, std::size_t column,
                                             double radius) {
  const std::vector<BayInput::Row>& spins = input.rows("spins");
  std::vector<MassReading> readings;
  Vector sum;
  for (std::size_t r = 0; r < spins.size(); ++r) {
    const double mass = *spins[r][column];
    if (!spins[r][column + 1] && mass > 0.0)
      return field_problem(
          "spins/" + std::to_string(r) + "/" + std::to_string(column + 1),
          problem("the place of a mass is not told", "its angle or clock position"));
    const Vector heavy = heavy_place(input, mass, spins[r][column + 1].value_or(0.0));
    readings.push_back({std::abs(heavy), angle_of(heavy)});
    sum += heavy;
  }
  const auto sd = input.number("reading_sd");
  const auto count = static_cast<double>(readings.size());
  const Vector mean = sum / count;
  const auto made = readings.size() > 1 && !sd
                        ? moment_of(readings, radius)
                        : moment_of({std::abs(mean), angle_of(mean)}, radius,
                                    {0.0, sd.value_or(kReadingSd) / std::sqrt(count)});
  if (!made) return field_problem("rim_diameter", made.error());
  return *made;
}

// Whether each spin has the masses that the balancer is said to show.
std::optional<Problems> columns_problem(const BayInput& input) {
  const std::vector<BayInput::Row>& spins = input.rows("spins");
  for (std::size_t r = 0; r < spins.size(); ++r) {
    const std::string at = "spins/" + std::to_string(r) + "/2";
    if (couple_is_read(input) && !spins[r][2])
      return field_problem(at, problem("the second mass is not given",
                                       "both masses; where it shows the static one alone, say so"));
    if (!couple_is_read(input) && spins[r][2])
      return field_problem(at, problem("a static reading is one mass", "nothing behind its place"));
  }
  return std::nullopt;
}

}  // namespace

double clip_step(const BayInput& input, std::string_view field, std::string_view readings) {
  constexpr double kQuarterOunce = kOunce / 4.0, kFiveGrams = 0.005;
  const auto found = input.units.find(readings);
  const bool grams = found != input.units.end() && lower_case(found->second.front()) == "g";
  return input.number(field).value_or(grams ? kFiveGrams : kQuarterOunce);
}

Result<WheelPlanes, Problems> planes_of(const BayInput& input) {
  WheelPlanes out;
  out.radius = 0.5 * input.required("rim_diameter");
  out.width = input.required("rim_width");
  Plane spokes;
  if (behind_spokes(input)) {
    for (const char* field : {"spoke_plane", "adhesive_diameter"})
      if (!input.number(field))
        return field_problem(field, problem("the plane behind the spokes is not told",
                                            "its distance from the inner flange, and the diameter "
                                            "adhesive weights sit at"));
    spokes = {input.required("spoke_plane"), 0.5 * input.required("adhesive_diameter")};
    if (const auto wrong = adhesive_problem(input, out.width)) return *wrong;
  }
  const Plane inner{0.0, out.radius}, outer{out.width, out.radius};
  out.inner_read = inner;
  out.outer_read = input.choice("read_at") == "spokes" ? spokes : outer;
  const double clip = clip_step(input, "clip_step", "spins"), segment = input.required("segment");
  const std::string choice = input.choice("weights");
  const auto add = [&](const std::string& name, const Plane& at, bool adhesive) {
    out.weights.push_back(
        {at, sizes_of(adhesive ? segment : clip), input.number("place_step").value_or(0.0)});
    out.names.push_back(name);
    out.segments.push_back(adhesive ? segment : 0.0);
  };
  if (choice == "adhesive")
    add("Inside the rim", {input.required("inner_adhesive"), spokes.radius}, true);
  else
    add("Inner flange", inner, false);
  if (choice == "flanges") add("Outer flange", outer, false);
  if (choice == "inner_and_adhesive" || choice == "adhesive")
    add("Behind the spokes", spokes, true);
  return out;
}

BayField reads_field() {
  return choice_field("reads", "The balancer reads",
                      "Couple: the mass on each flange, its place that of the outer one.",
                      {{"planes", "Inner and outer plane"},
                       {"static_couple", "Static and couple"},
                       {"static", "Static alone"}},
                      "planes");
}

bool couple_is_read(const BayInput& input) { return input.choice("reads") != "static"; }

Result<Unbalance, Problems> unbalance_read(const BayInput& input, const WheelPlanes& wheel) {
  if (const auto wrong = columns_problem(input)) return *wrong;
  const std::string reads = input.choice("reads");
  if (reads == "static_couple" && input.choice("read_at") == "spokes")
    return field_problem("read_at", problem("static and couple are read at the flanges", "flange"));
  const double radius = (reads == "static" ? wheel.outer_read : wheel.inner_read).radius;
  const auto first = moment_read(input, 0, radius);
  if (!first) return first.error();
  const double middle = 0.5 * wheel.width;
  if (reads == "static") return Unbalance::static_and_couple(*first, {}, middle);
  const auto second = moment_read(input, 2, wheel.outer_read.radius);
  if (!second) return second.error();
  if (reads == "static_couple")
    return Unbalance::static_and_couple(*first, times(*second, wheel.width), middle);
  const auto made =
      Unbalance::in_planes(*first, wheel.inner_read.position, *second, wheel.outer_read.position);
  if (!made) return field_problem("spoke_plane", made.error());
  return *made;
}

}  // namespace perrev
