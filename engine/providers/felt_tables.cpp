#include "engine/providers/felt_tables.h"

#include <algorithm>
#include <cmath>

#include "engine/knowledge/computed.h"

namespace perrev {

namespace {

constexpr double kSpeedometerSd = 0.02;  // of a speed as read, where it is not known by what
constexpr double kHeardAt = 18.0;        // m/s that PhysicsFault::heard_db holds for

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

FeltWayAbout about_way(const FeltWay& way, const std::string& part) {
  FeltWayAbout out{part, 0.0, FeltPlace::seat, false};
  double most = 2.0 * kNotThere;
  for (std::size_t i = 0; i < way.felt.size(); ++i) {
    for (std::size_t p = 0; p < kFeltPlaces; ++p)
      if (way.felt[i][p] > most) {
        most = way.felt[i][p];
        out = {part, said_speeds()[i], static_cast<FeltPlace>(p), false};
      }
    if (way.heard[i] > most) {
      most = way.heard[i];
      out = {part, said_speeds()[i], FeltPlace::seat, true};
    }
  }
  return out;
}

}  // namespace

std::vector<FeltLine> felt_lines(const RuleBase& base, const PhysicsFault& fault,
                                 const FeltVehicle& vehicle) {
  std::vector<FeltLine> out;
  const double front =
      fault.changed && vehicle.front_changed >= 0.0 ? vehicle.front_changed : fault.front;
  for (const Shake& shake : base.causes[static_cast<std::size_t>(fault.cause)].shakes) {
    if (shake.kind != Shake::Kind::number) return {};
    const std::vector<double> orders = orders_of(shake);
    for (const double order : orders) {
      const double share = shake.share / static_cast<double>(orders.size());
      const std::string about = shake.source + " order " + show_number(order);
      const auto add = [&](double part, const Estimate& turns, bool at_front, const char* where) {
        if (part > 0.0)
          out.push_back({share * part, order, turns, at_front, shake.source, about + where});
      };
      if (shake.source == "tire") {
        add(front, vehicle.front_wheels, true, ", front");
        add(1.0 - front, vehicle.rear_wheels, false, ", rear");
      } else if (shake.source == "driveshaft") {
        add(1.0, vehicle.driveshaft, false, "");
      } else if (shake.source == "front_driveshaft") {
        add(1.0, vehicle.front_driveshaft, true, "");
      } else if (shake.source == "motor_rotor") {
        add(1.0, vehicle.motor_rotor, true, "");
      } else {
        return {};
      }
    }
  }
  return out;
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

FeltTables felt_tables(const RuleBase& base, const FeltVehicle& vehicle) {
  FeltTables out;
  for (std::size_t v = 0; v < base.variables.size(); ++v) {
    const std::string& id = base.facts[static_cast<std::size_t>(base.variables[v].fact)].id;
    if (std::find(kPhysicsFacts.begin(), kPhysicsFacts.end(), id) != kPhysicsFacts.end())
      out.variables.push_back(static_cast<int>(v));
  }
  for (const int variable : out.variables)
    out.said.emplace_back(base.variables[static_cast<std::size_t>(variable)].base.size());
  FeltWays levels(base.physics, vehicle.body);
  const AskedSpeeds asked{bands_of(base, "worst_speed"), bands_of(base, "begins_speed"),
                          bands_of(base, "ends_speed")};
  for (const PhysicsFault& fault : base.physics.faults) {
    FeltTable table;
    table.cause = fault.cause;
    table.first = out.weight.size();
    std::vector<FeltWay> ways;
    for (const FeltLine& line : felt_lines(base, fault, vehicle)) {
      ways.push_back(levels.of(fault, line));
      table.about.push_back(about_way(ways.back(), line.about));
    }
    for (const Sayings& said :
         say(base.physics.people, ways, 20.0 * std::log10(fault.spread), asked)) {
      out.weight.insert(out.weight.end(), said.weight.begin(), said.weight.end());
      for (std::size_t v = 0; v < out.variables.size(); ++v) {
        const AnswerRows rows = rows_of(base, out.variables[v], said);
        for (std::size_t a = 0; a < rows.size(); ++a)
          out.said[v][a].insert(out.said[v][a].end(), rows[a].begin(), rows[a].end());
      }
    }
    out.faults.push_back(std::move(table));
  }
  return out;
}

}  // namespace perrev
