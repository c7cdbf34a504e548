#include "engine/bench/case_change.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace perrev {

namespace {

constexpr const char* kNotListed = "not_listed";
constexpr double kLeastMoved = 0.05;  // decibans

Placed placed(const Reasoner& reasoner, const Ranking& ranking, int cause) {
  Placed out{reasoner.base().causes[static_cast<std::size_t>(cause)].id, 0.0, 1};
  for (const Ranked& ranked : ranking.causes) {
    out.probability = ranked.probability;
    if (ranked.cause == cause) break;
    ++out.rank;
  }
  return out;
}

bool is_readable(const CaseView& view) { return view.tested.standing != CaseStanding::unreadable; }

// By what a cause stands above another, or (`rival` -1) above what is not listed; below 0: beneath.
std::map<std::string, double> balance(const CaseSide& side, int subject, int rival) {
  const Reasoner& reasoner = side.planner.reasoner();
  std::map<std::string, double> out;
  for (const Decider& of : all_that_weighs(reasoner, side.facts, subject, rival))
    out[of.name] += of.decibans;
  out[""] = prior_decibans(reasoner, subject, rival);
  return out;
}

double probability_of(const CaseSide& side, const Ranking& ranking, const std::string& cause) {
  return ranking.of(side.planner.reasoner().base().cause_index(cause)).probability;
}

// Whose weight is looked at: the true cause that moved most, else any; and the one that moved most
// the other way.
class Opposed {
 public:
  Opposed(const CaseSide& before, const CaseSide& after)
      : before_(before),
        after_(after),
        was_(rank(before.planner.reasoner(), before.facts)),
        is_(rank(after.planner.reasoner(), after.facts)) {}

  void find(CaseChange& change) const {
    const RuleBase& base = after_.planner.reasoner().base();
    double largest = 0.0;
    const auto look_at = [&](const std::string& cause) {
      const double moved = std::abs(moved_by(cause));
      if (moved <= largest) return;
      largest = moved;
      change.subject = cause;
    };
    for (const int cause : after_.expected.truth)
      look_at(base.causes[static_cast<std::size_t>(cause)].id);
    if (after_.expected.truth.empty())
      for (const Cause& cause : base.causes) look_at(cause.id);
    if (change.subject.empty()) return;
    const double sign = moved_by(change.subject) > 0.0 ? 1.0 : -1.0;
    // What is not listed, unless a cause took much of what the subject lost, or the other way
    // round.
    change.rival = kNotListed;
    double most = 0.25 * largest;
    for (const Cause& cause : base.causes) {
      const double against = -sign * moved_by(cause.id);
      if (against <= most || is_true(cause.id)) continue;
      most = against;
      change.rival = cause.id;
    }
  }

 private:
  bool is_true(const std::string& cause) const {
    const std::vector<int>& truth = after_.expected.truth;
    return std::find(truth.begin(), truth.end(),
                     after_.planner.reasoner().base().cause_index(cause)) != truth.end();
  }

  // 0 of a cause that one of the two does not know.
  double moved_by(const std::string& cause) const {
    if (before_.planner.reasoner().base().cause_index(cause) < 0) return 0.0;
    return probability_of(after_, is_, cause) - probability_of(before_, was_, cause);
  }

  const CaseSide& before_;
  const CaseSide& after_;
  const Ranking was_, is_;
};

}  // namespace

CaseView view_of(const std::string& name, const CaseSide& side) {
  const Reasoner& reasoner = side.planner.reasoner();
  const Ranking ranking = rank(reasoner, side.facts);
  CaseView out;
  out.tested = tested_case(name, side.expected,
                           judge(side.planner, side.file, side.facts, ranking, side.expected));
  for (const int cause : side.expected.truth) out.truth.push_back(placed(reasoner, ranking, cause));
  if (out.truth.empty())
    out.truth.push_back(side.expected.nothing_left_first
                            ? Placed{"nothing_left", ranking.nothing_left, 0}
                            : Placed{kNotListed, ranking.not_listed, 0});
  out.first = placed(reasoner, ranking, ranking.causes.front().cause);
  out.next = step_name(reasoner.base(), first_step(side.planner, side.facts, ranking,
                                                   offers_of(reasoner.base(), side.facts),
                                                   held_now(side.planner, side.file, side.facts)));
  for (const StopState& stop : side.facts.stops)
    if (!stop.lifted)
      out.stops.push_back(reasoner.base().facts[static_cast<std::size_t>(stop.fact)].id);
  std::sort(out.stops.begin(), out.stops.end());
  return out;
}

CaseChange case_change(const CaseView& before, const CaseView& after) {
  CaseChange out;
  out.before = before;
  out.after = after;
  const bool failed = fails(before.tested.standing), fails_now = fails(after.tested.standing);
  out.breaks = !failed && fails_now;
  out.mended = failed && !fails_now;
  const auto misses = [](const CaseView& view) {
    std::vector<std::string> all;
    for (const Miss& miss : view.tested.misses) all.push_back(miss.key + miss.expected);
    return all;
  };
  out.otherwise = before.tested.standing != after.tested.standing ||
                  before.first.cause != after.first.cause || before.next != after.next ||
                  before.stops != after.stops || misses(before) != misses(after);
  if (!is_readable(before) || !is_readable(after)) return out;
  for (std::size_t i = 0; i < before.truth.size(); ++i) {
    const Placed &was = before.truth[i], &is = after.truth[i];
    out.size = std::max(out.size, std::abs(is.probability - was.probability));
    out.otherwise = out.otherwise || is.rank != was.rank;
  }
  return out;
}

void explain(CaseChange& change, const CaseSide& before, const CaseSide& after) {
  Opposed(before, after).find(change);
  if (change.subject.empty()) return;
  const auto index = [&](const CaseSide& side, const std::string& cause) {
    return side.planner.reasoner().base().cause_index(cause);  // -1 of not_listed
  };
  std::map<std::string, double> moved =
      balance(after, index(after, change.subject), index(after, change.rival));
  for (const auto& was :
       balance(before, index(before, change.subject), index(before, change.rival)))
    moved[was.first] -= was.second;
  for (const auto& each : moved)
    if (std::abs(each.second) >= kLeastMoved) change.moved.push_back({each.first, each.second});
  std::sort(change.moved.begin(), change.moved.end(), [](const Moved& a, const Moved& b) {
    const double x = std::abs(a.decibans), y = std::abs(b.decibans);
    return x != y ? x > y : a.name < b.name;
  });
  if (change.moved.size() > 3) change.moved.resize(3);
}

void worst_first(std::vector<CaseChange>& changes) {
  std::sort(changes.begin(), changes.end(), [](const CaseChange& a, const CaseChange& b) {
    if (a.breaks != b.breaks) return a.breaks;
    if (a.size != b.size) return a.size > b.size;
    return a.after.tested.name < b.after.tested.name;
  });
}

}  // namespace perrev
