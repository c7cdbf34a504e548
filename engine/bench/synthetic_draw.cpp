#include "engine/bench/synthetic_draw.h"

#include <algorithm>

#include "engine/providers/felt_tables.h"

namespace perrev {

namespace {

// The k-th named speed, as often as `share(k)` says.
template <class Share>
int drawn_named(Random& random, const Share& share) {
  std::vector<double> shares;
  for (int k = 0; k < kNamedSpeeds; ++k) shares.push_back(share(k));
  return static_cast<int>(random.weighted(shares));
}

double drawn_reading(Random& random, double line_hz, double nominal_hz) {
  const double other = kLowestReading * std::pow(kHighestReading / kLowestReading, random.real());
  const bool caught_other = drawn(random, kCaughtOther);
  const double noise = random.normal();
  return caught_other || !can_be_read(nominal_hz) ? other : line_hz * (1.0 + kReadingNoise * noise);
}

}  // namespace

SyntheticVehicle Simulator::draw_vehicle(Random& random, const PhysicsFault& fault) const {
  const auto answer = [&](std::size_t which) {
    const Fact& of = base_->facts[static_cast<std::size_t>(of_vehicle_[which])];
    return static_cast<int>(
        random.weighted(base_->variables[static_cast<std::size_t>(of.first_variable)].base));
  };
  const auto named = [&](std::size_t which, const char* id) {
    return answer_index(base_->facts[static_cast<std::size_t>(of_vehicle_[which])], id);
  };
  SyntheticVehicle out;
  SyntheticHeard known;
  const std::size_t at =
      static_cast<std::size_t>(base_->physics.fault_of[static_cast<std::size_t>(fault.cause)]);
  do {
    const int kind = answer(0);
    out.kind = known.kind = static_cast<int>(
        std::find(kind_answers_.begin(), kind_answers_.end(), kind) - kind_answers_.begin());
    out.powertrain = known.powertrain = answer(1);
    out.driven_axle = known.driven_axle = answer(2);
  } while (of_vehicle(known, at) <= 0.0);
  out.size = static_cast<int>(random.below(kSyntheticSizes));
  out.ratio = static_cast<int>(random.below(kSyntheticRatios));
  const int single = named(3, "single_speed");
  if (out.powertrain == named(1, "electric")) {
    out.gearbox = single;
    return out;
  }
  do {
    out.gearbox = answer(3);
  } while (out.gearbox == single);
  out.cylinders = answer(4);
  return out;
}

double Simulator::with_driven(const PhysicsFault& fault, const Way& way, int driven_axle) const {
  if (way.source != "tire") return 1.0;
  const Fact& of = base_->facts[static_cast<std::size_t>(of_vehicle_[2])];
  const double front =
      front_share(fault, driven_axle_named(of.answers[static_cast<std::size_t>(driven_axle)].id));
  return way.front ? front / fault.front : (1.0 - front) / (1.0 - fault.front);
}

void Simulator::hear(Random& random, SyntheticComplaint& out, const Way& way) const {
  const SyntheticHabits& habits = kSyntheticHabits;
  SyntheticTruth& truth = out.truth;
  SyntheticHeard& heard = out.heard;
  const SyntheticVehicle& vehicle = truth.vehicle;
  const auto known = [&](double share, int value) { return drawn(random, share) ? value : -1; };
  heard.kind = vehicle.kind;
  heard.powertrain = vehicle.powertrain;
  heard.size = known(habits.size_known, vehicle.size);
  heard.ratio = known(habits.ratio_known, vehicle.ratio);
  heard.driven_axle = known(habits.axle_known, vehicle.driven_axle);
  heard.satellite = drawn(random, habits.by_satellite);

  const SaidOfWay& said = way.said[heard.satellite ? 1 : 0];
  const AskedSpeeds& speeds = asked(heard.satellite);
  const double db = truth.number_db, ever = said.ever(db);
  const int worst = static_cast<int>(random.weighted(said.worst()));
  const int begins =
      drawn_named(random, [&](int k) { return begins_share(said, speeds, k, db, ever); });
  const int ends =
      drawn_named(random, [&](int k) { return ends_share(said, speeds, k, db, ever); });
  heard.worst = known(habits.worst * (1.0 - habits.unsure), worst);
  heard.begins = known(habits.begins * (1.0 - habits.unsure), begins);
  heard.ends = known(habits.ends * (1.0 - habits.unsure_end), ends);
  const std::array<double, kStrengths> strength = said.strength(db);
  heard.strength = known(habits.strong * (1.0 - habits.unsure),
                         static_cast<int>(random.weighted({strength.begin(), strength.end()})));
  std::array<bool, kTicks> places{};
  for (std::size_t t = 0; t < kTicks; ++t) places[t] = drawn(random, said.ticked(t, db));
  if (drawn(random, habits.places)) heard.places = places;
  const int pace = static_cast<int>(random.weighted(pace_shares(way.source, way.order)));
  if (!heard.places || !places[kHeardOnly])
    heard.pace = known(habits.pace * (1.0 - habits.unsure), pace);

  const PhysicsFault& fault = base_->physics.faults[static_cast<std::size_t>(
      base_->physics.fault_of[static_cast<std::size_t>(truth.cause)])];
  const std::size_t behaviour = static_cast<std::size_t>(behaviour_of(fault, way.source));
  for (const SyntheticFind& find : synthetic_finds()) {
    const int found = static_cast<int>(random.weighted(find.shares[behaviour]));
    const bool asked = drawn(random, find.asked * (1.0 - habits.unsure)) &&
                       !(find.needs_engine && vehicle.cylinders < 0) &&
                       !(find.needs_gears && vehicle.cylinders < 0);
    heard.finds.push_back(asked ? found : -1);
  }
  if (heard.worst < 0) return;
  truth.worst_speed = true_speed(heard.worst, heard.satellite);
  const double hz = truth.order * truth.turns_per_metre * truth.worst_speed;
  const double reading =
      drawn_reading(random, hz, way.order * way.turns_per_metre * truth.worst_speed);
  if (drawn(random, habits.measured)) heard.hz = std::round(100.0 * reading) / 100.0;
}

SyntheticComplaint Simulator::draw(std::uint64_t seed, std::uint64_t number, int cause) const {
  Random random = Random::stream(seed, number);
  SyntheticComplaint out;
  std::size_t fault = random.weighted(usual_);
  if (cause >= 0)
    fault = static_cast<std::size_t>(base_->physics.fault_of[static_cast<std::size_t>(cause)]);
  const PhysicsFault& of = base_->physics.faults[fault];
  out.truth.cause = of.cause;
  out.truth.vehicle = draw_vehicle(random, of);
  const std::vector<Way>& all = ways(out.truth.vehicle, fault).ways;
  std::vector<double> shares;
  for (const Way& way : all) {
    shares.push_back(0.0);
    for (const double w : way.weight) shares.back() += w;
  }
  const Way& way = all[random.weighted(shares)];
  if (of.driven) {
    const Fact& axle = base_->facts[static_cast<std::size_t>(of_vehicle_[2])];
    std::vector<double> driven =
        base_->variables[static_cast<std::size_t>(axle.first_variable)].base;
    for (std::size_t a = 0; a < driven.size(); ++a)
      driven[a] *= with_driven(of, way, static_cast<int>(a));
    out.truth.vehicle.driven_axle = static_cast<int>(random.weighted(driven));
  }
  const std::size_t n = random.weighted(way.weight);
  out.truth.number_db = decibels(fault, synthetic_level(n) + kLevelStep * (random.real() - 0.5));
  out.truth.source = way.source;
  out.truth.order = way.order;
  out.truth.front = way.front;
  out.truth.roughness = way.road == 0 ? 0.5 : way.road == 1 ? 1.0 : 2.0;
  out.truth.circumference = 1.0 / (1.0 + kCircumferenceSd * random.normal());
  out.truth.turns_per_metre = way.turns_per_metre / out.truth.circumference;
  hear(random, out, way);
  enter(random, out);
  return out;
}

}  // namespace perrev
