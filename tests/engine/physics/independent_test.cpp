// Physics against another solver: scipy computes the same values by other means.
#include <doctest/doctest.h>

#include <cmath>
#include <complex>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "engine/physics/forces.h"
#include "engine/physics/hooke.h"
#include "engine/physics/quarter_car.h"
#include "engine/physics/weighting.h"
#include "engine/random.h"
#include "tests/engine/recomputed.h"

using namespace perrev;
using Json = nlohmann::json;

namespace {

Json entry(const char* what, Json inputs, std::vector<double> values) {
  return {{"what", what}, {"inputs", std::move(inputs)}, {"values", std::move(values)}};
}

std::vector<double> grid(double from, double to, int count) {
  std::vector<double> values;
  for (int i = 0; i < count; ++i)
    values.push_back(from * std::pow(to / from, static_cast<double>(i) / (count - 1)));
  return values;
}

template <typename Response>
std::vector<double> parts_over(const std::vector<double>& hz, Response response) {
  std::vector<double> values;
  for (const double at : hz) {
    const std::complex<double> value = response(at);
    values.push_back(value.real());
    values.push_back(value.imag());
  }
  return values;
}

void add_weightings(Json& all) {
  const auto hz = grid(0.05, 3000.0, 150);
  for (const char* name : {"wk", "wd", "wc", "we", "wj", "wb", "wm", "wh"}) {
    const Weighting weighting = *weighting_named(name);
    all.push_back(entry("weighting", {{"name", name}, {"hz", hz}}, parts_over(hz, [&](double at) {
                          return weighting_response(weighting, at);
                        })));
  }
}

// Road and force bend at random at every step.
Json motion_of(const QuarterCar& car, const Json& named, double step, std::uint64_t seed) {
  Random random(seed);
  std::vector<double> road{0.0}, force{0.0}, values;
  const CarMotion motion(car, step);
  CarState state{};
  for (std::size_t i = 0; i < 250; ++i) {
    road.push_back(road.back() + 0.01 * (random.real() - 0.5));
    force.push_back(600.0 * (random.real() - 0.5));
    state = motion.advance(state, road[i], road[i + 1], force[i], force[i + 1]);
    values.insert(values.end(), state.begin(), state.end());
    values.push_back(motion.body_acceleration(state));
  }
  return entry("motion", {{"car", named}, {"step", step}, {"road", road}, {"force", force}},
               values);
}

void add_cars(Json& all) {
  const QuarterCar cars[] = {golden_car(),
                             {240.0, 36.0, 16000.0, 160000.0, 980.0},
                             {400.0, 40.0, 21000.0, 150000.0, 1500.0},
                             {2500.0, 400.0, 250000.0, 1000000.0, 12000.0}};
  const auto hz = grid(0.05, 300.0, 150);
  std::uint64_t seed = 1;
  for (const QuarterCar& car : cars) {
    const Json named{{"sprung", car.sprung},
                     {"unsprung", car.unsprung},
                     {"spring", car.spring},
                     {"tire", car.tire},
                     {"damper", car.damper}};
    const Json inputs{{"car", named}, {"hz", hz}};
    all.push_back(entry("body_per_force", inputs,
                        parts_over(hz, [&](double at) { return body_per_force(car, at); })));
    all.push_back(entry("body_per_road", inputs,
                        parts_over(hz, [&](double at) { return body_per_road(car, at); })));
    const auto natural = natural_frequencies(car);
    all.push_back(
        entry("natural_frequencies", {{"car", named}}, {natural.body_hz, natural.wheel_hop_hz}));
    all.push_back(motion_of(car, named, seed % 2 == 0 ? 0.002 : 0.01125, seed));
    ++seed;
  }
}

void add_joints(Json& all) {
  std::vector<double> turns;
  for (int i = -40; i <= 40; ++i) turns.push_back(0.1 * i);
  for (const double angle : {0.01, 0.1, 0.5, 1.1}) {
    std::vector<double> driven, ratio;
    for (const double turn : turns) {
      driven.push_back(hooke_driven_turn(angle, turn));
      ratio.push_back(hooke_speed_ratio(angle, turn));
    }
    const Json inputs{{"angle", angle}, {"turn", turns}};
    all.push_back(entry("hooke_driven_turn", inputs, driven));
    all.push_back(entry("hooke_speed_ratio", inputs, ratio));
    all.push_back(entry("hooke_peak_acceleration", {{"angle", angle}, {"speed", 314.0}},
                        {hooke_peak_acceleration(angle, 314.0)}));
    std::vector<double> harmonics;
    for (const int n : {0, 2, 4}) harmonics.push_back(hooke_harmonic(angle, n));
    all.push_back(entry("hooke_harmonic", {{"angle", angle}, {"harmonics", {0, 2, 4}}}, harmonics));
  }
  const std::vector<HookeJoint> rows[] = {{{0.1, 0.0}, {0.09, 0.0}},
                                          {{0.1, 0.3}, {0.4, 0.7}, {0.25, -1.1}}};
  for (const auto& joints : rows) {
    Json inputs{{"turn", turns}, {"angles", Json::array()}, {"phases", Json::array()}};
    for (const HookeJoint& joint : joints) {
      inputs["angles"].push_back(joint.angle);
      inputs["phases"].push_back(joint.phase);
    }
    std::vector<double> leads;
    for (const double turn : turns) leads.push_back(driven_lead(joints, turn));
    all.push_back(entry("driven_lead", inputs, leads));
  }
}

void add_shafts(Json& all) {
  const double tubes[][5] = {{0.0762, 0.0729, 1.5, 206.8e9, 7850.0},
                             {0.0889, 0.0847, 1.524, 206.8e9, 7850.0},
                             {0.1, 0.094, 1.8, 70e9, 2700.0}};
  for (const auto& [outer, inner, length, youngs, density] : tubes)
    all.push_back(entry("critical_speed",
                        {{"outer", outer},
                         {"inner", inner},
                         {"length", length},
                         {"youngs", youngs},
                         {"density", density}},
                        {critical_speed(outer, inner, length, youngs, density)}));
}

Json computed() {
  Json all = Json::array();
  add_weightings(all);
  add_cars(all);
  add_joints(all);
  add_shafts(all);
  return all;
}

}  // namespace

TEST_CASE("another solver finds the same values") {
  test::check_recomputed("physics/independent.py", computed(), 3e-6);
}
