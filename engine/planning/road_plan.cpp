#include "engine/planning/road_plan.h"

#include <algorithm>
#include <string>
#include <utility>

#include "engine/casefile/vehicle_of.h"
#include "engine/planning/road_otherwise.h"

namespace perrev {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

bool holds(const std::vector<int>& all, int one) {
  return std::find(all.begin(), all.end(), one) != all.end();
}

std::vector<RoadSuspect> suspects_of(const RuleBase& base, const CaseFacts& facts,
                                     const Ranking& ranking) {
  std::vector<RoadSuspect> all;
  double listed = ranking.nothing_left;
  if (ranking.nothing_left > 0.0) all.push_back({base.nothing_left(), ranking.nothing_left});
  for (const Ranked& ranked : ranking.causes) {
    if (holds(facts.verdicts, ranked.cause)) continue;
    listed += ranked.probability;
    all.push_back({ranked.cause, ranked.probability});
  }
  const auto id = [&](const RoadSuspect& suspect) {
    return suspect.cause == base.nothing_left() ? std::string("nothing_left")
                                                : base.causes[at(suspect.cause)].id;
  };
  std::sort(all.begin(), all.end(), [&](const RoadSuspect& a, const RoadSuspect& b) {
    return a.probability != b.probability ? a.probability > b.probability : id(a) < id(b);
  });
  std::vector<RoadSuspect> out;
  double covered = 0.0;
  for (const RoadSuspect& suspect : all) {
    if (out.size() == kMostSuspects || suspect.probability < kLeastSuspect ||
        covered >= kCovered * listed)
      break;
    covered += suspect.probability;
    out.push_back(suspect);
  }
  return out;
}

class Planner {
 public:
  Planner(const Reasoner& reasoner, const CaseFacts& facts, const Offers& offers, Units units)
      : reasoner_(reasoner),
        base_(reasoner.base()),
        facts_(facts),
        offers_(offers),
        units_(units) {}

  RoadPlan plan(const Ranking& ranking) {
    begin(ranking);
    if (!out_.stops.empty()) return std::move(out_);
    bay_.emplace(reasoner_, facts_, offers_, causes_);
    record_ = plan_recording(base_, facts_, causes_, out_.speeds);
    for (const RecordingSetting& setting : record_.settings)
      readings_.push_back(expected_readings(record_, setting, causes_.size()));
    std::vector<RoadOption> options, longer;
    for (const int check : offers_.checks) {
      const Check& of = base_.checks[at(check)];
      if (!is_on_the_road(check)) continue;
      const bool long_drive = of.moves != Moves::no && of.minutes > kLongestManoeuvre;
      (long_drive ? longer : options).push_back(option(check));
    }
    std::vector<char> told(pairs(), 0);
    take(options, told, out_.manoeuvres);
    take(longer, told, out_.longer);
    read_engine_speed(options);
    finish_recording();
    leave_open(told);
    look_first();
    add_up();
    return std::move(out_);
  }

 private:
  std::size_t pairs() const { return pair_count(causes_.size()); }

  template <class F>
  void for_pairs(F each) const {
    for (std::size_t i = 0; i < causes_.size(); ++i)
      for (std::size_t j = i + 1; j < causes_.size(); ++j)
        each(i, j, pair_index(i, j, causes_.size()));
  }

  void begin(const Ranking& ranking) {
    for (const StopState& stop : facts_.stops)
      if (!stop.lifted) out_.stops.push_back(stop.fact);
    for (const GateState& gate : offers_.gates)
      if (!gate.passed && base_.gates[at(gate.gate)].guards_driving)
        out_.gates.push_back({gate.gate, gate.missing});
    out_.shown = facts_.verdicts;
    out_.suspects = suspects_of(base_, facts_, ranking);
    out_.not_listed = ranking.not_listed;
    out_.speeds = road_speeds(base_, facts_, units_);
    for (const RoadSuspect& suspect : out_.suspects) causes_.push_back(suspect.cause);
    weights_.assign(pairs(), 0.0);
    for_pairs([&](std::size_t i, std::size_t j, std::size_t p) {
      weights_[p] = out_.suspects[i].probability * out_.suspects[j].probability;
    });
    out_.conflicts = rotations(vehicle(), motion()).conflicts;
    const auto engine = recording_settings(vehicle(), motion(), {}, felt_only());
    engine_ = engine.front().engine;
  }

  std::size_t now() const { return facts_.rounds.size() - 1; }
  VehicleFacts vehicle() const { return vehicle_of(base_, facts_, now()); }
  Motion motion() const { return motion_of(base_, facts_, now()); }
  RoadSpeeds felt_only() const {
    RoadSpeeds speeds = out_.speeds;
    speeds.recording = {speeds.felt};
    return speeds;
  }

  bool learns(int check, const char* id) const {
    const int fact = base_.fact_index(id);
    return fact >= 0 && holds(base_.checks[at(check)].learns, fact);
  }

