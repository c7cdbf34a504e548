// A made-up complaint as the entries of a case.
#include <cmath>
#include <nlohmann/json.hpp>

#include "engine/bench/synthetic_draw.h"
#include "engine/json_text.h"
#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

// "2026-05-04T09:00:00Z" and a minute more for each entry.
std::string moment_of(std::size_t entry) {
  const std::size_t hour = 9 + entry / 60, minute = entry % 60;
  const auto two = [](std::size_t n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  return "2026-05-04T" + two(hour) + ":" + two(minute) + ":00Z";
}

class Writing {
 public:
  Writing(const RuleBase& base, std::vector<Entry>& entries) : base_(base), entries_(entries) {}

  // Facts that the rule base does not have, and answers that a fact does not have, are left out.
  void add(Asker by, std::string_view fact, std::vector<std::string> values, bool list = false,
           std::map<std::string, std::string> with = {}) {
    const int index = base_.fact_index(fact);
    if (index < 0) return;
    const Fact& of = base_.facts[static_cast<std::size_t>(index)];
    if (of.kind != FactKind::number && of.kind != FactKind::text)
      for (const std::string& value : values)
        if (answer_index(of, value) < 0) return;
    Entry& entry = next(by, fact);
    entry.values = std::move(values);
    entry.is_list = list;
    entry.with = std::move(with);
  }
  void unsure(Asker by, std::string_view fact) {
    if (base_.fact_index(fact) >= 0) next(by, fact).unsure = true;
  }
  void answer(Asker by, int fact, int answer) {
    const Fact& of = base_.facts[static_cast<std::size_t>(fact)];
    add(by, of.id, {of.answers[static_cast<std::size_t>(answer)].id});
  }

 private:
  Entry& next(Asker by, std::string_view fact) {
    Entry entry;
    entry.id = std::to_string(entries_.size() + 1);
    entry.at = moment_of(entries_.size());
    entry.by = by;
    entry.fact = fact;
    entries_.push_back(std::move(entry));
    return entries_.back();
  }

  const RuleBase& base_;
  std::vector<Entry>& entries_;
};

double six_digits(double value) { return *parse_decimal(show_number(value)); }

std::string tick_name(std::size_t tick) {
  if (tick == kWholeCar) return "whole_car";
  if (tick == kHeardOnly) return "heard_only";
  return std::string(name_of(static_cast<FeltPlace>(tick)));
}

std::string mph_text(int named) { return std::to_string(5 * (named + 1)) + " mph"; }

constexpr double kAboutRound = 2.1;  // m, of a wheel: what the engine does hangs on no fault here
constexpr double kIdle = 700.0;      // rpm

constexpr std::array<const char*, kStrengths> kStrong = {"slight", "clear", "strong", "alarming"};

}  // namespace

