#include "engine/bench/synthetic_complaint.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/bench/synthetic_draw.h"
#include "engine/providers/felt_tables.h"
#include "engine/vehicle/tire.h"

namespace perrev {

namespace {

constexpr double kMph = 0.44704;  // m/s
constexpr double kStep = 5.0 * kMph;
constexpr double kHighOrders = 5.0;
// Roughness of roads, over that of physics.yaml, and how often each is driven.
constexpr std::array<double, 3> kRoads = {0.5, 1.0, 2.0}, kRoadShares = {0.25, 0.5, 0.25};
constexpr std::array<const char*, 5> kOfVehicle = {"vehicle_kind", "powertrain", "driven_axle",
                                                   "gearbox", "cylinders"};
constexpr std::size_t kDrawnFreely = 3;  // the first of them have nothing to do with each other

double share_below(const Fact& fact, double value) {
  for (std::size_t i = 1; i < fact.cumulative.size(); ++i) {
    const auto& [high, until] = fact.cumulative[i];
    if (value > high) continue;
    const auto& [low, from] = fact.cumulative[i - 1];
    return from + (until - from) * std::max(0.0, value - low) / (high - low);
  }
  return 1.0;
}

SpeedBands named_bands(const RuleBase& base, std::string_view fact, double reads_high) {
  const int index = base.fact_index(fact);
  if (index < 0) return {};
  const Fact& of = base.facts[static_cast<std::size_t>(index)];
  SpeedBands out{{0.0}, {}};
  for (int k = 1; k <= kNamedSpeeds; ++k) {
    out.edges.push_back((kStep * k + 0.5 * kStep) / reads_high);
    const double until = k == kNamedSpeeds ? 1.0 : share_below(of, out.edges.back());
    out.base.push_back(until - share_below(of, out.edges[out.edges.size() - 2]));
  }
  return out;
}

AskedSpeeds named_speeds(const RuleBase& base, double reads_high) {
  return {named_bands(base, "worst_speed", reads_high),
          named_bands(base, "begins_speed", reads_high),
          named_bands(base, "ends_speed", reads_high)};
}

}  // namespace

double named_speed(int which) { return kStep * (which + 1); }

std::string line_name(const std::string& source, double order) {
  return source + " order " +
         (order < kHighOrders ? show_number(order) : show_number(kHighOrders) + " and higher");
}

Simulator::Simulator(const RuleBase& base) : base_(&base) {
  for (const double road : kRoads) {
    books_.push_back(base.physics);
    books_.back().road.roughness *= road;
  }
  asked_ = {named_speeds(base, kDashHigh), named_speeds(base, 1.0)};
  for (std::size_t i = 0; i < kOfVehicle.size(); ++i)
    of_vehicle_[i] = base.fact_index(kOfVehicle[i]);
  const bool drawable = can_draw();
  if (drawable)
    for (const SyntheticKind& kind : synthetic_kinds())
      kind_answers_.push_back(
          answer_index(base.facts[static_cast<std::size_t>(of_vehicle_[0])], kind.id));
  for (const PhysicsFault& fault : base.physics.faults) {
    const Cause& cause = base.causes[static_cast<std::size_t>(fault.cause)];
    bool possible = drawable && !cause.shakes.empty(), on_shaft = false;
    for (const Shake& shake : cause.shakes) {
      const bool shaft = shake.source == "driveshaft" || shake.source == "front_driveshaft";
      on_shaft = on_shaft || shaft;
      possible = possible && shake.kind == Shake::Kind::number &&
                 (shaft || shake.source == "tire" || shake.source == "motor_rotor");
    }
    for (const auto& [variable, allowed] : cause.needs) {
      const int fact = base.variables[static_cast<std::size_t>(variable)].fact;
      possible = possible && fact != of_vehicle_[3] && fact != of_vehicle_[4];
    }
    usual_.push_back(possible ? cause.usual : 0.0);
    on_shaft_.push_back(on_shaft);
  }
  for (std::size_t i = 0; i < synthetic_kinds().size() * kSyntheticSizes * kSyntheticRatios; ++i)
    tables_.push_back(std::make_unique<Table>());
}

bool Simulator::can_draw() const {
  if (base_->physics.empty() || base_->physics.faults.empty()) return false;
  for (const SpeedBands& bands : {asked_[0].worst, asked_[0].begins, asked_[0].ends})
    if (bands.base.empty()) return false;
  for (const int fact : of_vehicle_)
    if (fact < 0 || base_->facts[static_cast<std::size_t>(fact)].kind != FactKind::one)
      return false;
  const Fact& kind = base_->facts[static_cast<std::size_t>(of_vehicle_[0])];
  for (const SyntheticKind& each : synthetic_kinds())
    if (answer_index(kind, each.id) < 0) return false;
  return kind.answers.size() == synthetic_kinds().size();
}

bool Simulator::can_draw(int cause) const {
  const int fault = base_->physics.fault_of[static_cast<std::size_t>(cause)];
  return fault >= 0 && usual_[static_cast<std::size_t>(fault)] > 0.0;
}

const AskedSpeeds& Simulator::asked(bool satellite) const { return asked_[satellite ? 1 : 0]; }

const PhysicsBook& Simulator::book(double roughness) const {
  return books_[roughness < 0.75 ? 0 : roughness < 1.5 ? 1 : 2];
}

std::vector<Simulator::Way> Simulator::lines(const SyntheticVehicle& vehicle,
                                             const PhysicsFault& fault) const {
  const SyntheticKind& kind = synthetic_kinds()[static_cast<std::size_t>(vehicle.kind)];
  const auto tire = parse_tire(kind.sizes[static_cast<std::size_t>(vehicle.size)]);
  const double wheel = 1.0 / tire->rolling_circumference;
  const double shaft = wheel * kind.axle_ratios[static_cast<std::size_t>(vehicle.ratio)];
  std::vector<Way> out;
  const auto add = [&](const Shake& shake, double order, double turns, bool front, double share) {
    if (share <= 0.0) return;
    Way way;
    way.source = shake.source;
    way.line = line_name(shake.source, order);
    way.order = order;
    way.front = front;
    way.turns_per_metre = turns;
    way.weight = {share};
    out.push_back(std::move(way));
  };
  for (const Shake& shake : base_->causes[static_cast<std::size_t>(fault.cause)].shakes) {
    const int orders = 1 + static_cast<int>(std::floor(shake.high_order - shake.low_order + 1e-9));
    for (int i = 0; i < orders; ++i) {
      const double order = shake.low_order + i, share = shake.share / orders;
      if (shake.source == "tire") {
        add(shake, order, wheel, true, share * fault.front);
        add(shake, order, wheel, false, share * (1.0 - fault.front));
      } else {
        add(shake, order, shake.source == "motor_rotor" ? wheel * kind.reduction : shaft, true,
            share);
      }
    }
  }
  return out;
}

double Simulator::decibels(std::size_t fault, double z) const {
  const double size_db = 20.0 * std::log10(base_->physics.faults[fault].spread);
  return number_sd(base_->physics.people, size_db) * z;
}

double Simulator::level(std::size_t fault, std::size_t n) const {
  return decibels(fault, synthetic_level(n));
}

void Simulator::make(Table& table, const SyntheticVehicle& vehicle) const {
  const SyntheticKind& kind = synthetic_kinds()[static_cast<std::size_t>(vehicle.kind)];
  const int body = body_index(base_->physics, kind.id);
  std::vector<FeltWays> levels;  // by road
  for (const PhysicsBook& book : books_) levels.emplace_back(book, body);
  table.faults.resize(base_->physics.faults.size());
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    if (usual_[f] <= 0.0 || (vehicle.ratio > 0 && !on_shaft_[f])) continue;
    const PhysicsFault& fault = base_->physics.faults[f];
    double total = 0.0;
    for (std::size_t road = 0; road < kRoads.size(); ++road) {
      for (Way& way : lines(vehicle, fault)) {
        const double share = way.weight.front() * kRoadShares[road];
        const FeltLine line{share,     way.order,  {way.turns_per_metre, 0.0},
                            way.front, way.source, way.line};
        FeltWay felt = levels[road].of(fault, line);
        felt.speed_sd = kCircumferenceSd;
        for (const AskedSpeeds& asked : asked_)
          way.said.emplace_back(base_->physics.people, felt, asked.worst);
        way.road = static_cast<int>(road);
        way.weight.clear();
        for (std::size_t n = 0; n < kSyntheticLevels; ++n) {
          way.weight.push_back(share * synthetic_density(n) *
                               way.said.front().complains(level(f, n)));
          total += way.weight.back();
        }
        table.faults[f].ways.push_back(std::move(way));
      }
    }
    for (Way& way : table.faults[f].ways)
      for (double& w : way.weight) w /= total;
  }
}

