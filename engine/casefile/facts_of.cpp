#include "engine/casefile/facts_of.h"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

namespace perrev {

const Reading* RoundFacts::find(int fact, int place) const {
  for (const Reading& reading : readings)
    if (reading.fact == fact && reading.place == place) return &reading;
  return nullptr;
}

bool RoundFacts::asked(int fact) const {
  return std::any_of(readings.begin(), readings.end(),
                     [&](const Reading& r) { return r.fact == fact; });
}

bool CaseFacts::stopped() const {
  return std::any_of(stops.begin(), stops.end(),
                     [](const StopState& stop) { return !stop.lifted; });
}

namespace {

class Interpreter {
 public:
  Interpreter(const CaseFile& file, const RuleBase& base) : file_(file), base_(base) {}

  Result<CaseFacts, Problems> read() {
    find_active();
    if (!problems_.empty()) return problems_;
    open_rounds();
    read_answers(true);  // what classes of limits hang on first
    read_answers(false);
    if (!problems_.empty()) return problems_;
    find_stops();
    find_verdicts();
    return std::move(out_);
  }

 private:
  const Entry& entry(std::size_t i) const { return file_.entries()[i]; }
  const Fact& fact(int i) const { return base_.facts[static_cast<std::size_t>(i)]; }

  void fault(std::size_t i, const std::string& below, std::string what, std::string right) {
    problems_.push_back(Problem{file_.place(i, below), std::move(what), std::move(right), {}});
  }
  template <class Ids>
  void unknown(std::size_t i, const std::string& below, const std::string& kind,
               const std::string& word, const Ids& ids) {
    std::vector<std::string> known;
    for (const auto& id : ids) known.push_back(id.first);
    const auto near = nearest(word, known);
    fault(i, below, "unknown " + kind + " '" + word.substr(0, 60) + "'",
          near ? "did you mean '" + *near + "'?" : "a " + kind + " of the rule base");
  }

  // An entry is in force unless an entry in force retracts it. Every chain of retractions ends, or
  // it is told.
  void find_active() {
    std::map<std::string, std::size_t> by_id;
    std::map<std::size_t, std::vector<std::size_t>> retracted_by;
    for (std::size_t i = 0; i < file_.entries().size(); ++i) by_id[entry(i).id] = i;
    for (std::size_t i = 0; i < file_.entries().size(); ++i) {
      if (entry(i).kind != Entry::Kind::retraction) continue;
      const auto target = by_id.find(entry(i).retracts);
      if (target == by_id.end())
        unknown(i, "/retracts", "entry", entry(i).retracts, by_id);
      else
        retracted_by[target->second].push_back(i);
    }
    std::vector<int> state(file_.entries().size(), -1);  // -1 open, 0 retracted, 1 in force
    std::vector<std::size_t> left;
    for (std::size_t i = 0; i < state.size(); ++i) left.push_back(i);
    while (!left.empty()) {
      std::vector<std::size_t> waiting;
      for (const std::size_t i : left) {
        bool retracted = false, open = false;
        for (const std::size_t by : retracted_by[i]) {
          retracted = retracted || state[by] == 1;
          open = open || state[by] == -1;
        }
        if (retracted)
          state[i] = 0;
        else if (!open)
          state[i] = 1;
        else
          waiting.push_back(i);
      }
      if (waiting.size() == left.size()) {
        fault(waiting.front(), "/retracts", "entries retract each other in a circle",
              "retract an earlier entry");
        return;
      }
      left = std::move(waiting);
    }
    for (std::size_t i = 0; i < state.size(); ++i)
      if (state[i] == 1) active_.push_back(i);
    std::sort(active_.begin(), active_.end(),
              [&](std::size_t a, std::size_t b) { return entry(a).key() < entry(b).key(); });
  }

