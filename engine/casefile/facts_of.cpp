#include "engine/casefile/facts_of.h"

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

#include "engine/casefile/verdicts.h"
#include "engine/quantity/text.h"

namespace perrev {

const Reading* RoundFacts::find(int fact, int place) const {
  const auto at = std::lower_bound(readings.begin(), readings.end(), std::pair(fact, place),
                                   [](const Reading& reading, const std::pair<int, int>& sought) {
                                     return std::pair(reading.fact, reading.place) < sought;
                                   });
  return at != readings.end() && at->fact == fact && at->place == place ? &*at : nullptr;
}

bool RoundFacts::asked(int fact) const {
  return std::any_of(readings.begin(), readings.end(),
                     [&](const Reading& r) { return r.fact == fact; });
}

bool CaseFacts::stopped() const {
  return std::any_of(stops.begin(), stops.end(),
                     [](const StopState& stop) { return !stop.lifted; });
}

std::vector<int> places_meant(const Fact& fact, const std::string& word) {
  if (fact.per == Per::vehicle_case)
    return word.empty() ? std::vector<int>{-1} : std::vector<int>{};
  const std::vector<std::string>& places = places_of(fact.per);
  std::vector<int> meant;
  for (std::size_t p = 0; p < places.size(); ++p) {
    const bool whole_axle = fact.per == Per::wheel &&
                            (word == "front_axle" || word == "rear_axle") &&
                            (p < 2) == (word == "front_axle");
    if (word == places[p] || word == "all" || whole_axle ||
        (word.empty() && fact.kind == FactKind::text))
      meant.push_back(static_cast<int>(p));
  }
  return meant;
}

namespace {

// Each round holds a table of all answers.
constexpr std::size_t kMostRounds = 200;

class Interpreter {
 public:
  Interpreter(const std::vector<Entry>& entries, const std::string& shown, const RuleBase& base)
      : entries_(entries), shown_(shown), base_(base) {
    keys_.reserve(entries.size());
    for (const Entry& each : entries) keys_.push_back(each.key());
  }

  Result<CaseFacts, Problems> read() {
    find_active();
    if (!problems_.empty()) return problems_;
    if (!open_rounds()) return problems_;
    find_pickers();
    read_answers(true);  // what classes of limits hang on first
    read_answers(false);
    if (!problems_.empty()) return problems_;
    find_stops();
    share_out();
    find_verdicts(base_, out_);
    return std::move(out_);
  }

 private:
  const Entry& entry(std::size_t i) const { return entries_[i]; }
  const Fact& fact(int i) const { return base_.facts[static_cast<std::size_t>(i)]; }
  // Of an entry in force.
  std::size_t round_of(std::size_t i) const { return static_cast<std::size_t>(out_.round_of[i]); }

  void fault(std::size_t i, const std::string& below, std::string what, std::string right) {
    problems_.push_back(
        Problem{entry_place(shown_, i, below), std::move(what), std::move(right), {}});
  }
  void unknown(std::size_t i, const std::string& below, const std::string& kind,
               const std::string& word, const Ids& ids, const std::string& right) {
    constexpr std::size_t kEnough = 200;  // the search for the near word is what costs
    const auto known = problems_.size() < kEnough ? sorted_ids(ids) : std::vector<std::string>{};
    fault(i, below, "unknown " + kind + " " + perrev::quoted(word), near_or(word, known, right));
  }
  void unknown(std::size_t i, const std::string& below, const std::string& kind,
               const std::string& word, const Ids& ids) {
    unknown(i, below, kind, word, ids, "a " + kind + " of the rule base");
  }

  // Which entry each one retracts; `none` where it is no retraction or names no entry.
  std::vector<std::size_t> targets(std::size_t none) {
    std::vector<std::size_t> out(entries_.size(), none);
    const auto retracts = [](const Entry& e) { return e.kind == Entry::Kind::retraction; };
    if (std::none_of(entries_.begin(), entries_.end(), retracts)) return out;
    Ids by_id;
    for (std::size_t i = 0; i < entries_.size(); ++i) by_id[entry(i).id] = static_cast<int>(i);
    for (std::size_t i = 0; i < out.size(); ++i) {
      if (entry(i).kind != Entry::Kind::retraction) continue;
      const auto found = by_id.find(entry(i).retracts);
      if (found == by_id.end())
        unknown(i, "/retracts", "entry", entry(i).retracts, by_id, "the id of another entry");
      else
        out[i] = static_cast<std::size_t>(found->second);
    }
    return out;
  }