const Simulator::Ways& Simulator::ways(const SyntheticVehicle& vehicle, std::size_t fault) const {
  SyntheticVehicle of = vehicle;
  if (!on_shaft_[fault]) of.ratio = 0;
  Table& table = *tables_[static_cast<std::size_t>(
      (of.kind * kSyntheticSizes + of.size) * kSyntheticRatios + of.ratio)];
  std::call_once(table.made, [&] { make(table, of); });
  return table.faults[fault];
}

double Simulator::of_vehicle(const SyntheticHeard& heard, std::size_t fault) const {
  double out = 1.0;
  const std::array<int, kDrawnFreely> known = {kind_answers_[static_cast<std::size_t>(heard.kind)],
                                               heard.powertrain, heard.driven_axle};
  const PhysicsFault& of = base_->physics.faults[fault];
  for (const auto& [variable, allowed] : base_->causes[static_cast<std::size_t>(of.cause)].needs) {
    const Variable& needed = base_->variables[static_cast<std::size_t>(variable)];
    for (std::size_t i = 0; i < kDrawnFreely; ++i) {
      if (needed.fact != of_vehicle_[i] || known[i] < 0) continue;
      double possible = 0.0;
      for (std::size_t a = 0; a < needed.base.size(); ++a)
        if ((allowed >> a) & 1u) possible += needed.base[a];
      out *= ((allowed >> known[i]) & 1u) ? 1.0 / possible : 0.0;
    }
  }
  return out;
}

}  // namespace perrev