void Simulator::enter(Random& random, SyntheticComplaint& out) const {
  const SyntheticHabits& habits = kSyntheticHabits;
  const SyntheticVehicle& vehicle = out.truth.vehicle;
  const SyntheticHeard& heard = out.heard;
  const SyntheticKind& kind = synthetic_kinds()[static_cast<std::size_t>(vehicle.kind)];
  Writing write(*base_, out.entries);
  const auto ask = Asker::write_up;
  write.answer(ask, of_vehicle_[0], kind_answers_[static_cast<std::size_t>(heard.kind)]);
  write.answer(ask, of_vehicle_[1], heard.powertrain);
  if (heard.driven_axle >= 0) write.answer(ask, of_vehicle_[2], heard.driven_axle);
  if (drawn(random, habits.gearbox_known)) write.answer(ask, of_vehicle_[3], vehicle.gearbox);
  const bool engine = vehicle.cylinders >= 0;
  if (drawn(random, habits.cylinders_known) && engine)
    write.answer(ask, of_vehicle_[4], vehicle.cylinders);
  if (heard.size >= 0)
    write.add(ask, "tire_size", {std::string(kind.sizes[static_cast<std::size_t>(heard.size)])});
  if (heard.ratio >= 0)
    write.add(Asker::bay, "axle_ratio",
              {show_number(kind.axle_ratios[static_cast<std::size_t>(heard.ratio)])});
  if (drawn(random, habits.reduction_known) &&
      base_->facts[static_cast<std::size_t>(of_vehicle_[1])]
              .answers[static_cast<std::size_t>(vehicle.powertrain)]
              .id != "engine")
    write.add(Asker::bay, "reduction_ratio", {show_number(kind.reduction)});

  std::map<std::string, std::string> by;
  if (heard.satellite)
    by["by"] = "gps";
  else if (drawn(random, habits.says_dash))
    by["by"] = "speedometer";
  const auto speed = [&](const char* fact, int named, double unsure) {
    const bool cannot_tell = drawn(random, unsure);
    if (named >= 0)
      write.add(ask, fact, {mph_text(named)}, false, by);
    else if (cannot_tell)
      write.unsure(ask, fact);
  };
  if (heard.places) {
    std::vector<std::string> ticked;
    for (std::size_t t = 0; t < kTicks; ++t)
      if ((*heard.places)[t]) ticked.push_back(tick_name(t));
    write.add(ask, "felt_at", std::move(ticked), true);
  }
  if (heard.pace >= 0)
    write.add(ask, "how_fast",
              {std::string(synthetic_paces()[static_cast<std::size_t>(heard.pace)])});
  if (heard.strength >= 0)
    write.add(ask, "how_strong", {kStrong[static_cast<std::size_t>(heard.strength)]});
  speed("worst_speed", heard.worst, 0.5);
  speed("begins_speed", heard.begins, 0.3);
  speed("ends_speed", heard.ends, 0.3);
  for (std::size_t i = 0; i < heard.finds.size(); ++i) {
    const SyntheticFind& find = synthetic_finds()[i];
    const bool cannot_tell =
        drawn(random, find.asked * habits.unsure) && (engine || !find.needs_engine);
    if (heard.finds[i] >= 0)
      write.add(find.by, find.fact,
                {std::string(find.answers[static_cast<std::size_t>(heard.finds[i])])});
    else if (cannot_tell && (engine || !find.needs_gears))
      write.unsure(find.by, find.fact);
  }
  if (heard.worst < 0) return;
  const double gear = 0.6 + 0.5 * random.real();
  if (drawn(random, habits.rpm) && engine) {
    const double shaft = kind.axle_ratios[static_cast<std::size_t>(vehicle.ratio)] / kAboutRound;
    const double rpm = 50.0 * std::round(60.0 * out.truth.worst_speed * shaft * gear / 50.0);
    if (rpm >= kIdle) write.add(Asker::road, "rpm_at_worst", {show_number(rpm) + " rpm"});
  }
  if (heard.hz <= 0.0) return;
  by["speed"] = mph_text(heard.worst);
  write.add(Asker::road, "measured_frequency", {show_number(heard.hz) + " Hz"}, false, by);
}

std::string Simulator::case_text(const SyntheticComplaint& complaint, std::uint64_t seed,
                                 std::uint64_t number) const {
  CaseFile file;
  file.set_label("Simulated, seed " + std::to_string(seed) + ", number " + std::to_string(number));
  for (const Entry& entry : complaint.entries) file.add(entry);
  const SyntheticTruth& truth = complaint.truth;
  const SyntheticKind& kind = synthetic_kinds()[static_cast<std::size_t>(truth.vehicle.kind)];
  Json out = Json::parse(file.text());
  out["reference"] = {
      {"true", Json::array({base_->causes[static_cast<std::size_t>(truth.cause)].id})},
      {"rank", 3},
      {"about", "Simulated: the answers follow from the physics of this cause."}};
  Json& told = out["simulated"];
  told = {{"seed", seed},
          {"number", number},
          {"source", truth.source},
          {"order", truth.order},
          {"axle", truth.source != "tire" ? Json() : Json(truth.front ? "front" : "rear")},
          {"tire_size", kind.sizes[static_cast<std::size_t>(truth.vehicle.size)]},
          {"axle_ratio", kind.axle_ratios[static_cast<std::size_t>(truth.vehicle.ratio)]},
          {"turns_per_m", six_digits(truth.turns_per_metre)},
          {"circumference_over_nominal", six_digits(truth.circumference)},
          {"roughness_over_usual", six_digits(truth.roughness)},
          {"size_and_person_db", six_digits(truth.number_db)}};
  if (truth.worst_speed > 0.0) {
    told["worst_speed_m_s"] = six_digits(truth.worst_speed);
    told["frequency_hz"] = six_digits(truth.order * truth.turns_per_metre * truth.worst_speed);
  }
  return indented_json(out) + "\n";
}

}  // namespace perrev
