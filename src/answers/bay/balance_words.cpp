#include "src/answers/bay/balance_words.h"

#include <cmath>

#include "engine/quantity/angle.h"
#include "src/answers/bay/vector_words.h"

namespace perrev {

BayField shows_field() {
  return choice_field("shows", "The balancer shows", "Most show where weight goes.",
                      {{"weight", "Where weight goes"}, {"heavy", "Where it is heavy"}}, "weight");
}

Vector heavy_place(const BayInput& input, double mass, double angle) {
  const Vector shown = vector_at(mass, angle);
  return input.choice("shows") == "heavy" ? shown : -shown;
}

BalanceMasses balance_masses(const BayContext& context) {
  BayContext car = context;
  car.limit_class = "other";
  BalanceMasses out;
  const auto good = [&](const char* fact) {
    if (const auto limit = context.limit(fact)) return limit->good;
    out.of_a_car = true;
    const auto limit = car.limit(fact);
    return limit ? limit->good : 0.007;  // a rule base without limits: common practice
  };
  out.static_mass = good("residual_static");
  out.couple_mass = good("residual_couple");
  return out;
}

BayNumber place_number(const std::string& id, double angle) {
  return {id, "Its place", Dimension::angle, kTurn - angle < 1e-9 ? 0.0 : angle};
}

std::string mass_at(double mass, double angle, Units units) {
  return told(mass, Dimension::mass, units) + " " + told_place(angle);
}

DialArrow mass_arrow(const std::string& name, Vector mass, Units units) {
  VectorEstimate known;
  known.value = mass;
  return vector_arrow(name, known, Dimension::mass, units);
}

std::string mass_dial(const std::string& title, const std::string& mark,
                      const std::vector<DialArrow>& arrows, Units units) {
  Dial dial;
  dial.title = title;
  dial.unit = std::string(usual_unit(Dimension::mass, units));
  dial.mark = mark;
  dial.arrows = arrows;
  return svg_of(dial);
}

}  // namespace perrev