  // An entry is in force unless an entry in force retracts it. Judged from what nobody retracts
  // inwards; what is left then are circles.
  void find_active() {
    constexpr std::size_t kNone = static_cast<std::size_t>(-1);
    const std::size_t count = entries_.size();
    const std::vector<std::size_t> target = targets(kNone);
    std::vector<int> open_retractions(count, 0);  // retractions of it that may still be in force
    for (const std::size_t to : target)
      if (to != kNone) ++open_retractions[to];
    std::vector<bool> in_force(count, true), is_judged(count, false);
    std::vector<std::size_t> judged;
    const auto judge = [&](std::size_t i, bool stands) {
      in_force[i] = stands;
      is_judged[i] = true;
      judged.push_back(i);
    };
    for (std::size_t i = 0; i < count; ++i)
      if (open_retractions[i] == 0) judge(i, true);
    for (std::size_t next = 0; next < judged.size(); ++next) {
      const std::size_t i = judged[next], to = target[i];
      if (in_force[i]) active_.push_back(i);
      if (to == kNone || is_judged[to]) continue;
      if (in_force[i])
        judge(to, false);
      else if (--open_retractions[to] == 0)
        judge(to, true);
    }
    if (judged.size() < count) {
      const auto left = std::find(is_judged.begin(), is_judged.end(), false);
      fault(static_cast<std::size_t>(left - is_judged.begin()), "/retracts",
            "entries retract each other in a circle", "retract an earlier entry");
    }
    const auto earlier = [&](std::size_t a, std::size_t b) { return keys_[a] < keys_[b]; };
    if (!std::is_sorted(active_.begin(), active_.end(), earlier))  // most logs are
      std::sort(active_.begin(), active_.end(), earlier);
  }

