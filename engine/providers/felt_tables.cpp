#include "engine/providers/felt_tables.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "engine/knowledge/computed.h"

namespace perrev {

namespace {

constexpr double kSpeedometerSd = 0.02;  // of a speed as read, where it is not known by what
constexpr double kTurnsStep = 0.01, kSpreadStep = 0.0025;  // relative; see on_grid()
constexpr double kHeardAt = 18.0;  // m/s that PhysicsFault::heard_db holds for

// The orders of a range that stand for all of it.
std::vector<double> orders_of(const Shake& shake) {
  if (shake.high_order - shake.low_order < 3.0) {
    std::vector<double> out;
    for (double order = shake.low_order; order <= shake.high_order + 1e-9; order += 1.0)
      out.push_back(order);
    return out;
  }
  return {shake.low_order, std::round(std::sqrt(shake.low_order * shake.high_order)),
          shake.high_order};
}

// A fault grows louder with speed, and the road beyond a speed faster still; from memory.
double heard_over_speed(double heard_db, double speed) {
  if (heard_db == 0.0) return kNotThere;
  return heard_db + (speed < kHeardAt ? 20.0 : -20.0) * std::log10(speed / kHeardAt);
}

SpeedBands bands_of(const RuleBase& base, std::string_view fact) {
  const int index = base.fact_index(fact);
  if (index < 0) return {};
  const Variable& variable = base.variables[static_cast<std::size_t>(
      base.facts[static_cast<std::size_t>(index)].first_variable)];
  return {variable.edges, variable.base};
}

// The index into Sayings::ticked of an answer of felt_at, -1 for another.
int tick_named(std::string_view answer) {
  for (int p = 0; p < kFeltPlaces; ++p)
    if (name_of(static_cast<FeltPlace>(p)) == answer) return p;
  return answer == "whole_car" ? kWholeCar : answer == "heard_only" ? kHeardOnly : -1;
}

// P(answer | way, number) of one variable, by answer.
using AnswerRows = std::vector<std::array<double, kLevels>>;
AnswerRows rows_of(const RuleBase& base, int variable, const Sayings& said) {
  const Variable& of = base.variables[static_cast<std::size_t>(variable)];
  const Fact& fact = base.facts[static_cast<std::size_t>(of.fact)];
  AnswerRows out(of.base.size());
  if (fact.id == "worst_speed") {
    for (std::size_t b = 0; b < out.size(); ++b) out[b].fill(said.worst[b]);
  } else if (fact.id == "begins_speed") {
    out = said.begins;
  } else if (fact.id == "ends_speed") {
    out = said.ends;
  } else if (fact.id == "how_strong") {
    for (std::size_t s = 0; s < out.size(); ++s) out[s] = said.strength[s];
  } else {
    const int tick = tick_named(fact.answers[static_cast<std::size_t>(of.answer)].id);
    for (std::size_t n = 0; n < kLevels; ++n) {
      out[1][n] = tick < 0 ? of.base[1] : said.ticked[static_cast<std::size_t>(tick)][n];
      out[0][n] = 1.0 - out[1][n];
    }
  }
  return out;
}

FeltWayAbout about_way(const FeltWay& way, const FeltLine& line) {
  FeltWayAbout out{line.source, line.about, line.order, 0.0, FeltPlace::seat, false};
  double most = 2.0 * kNotThere;
  const auto louder = [&](double level, std::size_t speed, FeltPlace place, bool heard) {
    if (level <= most) return;
    most = level;
    out.worst_speed = said_speeds()[speed];
    out.most = place;
    out.heard = heard;
  };
  for (std::size_t i = 0; i < way.felt.size(); ++i) {
    for (std::size_t p = 0; p < kFeltPlaces; ++p)
      louder(way.felt[i][p], i, static_cast<FeltPlace>(p), false);
    louder(way.heard[i], i, FeltPlace::seat, true);
  }
  return out;
}

bool is_wheels(FeltPart part) {
  return part == FeltPart::front_wheels || part == FeltPart::rear_wheels;
}

std::string_view source_at(FeltPart part) {
  if (is_wheels(part)) return "tire";
  if (part == FeltPart::driveshaft) return "driveshaft";
  return part == FeltPart::front_driveshaft ? "front_driveshaft" : "motor_rotor";
}

bool is_front(FeltPart part) {
  return part != FeltPart::rear_wheels && part != FeltPart::driveshaft;
}

// It can be at this part on some vehicle.
bool can_be_at(const PhysicsFault& fault, FeltPart part) {
  if (!is_wheels(part) || fault.changed || fault.driven) return true;
  return (part == FeltPart::front_wheels ? fault.front : 1.0 - fault.front) > 0.0;
}

// Each shake of it is a line that physics knows.
bool is_computed(const Cause& cause) {
  return std::all_of(cause.shakes.begin(), cause.shakes.end(), [](const Shake& shake) {
    return shake.kind == Shake::Kind::number &&
           (shake.source == "tire" || shake.source == "driveshaft" ||
            shake.source == "front_driveshaft" || shake.source == "motor_rotor");
  });
}

// The lines of a fault at a part; their shares do not know the axle.
std::vector<FeltLine> lines_at(const RuleBase& base, const PhysicsFault& fault, FeltPart part,
                               const Estimate& turns) {
  std::vector<FeltLine> out;
  const Cause& cause = base.causes[static_cast<std::size_t>(fault.cause)];
  if (!is_computed(cause) || !can_be_at(fault, part)) return out;
  const std::string where = !is_wheels(part) ? "" : is_front(part) ? ", front" : ", rear";
  for (const Shake& shake : cause.shakes) {
    if (shake.source != source_at(part)) continue;
    const std::vector<double> orders = orders_of(shake);
    for (const double order : orders)
      out.push_back({shake.share / static_cast<double>(orders.size()), order, turns, is_front(part),
                     shake.source, shake.source + " order " + show_number(order) + where});
  }
  return out;
}

}  // namespace

double front_share(const PhysicsFault& fault, DrivenAxle driven) {
  if (fault.driven && driven == DrivenAxle::front) return 1.0;
  if (fault.driven && driven == DrivenAxle::rear) return 0.0;
  return fault.front;
}

double front_share(const PhysicsFault& fault, const FeltVehicle& vehicle) {
  return fault.changed && vehicle.front_changed >= 0.0 ? vehicle.front_changed
                                                       : front_share(fault, vehicle.driven);
}

double share_at(const PhysicsFault& fault, FeltPart part, const FeltVehicle& vehicle) {
  if (!is_wheels(part)) return 1.0;
  const double front = front_share(fault, vehicle);
  return part == FeltPart::front_wheels ? front : 1.0 - front;
}

Estimate on_grid(const Estimate& turns) {
  const double spread = std::round(turns.sd / turns.mean / kSpreadStep) * kSpreadStep;
  const double mean = std::exp(kTurnsStep * std::round(std::log(turns.mean) / kTurnsStep));
  return {mean, mean * spread};
}

FeltWay FeltWays::of(const PhysicsFault& fault, const FeltLine& line) {
  const double shakes = line.order * line.turns_per_metre.mean;
  JustFelt& least = just_felt_[shakes];
  if (least.empty())
    for (const double speed : said_speeds())
      least.push_back(model_.just_felt(shakes * speed, speed));
  FeltWay out;
  out.share = line.share;
  out.speed_sd = std::hypot(line.turns_per_metre.sd / line.turns_per_metre.mean, kSpeedometerSd);
  const FaultAt at{fault.kind, fault.median, line.order,  line.turns_per_metre.mean,
                   line.front, fault.when,   fault.steer, fault.vertical};
  for (std::size_t i = 0; i < said_speeds().size(); ++i) {
    const double speed = said_speeds()[i];
    const FeltPoint point = model_.at(at, speed, least[i]);
    std::array<double, kFeltPlaces> levels{};
    for (std::size_t p = 0; p < kFeltPlaces; ++p) levels[p] = point.places[p].level_db;
    out.felt.push_back(levels);
    out.heard.push_back(heard_over_speed(fault.heard_db, speed));
    out.upright = out.upright || point.pushes[static_cast<std::size_t>(Push::vertical)] > 0.0;
  }
  return out;
}

FeltPartTables felt_tables(const RuleBase& base, int body, FeltPart part, const Estimate& turns) {
  FeltPartTables out;
  for (std::size_t v = 0; v < base.variables.size(); ++v) {
    const std::string& id = base.facts[static_cast<std::size_t>(base.variables[v].fact)].id;
    if (std::find(kPhysicsFacts.begin(), kPhysicsFacts.end(), id) != kPhysicsFacts.end())
      out.variables.push_back(static_cast<int>(v));
  }
  for (const int variable : out.variables)
    out.said.emplace_back(base.variables[static_cast<std::size_t>(variable)].base.size());
  FeltWays levels(base.physics, body);
  const AskedSpeeds asked{bands_of(base, "worst_speed"), bands_of(base, "begins_speed"),
                          bands_of(base, "ends_speed")};
  for (std::size_t f = 0; f < base.physics.faults.size(); ++f) {
    const PhysicsFault& fault = base.physics.faults[f];
    const double size_db = 20.0 * std::log10(fault.spread);
    FeltTable table;
    table.fault = f;
    table.first = out.weight.size();
    for (const FeltLine& line : lines_at(base, fault, part, turns)) {
      const FeltWay way = levels.of(fault, line);
      table.about.push_back(about_way(way, line));
      const Sayings said = say(base.physics.people, way, size_db, asked);
      out.weight.insert(out.weight.end(), said.weight.begin(), said.weight.end());
      table.complaints += std::accumulate(said.weight.begin(), said.weight.end(), 0.0);
      for (std::size_t v = 0; v < out.variables.size(); ++v) {
        const AnswerRows rows = rows_of(base, out.variables[v], said);
        for (std::size_t a = 0; a < rows.size(); ++a)
          out.said[v][a].insert(out.said[v][a].end(), rows[a].begin(), rows[a].end());
      }
    }
    if (!table.about.empty()) out.faults.push_back(std::move(table));
  }
  return out;
}

}  // namespace perrev