  void open_rounds() {
    out_.rounds.emplace_back();
    for (const std::size_t i : active_) {
      const Entry& e = entry(i);
      if (e.kind == Entry::Kind::repair) {
        const int repair = base_.repair_index(e.repair);
        if (repair < 0) unknown(i, "/repair", "repair", e.repair, base_.repair_by_id);
        if (repair < 0 || !e.done) continue;
        out_.rounds.emplace_back();
        out_.rounds.back().opened_by = {repair};
      } else if (e.kind == Entry::Kind::closing) {
        out_.closed.clear();
        for (const std::string& id : e.closes) {
          const int cause = base_.cause_index(id);
          if (cause < 0)
            unknown(i, "/closes", "cause", id, base_.cause_by_id);
          else
            out_.closed.push_back(cause);
        }
        std::sort(out_.closed.begin(), out_.closed.end());
      } else if (e.kind == Entry::Kind::not_possible) {
        const int check = base_.check_index(e.check);
        if (check < 0)
          unknown(i, "/check", "check", e.check, base_.check_by_id);
        else
          out_.rounds.back().not_possible.push_back(check);
      }
      round_of_[i] = out_.rounds.size() - 1;
    }
    for (RoundFacts& round : out_.rounds) {
      std::sort(round.not_possible.begin(), round.not_possible.end());
      round.answers.assign(static_cast<std::size_t>(base_.slot_count), -1);
    }
    out_.vehicle.assign(static_cast<std::size_t>(base_.slot_count), -1);
  }

  // Places that the entry speaks of, as indices; empty after a fault.
  std::vector<int> places_meant(std::size_t i, const Fact& of) {
    const std::vector<std::string>& places = places_of(of.per);
    const std::string& word = entry(i).place;
    std::vector<int> meant;
    if (of.per == Per::vehicle_case) {
      if (word.empty()) return {-1};
      fault(i, "/place", "'" + of.id + "' has no place", "leave 'place' out");
      return {};
    }
    for (std::size_t p = 0; p < places.size(); ++p) {
      const bool whole_axle = of.per == Per::wheel &&
                              (word == "front_axle" || word == "rear_axle") &&
                              (p < 2) == (word == "front_axle");
      if (word == places[p] || word == "all" || whole_axle ||
          (word.empty() && of.kind == FactKind::text))
        meant.push_back(static_cast<int>(p));
    }
    if (!meant.empty()) return meant;
    std::string known = "all";
    for (const std::string& place : places) known += ", " + place;
    fault(i, word.empty() ? "" : "/place",
          word.empty() ? "'" + of.id + "' needs a place"
                       : "'" + word.substr(0, 40) + "' is no place of '" + of.id + "'",
          "one of " + known);
    return {};
  }

  struct Slot {
    std::size_t round;
    int fact, place;
    bool operator<(const Slot& o) const {
      return std::tie(round, fact, place) < std::tie(o.round, o.fact, o.place);
    }
  };

  bool stops_with(const Reading& reading) const {
    const auto& stop = fact(reading.fact).stop;
    return stop && !reading.answers.empty() && reading.answers[0] >= 0 &&
           ((stop->answers >> reading.answers[0]) & 1u);
  }

  // Whether `b`, an entry later in key order, takes the place of `a`.
  bool displaces(const Reading& b, const Reading& a) const {
    if (a.unsure != b.unsure) return a.unsure;
    if (stops_with(a) != stops_with(b)) return stops_with(b);
    return b.by >= a.by;
  }

  void read_answers(bool vehicle_facts) {
    std::map<Slot, Reading> in_force;
    for (const std::size_t i : active_) {
      const Entry& e = entry(i);
      if (e.kind != Entry::Kind::answer) continue;
      const int index = base_.fact_index(e.fact);
      if (index < 0) {
        if (vehicle_facts) unknown(i, "/fact", "fact", e.fact, base_.fact_by_id);
        continue;
      }
      const Fact& of = fact(index);
      if (of.lasts_with_vehicle != vehicle_facts) continue;
      const std::vector<int> places = places_meant(i, of);
      Reading reading;
      if (e.unsure) {
        reading.fact = index;
        reading.unsure = true;
        reading.answers.assign(static_cast<std::size_t>(of.variable_count), -1);
        reading.text = "unsure";
      } else {
        auto read = read_value(base_, index, e.values, out_.vehicle);
        if (!read) {
          fault(i, "/value", read.error().what, read.error().right);
          continue;
        }
        reading = std::move(read).value();
      }
      reading.entry = i;
      reading.by = e.by;
      reading.with = e.with;
      for (const int place : places) {
        reading.place = place;
        const Slot slot{vehicle_facts ? 0 : round_of_[i], index, place};
        const auto [at, fresh] = in_force.emplace(slot, reading);
        if (!fresh && displaces(reading, at->second)) at->second = reading;
      }
      if (stops_with(reading)) stopping_.push_back(reading);
      readings_.push_back(reading);
    }
    for (const auto& [slot, reading] : in_force)
      for (std::size_t r = 0; r < out_.rounds.size(); ++r) {
        if (!vehicle_facts && r != slot.round) continue;
        keep(reading, out_.rounds[r]);
      }
    if (!vehicle_facts)
      for (RoundFacts& round : out_.rounds)
        std::sort(round.readings.begin(), round.readings.end(),
                  [](const Reading& a, const Reading& b) {
                    return std::tie(a.fact, a.place) < std::tie(b.fact, b.place);
                  });
  }