  RoadOption option(int check) const {
    const Check& of = base_.checks[at(check)];
    RoadOption out{check, of.minutes, of.setup, need_of(check) != RoadNeed::none,
                   apart_by_answers(reasoner_, facts_, check, causes_)};
    if (road_style(base_, check).kind != RoadKind::record) return out;
    out.minutes *= static_cast<double>(readings_.size());
    for (const auto& rows : readings_)
      for_pairs([&](std::size_t i, std::size_t j, std::size_t p) {
        out.apart[p] = std::max(out.apart[p], total_variation(rows[i], rows[j]));
      });
    return out;
  }

  RoadNeed need_of(int check) const {
    const Check& of = base_.checks[at(check)];
    if (of.moves == Moves::no)
      for (const RoadGate& gate : out_.gates)
        for (const int fact : gate.missing)
          if (holds(of.learns, fact)) return RoadNeed::gate;
    if (of.moves == Moves::no || of.minutes > kLongestManoeuvre) return RoadNeed::none;
    const auto open = [&](const char* id) {
      return learns(check, id) && !facts_.now().asked(base_.fact_index(id));
    };
    if (open("complaint_now") && now() > 0) return RoadNeed::proof;
    if (open("duplicated") && !out_.speeds.standing) return RoadNeed::complaint;
    if (!out_.speeds.told && pairs() > 0 && learns(check, "worst_speed")) return RoadNeed::speed;
    return RoadNeed::none;
  }

  // Chooses among the options and marks what they tell apart.
  void take(const std::vector<RoadOption>& options, std::vector<char>& told,
            std::vector<RoadManoeuvre>& out) const {
    std::vector<double> setup_minutes;
    for (std::size_t s = 0; s < base_.setups.size(); ++s)
      setup_minutes.push_back(base_.setup_minutes(static_cast<int>(s)));
    for (const std::size_t o : choose_manoeuvres(options, weights_, told, setup_minutes))
      out.push_back(manoeuvre(options[o]));
    sort(out);
    for (const RoadManoeuvre& driven : out)
      for (const RoadPair& pair : driven.separates)
        told[pair_index(pair.first, pair.second, causes_.size())] = 1;
  }

  void sort(std::vector<RoadManoeuvre>& all) const {
    std::sort(all.begin(), all.end(), [&](const RoadManoeuvre& a, const RoadManoeuvre& b) {
      const int x = road_style(base_, a.check).stage, y = road_style(base_, b.check).stage;
      return x != y ? x < y : a.check < b.check;
    });
  }

  RoadManoeuvre manoeuvre(const RoadOption& of) const {
    RoadManoeuvre out;
    out.check = of.check;
    out.kind = road_style(base_, of.check).kind;
    out.need = need_of(of.check);
    out.minutes = of.minutes;
    for_pairs([&](std::size_t i, std::size_t j, std::size_t p) {
      if (of.apart[p] >= kTellsApart) out.separates.push_back({i, j, of.apart[p]});
    });
    out.watch = road_watches(base_, answers_to_learn(reasoner_, facts_, of.check, causes_));
    set_speeds(out);
    return out;
  }

  void set_speeds(RoadManoeuvre& of) const {
    const RoadSpeeds& speeds = out_.speeds;
    const bool known = speeds.told && !speeds.standing;
    if (of.kind == RoadKind::sweep) {
      of.from = speeds.sweep_from;
      of.to = speeds.sweep_to;
    } else if (of.kind == RoadKind::coast && known) {
      of.from = speeds.coast_from;
      of.to = speeds.coast_to;
      if (engine_ && geared(vehicle()))
        of.engine_low = of.engine_high = engine_->mean * speeds.coast_to / speeds.felt;
    } else if (of.kind == RoadKind::record) {
      of.from = of.to = record_.settings.front().speed;
    } else if ((of.kind == RoadKind::hold || of.kind == RoadKind::lower_gear) && known) {
      of.from = of.to = speeds.felt;
    }
    if (of.kind == RoadKind::lower_gear && known && engine_ && geared(vehicle())) {
      of.engine_low = kGearStepLow * engine_->mean;
      of.engine_high = kGearStepHigh * engine_->mean;
    }
    if (learns(of.check, "engine_run_up") && engine_)
      of.engine_low = of.engine_high = std::min(engine_->mean, kMostEngineHz);
  }

  bool is_recorded() const {
    return std::any_of(out_.manoeuvres.begin(), out_.manoeuvres.end(),
                       [](const RoadManoeuvre& m) { return m.kind == RoadKind::record; });
  }

  // Standing or driven; no wheels run on a hoist.
  bool is_on_the_road(int check) const {
    const Check& of = base_.checks[at(check)];
    return of.by == Asker::road && of.moves != Moves::wheels_spin;
  }

