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
    if (spokes.position > out.width)
      return field_problem("spoke_plane", problem("this plane lies outside the rim",
                                                  "less than the width between the flanges"));
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

Result<VectorEstimate, Problems> plane_moment(const BayInput& input, std::size_t column,
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

}  // namespace perrev