  void keep(const Reading& reading, RoundFacts& round) {
    const Fact& of = fact(reading.fact);
    for (int v = 0; v < of.variable_count; ++v) {
      const Variable& variable = base_.variables[static_cast<std::size_t>(of.first_variable + v)];
      const std::size_t slot =
          static_cast<std::size_t>(variable.first_slot + std::max(0, reading.place));
      const int answer = reading.answers[static_cast<std::size_t>(v)];
      round.answers[slot] = answer;
      if (of.lasts_with_vehicle) out_.vehicle[slot] = answer;
    }
    round.readings.push_back(reading);
  }

  // A stop stands, whatever came after it in other sources, until the bay enters a clear answer of
  // the fact named in cleared_by.
  void find_stops() {
    std::map<int, StopState> by_fact;
    for (const Reading& stopping : stopping_) {
      const StopRule& rule = *fact(stopping.fact).stop;
      StopState state{stopping.fact, stopping.entry, false};
      for (const Reading& clearing : readings_)
        state.lifted =
            state.lifted ||
            (clearing.fact == rule.cleared_by && clearing.by == Asker::bay && !clearing.unsure &&
             ((fact(rule.cleared_by).clear >> clearing.answers[0]) & 1u) &&
             !(entry(clearing.entry).key() < entry(stopping.entry).key()));
      const auto [at, fresh] = by_fact.emplace(stopping.fact, state);
      if (!fresh && at->second.lifted && !state.lifted) at->second = state;
    }
    for (const auto& item : by_fact) out_.stops.push_back(item.second);
  }

  bool shown_in(const RoundFacts& round, const Check& check, const Condition& verdict) const {
    if (truth_somewhere(base_, verdict, round.answers) != Truth::yes) return false;
    for (const int v : verdict.variables()) {
      const int of = base_.variables[static_cast<std::size_t>(v)].fact;
      if (std::find(check.learns.begin(), check.learns.end(), of) == check.learns.end()) continue;
      const bool read_there = std::any_of(
          round.readings.begin(), round.readings.end(),
          [&](const Reading& r) { return r.fact == of && !r.unsure && r.by >= check.by; });
      if (!read_there) return false;
    }
    return true;
  }

  void find_verdicts() {
    std::set<int> shown;
    for (const RoundFacts& round : out_.rounds) {
      for (const int repair : round.opened_by)
        for (const int cured : base_.repairs[static_cast<std::size_t>(repair)].cures)
          shown.erase(cured);
      for (const Check& check : base_.checks)
        for (const auto& [cause, verdict] : check.confirms)
          if (shown_in(round, check, verdict)) shown.insert(cause);
    }
    out_.verdicts.assign(shown.begin(), shown.end());
  }

  const CaseFile& file_;
  const RuleBase& base_;
  CaseFacts out_;
  Problems problems_;
  std::vector<std::size_t> active_;  // in the order of their keys
  std::map<std::size_t, std::size_t> round_of_;
  std::vector<Reading> stopping_, readings_;
};

}  // namespace

Result<CaseFacts, Problems> facts_of(const CaseFile& file, const RuleBase& base) {
  return Interpreter(file, base).read();
}

}  // namespace perrev