  // A recording needs the engine's speed read where its lines cannot be computed.
  void read_engine_speed(const std::vector<RoadOption>& options) {
    if (!is_recorded() || !holds(record_.look_up, base_.fact_index("rpm_at_worst"))) return;
    for (const RoadOption& each : options) {
      const bool there = std::any_of(out_.manoeuvres.begin(), out_.manoeuvres.end(),
                                     [&](const RoadManoeuvre& m) { return m.check == each.check; });
      if (!learns(each.check, "rpm_at_worst") || there) continue;
      out_.manoeuvres.push_back(manoeuvre(each));
      out_.manoeuvres.back().need = RoadNeed::engine_speed;
      sort(out_.manoeuvres);
      return;
    }
  }

  // A manoeuvre of the plan that tells the two apart without a frequency, else an offered one, else
  // one in the bay.
  int instead_of_recording(std::size_t i, std::size_t j) const {
    const std::size_t p = pair_index(i, j, causes_.size());
    int found = -1;
    double most = 0.0;
    const auto look = [&](int check) {
      if (learns(check, "measured_frequency")) return;
      const double here = apart_by_answers(reasoner_, facts_, check, causes_)[p];
      if (here < kTellsApart || here <= most) return;
      most = here;
      found = check;
    };
    for (const RoadManoeuvre& driven : out_.manoeuvres) look(driven.check);
    if (found < 0)
      for (const int check : offers_.checks)
        if (is_on_the_road(check)) look(check);
    return found < 0 ? bay_->telling(p) : found;
  }

  void finish_recording() {
    const bool offered = std::any_of(offers_.checks.begin(), offers_.checks.end(), [&](int check) {
      return is_on_the_road(check) && road_style(base_, check).kind == RoadKind::record;
    });
    if (offered && pairs() > 0)
      for (const int fact : record_.look_up)
        if (std::none_of(out_.manoeuvres.begin(), out_.manoeuvres.end(), [&](const auto& driven) {
              return holds(base_.checks[at(driven.check)].learns, fact);
            }))
          out_.look_up.push_back(fact);
    if (!is_recorded()) return;
    for (std::size_t l = 0; l < record_.pairs.size(); ++l) {
      const LinePair& pair = record_.pairs[l];
      if (!pair.ambiguous()) continue;
      double most = -1.0;
      std::pair<std::size_t, std::size_t> likeliest;
      for (const std::size_t i : record_.lines[pair.first].suspects)
        for (const std::size_t j : record_.lines[pair.second].suspects) {
          const double here = out_.suspects[i].probability * out_.suspects[j].probability;
          if (i == j || here <= most) continue;
          most = here;
          likeliest = std::minmax(i, j);
        }
      out_.ambiguous.push_back(
          {l, most < 0.0 ? -1 : instead_of_recording(likeliest.first, likeliest.second)});
    }
    out_.recording = std::move(record_);
  }

  void leave_open(const std::vector<char>& told) {
    for_pairs([&](std::size_t i, std::size_t j, std::size_t p) {
      if (!told[p]) out_.left_open.push_back({i, j, bay_->telling(p)});
    });
  }

  void look_first() {
    for (std::size_t i = 0; i < causes_.size(); ++i) {
      if (causes_[i] == base_.nothing_left() ||
          base_.causes[at(causes_[i])].caution.rfind("Safety", 0) != 0)
        continue;
      const std::vector<int> shows = bay_->showing(causes_[i]);
      out_.look_first.push_back({i, shows.empty() ? -1 : shows.front()});
    }
    if (causes_.size() == 1) out_.confirming = bay_->showing(causes_.front());
  }

  void add_up() {
    std::vector<char> paid(base_.setups.size(), 0);
    for (const RoadManoeuvre& driven : out_.manoeuvres) {
      const Check& of = base_.checks[at(driven.check)];
      out_.minutes += driven.minutes;
      if (of.setup >= 0 && !paid[at(of.setup)]) out_.minutes += base_.setup_minutes(of.setup);
      if (of.setup >= 0) paid[at(of.setup)] = 1;
      for (const int thing : of.equipment)
        if (!holds(out_.equipment, thing)) out_.equipment.push_back(thing);
    }
    std::sort(out_.equipment.begin(), out_.equipment.end());
  }

  const Reasoner& reasoner_;
  const RuleBase& base_;
  const CaseFacts& facts_;
  const Offers& offers_;
  Units units_;
  RoadPlan out_;
  std::vector<int> causes_;         // of the suspects
  std::vector<double> weights_;     // by pair
  std::optional<Estimate> engine_;  // at the felt speed
  RoadRecording record_;
  std::vector<std::vector<std::vector<double>>> readings_;  // by setting, suspect, bin
  std::optional<BayChecks> bay_;
};

}  // namespace

RoadPlan road_plan(const Reasoner& reasoner, const CaseFacts& facts, const Ranking& ranking,
                   const Offers& offers, Units units) {
  return Planner(reasoner, facts, offers, units).plan(ranking);
}

}  // namespace perrev
