#include "src/report/findings.h"

#include <algorithm>
#include <map>
#include <set>

#include "src/answers/diagnosis_parts.h"

namespace perrev {

namespace {

constexpr int kMostPlaces = 4;

const Condition& verdict_of(const RuleBase& base, const Shown& shown) {
  const Check& check = base.checks[static_cast<std::size_t>(shown.check)];
  return std::find_if(check.confirms.begin(), check.confirms.end(),
                      [&](const auto& one) { return one.first == shown.cause; })
      ->second;
}

// The round that the first repair of the cause after `round` opened; 0 where there was none.
std::size_t repaired_after(const RuleBase& base, const CaseFacts& facts, int cause,
                           std::size_t round) {
  for (std::size_t r = round + 1; r < facts.rounds.size(); ++r)
    for (const int repair : facts.rounds[r].opened_by) {
      const std::vector<int>& cures = base.repairs[static_cast<std::size_t>(repair)].cures;
      if (std::binary_search(cures.begin(), cures.end(), cause)) return r;
    }
  return 0;
}

class Collector {
 public:
  Collector(const RuleBase& base, const CaseFacts& facts) : base_(base), facts_(facts) {}

  // A cause that comes back after its repair stays one finding.
  std::vector<FaultFound> all() {
    for (std::size_t r = 0; r < facts_.rounds.size(); ++r)
      for (const Shown& shown : facts_.rounds[r].shown) add(r, shown);
    for (FaultFound& finding : out_) {
      std::sort(finding.lines.begin(), finding.lines.end(),
                [](const FindingLine& a, const FindingLine& b) {
                  return std::make_pair(a.before->fact, a.before->place) <
                         std::make_pair(b.before->fact, b.before->place);
                });
      for (FindingLine& line : finding.lines) read_again(line);
    }
    return std::move(out_);
  }

 private:
  void add(std::size_t round, const Shown& shown) {
    auto at = std::find_if(out_.begin(), out_.end(),
                           [&](const FaultFound& f) { return f.cause == shown.cause; });
    if (at == out_.end()) {
      FaultFound fresh;
      fresh.cause = shown.cause;
      fresh.shown_in = round;
      fresh.in_force =
          std::binary_search(facts_.verdicts.begin(), facts_.verdicts.end(), shown.cause);
      if (!fresh.in_force) fresh.repaired_in = repaired_after(base_, facts_, shown.cause, round);
      at = out_.insert(out_.end(), std::move(fresh));
    }
    const Condition& verdict = verdict_of(base_, shown);
    const RoundFacts& of = facts_.rounds[round];
    for (int place = 0; place < kMostPlaces; ++place)
      if (truth_at(base_, verdict, of.answers, place) == Truth::yes)
        add_lines(round, shown, verdict, place, *at);
  }

  // Only what the check reads; what merely has to fit besides is left out.
  void add_lines(std::size_t round, const Shown& shown, const Condition& verdict, int place,
                 FaultFound& finding) {
    const std::vector<int>& learns = base_.checks[static_cast<std::size_t>(shown.check)].learns;
    for (const int v : verdict.variables()) {
      const int fact = base_.variables[static_cast<std::size_t>(v)].fact;
      if (std::find(learns.begin(), learns.end(), fact) == learns.end()) continue;
      const bool has_places = fact_of(base_, fact).per != Per::vehicle_case;
      const Reading* reading = facts_.rounds[round].find(fact, has_places ? place : -1);
      if (!reading || reading->unsure) continue;
      const bool is_there =
          std::any_of(finding.lines.begin(), finding.lines.end(), [&](const FindingLine& line) {
            return line.before->fact == reading->fact && line.before->place == reading->place;
          });
      if (!is_there) finding.lines.push_back({reading, nullptr, round, 0});
    }
  }

  void read_again(FindingLine& line) const {
    if (fact_of(base_, line.before->fact).lasts_with_vehicle) return;
    for (std::size_t r = facts_.rounds.size() - 1; r > line.before_round; --r) {
      const Reading* later = facts_.rounds[r].find(line.before->fact, line.before->place);
      if (!later || later->unsure) continue;
      line.after = later;
      line.after_round = r;
      return;
    }
  }

  const RuleBase& base_;
  const CaseFacts& facts_;
  std::vector<FaultFound> out_;
};

}  // namespace

std::vector<FaultFound> findings_of(const RuleBase& base, const CaseFacts& facts) {
  return Collector(base, facts).all();
}

std::vector<const Reading*> latest_held(const RuleBase& base, const CaseFacts& facts) {
  std::map<std::pair<int, int>, const Reading*> latest;
  for (const RoundFacts& round : facts.rounds)
    for (const Reading& reading : round.readings)
      if (fact_of(base, reading.fact).limit >= 0 && !reading.unsure)
        latest[{reading.fact, reading.place}] = &reading;
  std::vector<const Reading*> out;
  for (const auto& one : latest) out.push_back(one.second);
  return out;
}

std::vector<const Reading*> beyond_limits(const RuleBase& base, const CaseFacts& facts,
                                          const std::vector<FaultFound>& findings) {
  std::set<std::pair<int, int>> told;
  for (const FaultFound& finding : findings)
    for (const FindingLine& line : finding.lines)
      told.insert({line.before->fact, line.before->place});
  std::vector<const Reading*> out;
  for (const Reading* reading : latest_held(base, facts))
    if (reading->answers.front() == 1 && told.count({reading->fact, reading->place}) == 0)
      out.push_back(reading);
  return out;
}

}  // namespace perrev
