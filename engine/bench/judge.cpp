#include "engine/bench/judge.h"

#include <algorithm>
#include <cmath>

#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

// Three decimals; all there are where these would not show that it is above `limit`.
std::string above_words(double probability, double limit) {
  const double rounded = std::round(1000.0 * probability) / 1000.0;
  return show_number(rounded > limit ? rounded : probability);
}

class Judge {
 public:
  Judge(const Planner& planner, const CaseFile& file, const CaseFacts& facts,
        const Ranking& ranking, const Expectation& expected)
      : planner_(planner),
        reasoner_(planner.reasoner()),
        base_(planner.reasoner().base()),
        file_(file),
        facts_(facts),
        ranking_(ranking),
        expected_(expected) {}

  std::vector<Miss> misses() {
    for (const int cause : expected_.truth) rank_of(cause);
    for (const auto& limit : expected_.not_above)
      at_most("not_above", limit.second, ranking_.of(limit.first));
    if (expected_.every_cause_at_most)
      for (const Ranked& ranked : ranking_.causes)
        at_most("every_cause_at_most", *expected_.every_cause_at_most, ranked);
    if (expected_.not_listed_first)
      leads("not_listed_first", "what is not listed first", ranking_.not_listed);
    if (expected_.nothing_left_first)
      leads("nothing_left_first", "nothing wrong any more first", ranking_.nothing_left);
    stops();
    for (const auto& state : expected_.states) state_of_cause(state.first, state.second);
    if (!expected_.next.empty()) next();
    return std::move(out_);
  }

 private:
  const std::string& id_of(int cause) const {
    return base_.causes[static_cast<std::size_t>(cause)].id;
  }

  Miss& miss(const std::string& key, std::string expected, std::string came,
             std::string cause = {}) {
    out_.push_back({key, std::move(expected), std::move(came), std::move(cause), {}, {}, 0.0});
    return out_.back();
  }

  // `lower` -1: against what is not listed.
  void decide(Miss& of, int higher, int lower) const {
    of.deciders = deciders(reasoner_, facts_, higher, lower);
    of.prior_decibans = prior_decibans(reasoner_, higher, lower);
  }

  void rank_of(int cause) {
    int rank = 1, above = -1;
    for (const Ranked& ranked : ranking_.causes) {
      if (ranked.cause == cause) break;
      const std::vector<int>& truth = expected_.truth;
      if (above < 0 && std::find(truth.begin(), truth.end(), ranked.cause) == truth.end())
        above = ranked.cause;
      ++rank;
    }
    if (rank <= expected_.rank) return;
    std::string came = "rank " + std::to_string(rank);
    if (above >= 0) came += ", below " + id_of(above) + beside(above, cause);
    Miss& of = miss("rank",
                    id_of(cause) + " at rank " + std::to_string(expected_.rank) +
                        (expected_.rank > 1 ? " or above" : ""),
                    came, id_of(cause));
    if (above < 0) return;
    of.above = id_of(above);
    decide(of, above, cause);
  }

  // Why `above` stands above `cause`, where its own weights do not say it.
  std::string beside(int above, int cause) const {
    if (std::binary_search(facts_.verdicts.begin(), facts_.verdicts.end(), above))
      return ", which a check showed";
    const std::vector<double>& odds = ranking_.log_odds;
    if (odds[static_cast<std::size_t>(above)] > odds[static_cast<std::size_t>(cause)]) return {};
    for (const RankedPair& pair : ranking_.pairs)
      if (pair.first == above || pair.second == above)
        return " at once with " + id_of(pair.first == above ? pair.second : pair.first);
    return {};
  }

  void at_most(const char* key, double limit, const Ranked& ranked) {
    if (ranked.probability <= limit) return;
    decide(miss(key, id_of(ranked.cause) + " at most " + show_number(limit),
                above_words(ranked.probability, limit), id_of(ranked.cause)),
           ranked.cause, -1);
  }

  void leads(const char* key, const char* words, double probability) {
    const Ranked& first = ranking_.causes.front();
    if (probability > first.probability) return;
    decide(miss(key, words, id_of(first.cause), id_of(first.cause)), first.cause, -1);
  }

  void stops() {
    std::vector<int> held;
    for (const StopState& stop : facts_.stops)
      if (!stop.lifted) held.push_back(stop.fact);
    std::sort(held.begin(), held.end());
    if (held == expected_.stops) return;
    const auto words = [&](const std::vector<int>& stops) {
      std::vector<std::string> ids;
      for (const int fact : stops) ids.push_back(base_.facts[static_cast<std::size_t>(fact)].id);
      return ids.empty() ? std::string("no stop") : "stopped by " + joined(ids);
    };
    miss("stops", words(expected_.stops), words(held));
  }

  void state_of_cause(int cause, CauseState expected) {
    const CauseState came = state_of(base_, facts_, ranking_.of(cause));
    if (came != expected)
      miss("state", id_of(cause) + " " + name_of(expected), name_of(came), id_of(cause));
  }

  void next() {
    const PlannedStep first = first_step(planner_, facts_, ranking_, offers_of(base_, facts_),
                                         held_now(planner_, file_, facts_));
    const std::vector<int>& due = expected_.next;
    if (first.check >= 0 && std::find(due.begin(), due.end(), first.check) != due.end()) return;
    std::vector<std::string> ids;
    for (const int check : due) ids.push_back(base_.checks[static_cast<std::size_t>(check)].id);
    miss("next", joined(ids, " or ") + " next", step_name(base_, first));
  }

  const Planner& planner_;
  const Reasoner& reasoner_;
  const RuleBase& base_;
  const CaseFile& file_;
  const CaseFacts& facts_;
  const Ranking& ranking_;
  const Expectation& expected_;
  std::vector<Miss> out_;
};

}  // namespace

std::vector<Miss> judge(const Planner& planner, const CaseFile& file, const CaseFacts& facts,
                        const Ranking& ranking, const Expectation& expected) {
  return Judge(planner, file, facts, ranking, expected).misses();
}

std::string step_name(const RuleBase& base, const PlannedStep& step) {
  if (step.check >= 0) return base.checks[static_cast<std::size_t>(step.check)].id;
  if (step.kind == Choice::Kind::hand_on) return "hand it on";
  std::vector<std::string> ids;
  for (const int repair : step.repairs)
    ids.push_back(base.repairs[static_cast<std::size_t>(repair)].id);
  return ids.empty() ? "drive it again" : "the repair " + joined(ids, " and ");
}

std::string name_of(CaseStanding standing) {
  switch (standing) {
    case CaseStanding::passed:
      return "passed";
    case CaseStanding::failed:
      return "failed";
    case CaseStanding::known_gap:
      return "known_gap";
    case CaseStanding::gap_closed:
      return "gap_closed";
    case CaseStanding::unreadable:
      return "unreadable";
  }
  return "";
}

bool fails(CaseStanding standing) {
  return standing != CaseStanding::passed && standing != CaseStanding::known_gap;
}

TestedCase tested_case(const std::string& name, const Expectation& expected,
                       std::vector<Miss> misses) {
  const bool gap = !expected.known_gap.empty();
  const CaseStanding standing = misses.empty()
                                    ? (gap ? CaseStanding::gap_closed : CaseStanding::passed)
                                    : (gap ? CaseStanding::known_gap : CaseStanding::failed);
  return {name, standing, {}, expected.about, expected.known_gap, std::move(misses)};
}

}  // namespace perrev