  // False where there are too many to go on.
  bool open_rounds() {
    out_.rounds.emplace_back();
    out_.round_of.assign(entries_.size(), -1);
    for (const std::size_t i : active_) {
      const Entry& e = entry(i);
      out_.round_of[i] = static_cast<int>(out_.rounds.size()) - 1;
      if (e.kind == Entry::Kind::repair) {
        const int repair = base_.repair_index(e.repair);
        if (repair < 0) unknown(i, "/repair", "repair", e.repair, base_.repair_by_id);
        if (repair < 0 || !e.done) continue;
        if (out_.rounds.size() == kMostRounds) {
          fault(i, "", "more repairs than one case can have", "a new case for the next visit");
          return false;
        }
        out_.rounds.emplace_back();
        out_.rounds.back().opened_by = {repair};
        ++out_.round_of[i];
      } else if (e.kind == Entry::Kind::closing) {
        out_.closed.clear();
        for (std::size_t k = 0; k < e.closes.size(); ++k) {
          const int cause = base_.cause_index(e.closes[k]);
          if (cause < 0)
            unknown(i, "/closes/" + std::to_string(k), "cause", e.closes[k], base_.cause_by_id);
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
    }
    for (RoundFacts& round : out_.rounds) {
      std::sort(round.not_possible.begin(), round.not_possible.end());
      round.answers.assign(static_cast<std::size_t>(base_.slot_count), -1);
    }
    out_.vehicle.assign(static_cast<std::size_t>(base_.slot_count), -1);
    return true;
  }

  // Places that the entry speaks of, as indices, to places_; none after a fault.
  void find_places(std::size_t i, const Fact& of) {
    const std::string& word = entry(i).place;
    if (of.per == Per::vehicle_case) {
      places_.assign(word.empty() ? 1 : 0, -1);
      if (!word.empty()) fault(i, "/place", "'" + of.id + "' has no place", "leave 'place' out");
      return;
    }
    places_ = places_meant(of, word);
    if (!places_.empty()) return;
    std::string known = of.per == Per::wheel ? "all, front_axle, rear_axle" : "all";
    for (const std::string& place : places_of(of.per)) known += ", " + place;
    fault(i, word.empty() ? "" : "/place",
          word.empty() ? "'" + of.id + "' needs a place"
                       : perrev::quoted(word) + " is no place of '" + of.id + "'",
          "one of " + known);
  }

  struct Slot {
    int fact, place;
    std::size_t round;
    bool operator==(const Slot& o) const {
      return fact == o.fact && place == o.place && round == o.round;
    }
  };
  // A reading, of readings_, for one slot.
  struct Standing {
    Slot slot;
    std::size_t reading;
    bool operator<(const Standing& o) const {
      return std::tie(slot.fact, slot.place, slot.round, reading) <
             std::tie(o.slot.fact, o.slot.place, o.slot.round, o.reading);
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

  // Facts whose answer picks the class of some limit.
  void find_pickers() {
    is_picker_.assign(base_.facts.size(), false);
    for (const Limit& limit : base_.limits)
      if (limit.class_by >= 0) is_picker_[static_cast<std::size_t>(limit.class_by)] = true;
  }

  // Those of pickers, or those of all other facts.
  void read_answers(bool pickers) {
    if (pickers) {
      fact_of_.assign(entries_.size(), -1);
      readings_.reserve(active_.size());
    }
    std::vector<Standing> standing;
    for (const std::size_t i : active_) {
      if (entry(i).kind != Entry::Kind::answer) continue;
      int& index = fact_of_[i];
      if (pickers) {
        index = base_.fact_index(entry(i).fact);
        if (index < 0) unknown(i, "/fact", "fact", entry(i).fact, base_.fact_by_id);
      }
      if (index < 0 || is_picker_[static_cast<std::size_t>(index)] != pickers) continue;
      find_places(i, fact(index));
      if (!read_answer(i, index)) continue;
      const std::size_t round = fact(index).lasts_with_vehicle ? 0 : round_of(i);
      for (const int place : places_)
        standing.push_back({{index, place, round}, readings_.size() - 1});
    }
    std::sort(standing.begin(), standing.end());
    for (auto each = standing.begin(); each != standing.end();) {
      Standing last = *each;
      for (++each; each != standing.end() && each->slot == last.slot; ++each)
        if (displaces(readings_[each->reading], readings_[last.reading])) last = *each;
      in_force_.push_back(last);
      for (std::size_t r = 0; r < out_.rounds.size(); ++r)
        if (belongs_to(last.slot, r)) tabulate(last, out_.rounds[r].answers);
      if (fact(last.slot.fact).lasts_with_vehicle) tabulate(last, out_.vehicle);
    }
  }

  // To readings_; false after a fault. The class of a limit is that of the round the entry belongs
  // to.
  bool read_answer(std::size_t i, int index) {
    const Entry& e = entry(i);
    Reading out;
    if (e.unsure) {
      out.fact = index;
      out.unsure = true;
      out.answers.assign(static_cast<std::size_t>(fact(index).variable_count), -1);
      out.text = "unsure";
    } else {
      auto read = read_value(base_, index, e.values, out_.rounds[round_of(i)].answers);
      if (!read) {
        fault(i, "/value", read.error().what, read.error().right);
        return false;
      }
      out = std::move(read).value();
    }
    out.entry = i;
    out.by = e.by;
    out.with = e.with;
    if (!held_well(i)) return false;
    readings_.push_back(std::move(out));
    return true;
  }

  // What was held while it was read is used in arithmetic: a speed that cannot be read must not be
  // passed over for another one.
  bool held_well(std::size_t i) {
    const std::size_t before = problems_.size();
    for (const auto& [key, text] : entry(i).with) {
      if (key == "by" && text != "gps" && text != "speedometer")
        fault(i, "/with/by", perrev::quoted(text) + " shows no speed", "speedometer or gps");
      // The standard deviation of a measured frequency; of anything else it is only kept.
      const bool sd = key == "sd" && entry(i).fact == "measured_frequency";
      if (key != "speed" && key != "rpm" && !sd) continue;
      const auto read =
          parse_quantity(text, key == "speed" ? Dimension::speed : Dimension::frequency);
      if (!read) fault(i, "/with/" + key, read.error().what, read.error().right);
    }
    return problems_.size() == before;
  }

  bool belongs_to(const Slot& slot, std::size_t round) const {
    return slot.round == round || fact(slot.fact).lasts_with_vehicle;
  }

  void tabulate(const Standing& in_force, Answers& answers) const {
    const std::vector<int>& read = readings_[in_force.reading].answers;
    const Fact& of = fact(in_force.slot.fact);
    for (int v = 0; v < of.variable_count; ++v) {
      const auto& variable = base_.variables[static_cast<std::size_t>(of.first_variable + v)];
      answers[static_cast<std::size_t>(variable.first_slot + std::max(0, in_force.slot.place))] =
          read[static_cast<std::size_t>(v)];
    }
  }

  // The readings in force to their rounds; those of readings_ are spent.
  void share_out() {
    std::sort(in_force_.begin(), in_force_.end());
    std::vector<std::size_t> times(readings_.size(), 0), held(out_.rounds.size(), 0);
    for (const auto& [slot, reading] : in_force_)
      for (std::size_t r = 0; r < out_.rounds.size(); ++r)
        if (belongs_to(slot, r)) ++times[reading], ++held[r];
    for (std::size_t r = 0; r < out_.rounds.size(); ++r) out_.rounds[r].readings.reserve(held[r]);
    for (const auto& [slot, reading] : in_force_)
      for (std::size_t r = 0; r < out_.rounds.size(); ++r) {
        if (!belongs_to(slot, r)) continue;
        std::vector<Reading>& readings = out_.rounds[r].readings;
        if (--times[reading] == 0)
          readings.push_back(std::move(readings_[reading]));
        else
          readings.push_back(readings_[reading]);
        readings.back().place = slot.place;
      }
  }

  // A stop stands, whatever came after it in other sources, until the bay's last word on the fact
  // named in cleared_by is clear, and not older than the stop.
  void find_stops() {
    if (std::none_of(readings_.begin(), readings_.end(),
                     [&](const Reading& r) { return stops_with(r); }))
      return;
    std::map<int, const Reading*>
        last_word;  // readings of one fact stand in the order of their keys
    for (const Reading& reading : readings_)
      if (reading.by == Asker::bay && !reading.unsure) last_word[reading.fact] = &reading;
    std::map<int, StopState> by_fact;
    for (const Reading& stopping : readings_) {
      if (!stops_with(stopping)) continue;
      const auto& rule = fact(stopping.fact).stop;
      const auto word = last_word.find(rule ? rule->cleared_by : -1);
      const StopState state{stopping.fact, stopping.entry,
                            word != last_word.end() && lifts(*word->second, stopping)};
      const auto [at, fresh] = by_fact.emplace(stopping.fact, state);
      if (!fresh && at->second.lifted && !state.lifted) at->second = state;
    }
    for (const auto& item : by_fact) out_.stops.push_back(item.second);
  }

  bool lifts(const Reading& word, const Reading& stopping) const {
    return ((fact(word.fact).clear >> word.answers[0]) & 1u) &&
           !(keys_[word.entry] < keys_[stopping.entry]);
  }

  const std::vector<Entry>& entries_;
  const std::string& shown_;
  const RuleBase& base_;
  CaseFacts out_;
  Problems problems_;
  std::vector<EntryKey> keys_;       // of the entries of the file
  std::vector<std::size_t> active_;  // in the order of their keys
  std::vector<bool> is_picker_;
  std::vector<int> fact_of_;        // by entry; -1 where it is no answer in force
  std::vector<int> places_;         // of the entry being read
  std::vector<Reading> readings_;   // of entries in force, pickers first; their places are in slots
  std::vector<Standing> in_force_;  // one for each slot that was read
};

}  // namespace

Result<CaseFacts, Problems> facts_of(const CaseFile& file, const RuleBase& base) {
  return facts_of(file.entries(), file.shown(), base);
}

Result<CaseFacts, Problems> facts_of(const std::vector<Entry>& entries, const std::string& shown,
                                     const RuleBase& base) {
  return Interpreter(entries, shown, base).read();
}

}  // namespace perrev
