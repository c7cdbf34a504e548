#include "engine/planning/planner.h"

#include <algorithm>
#include <limits>
#include <utility>

#include "engine/planning/check_outcomes.h"

namespace perrev {

namespace {

constexpr double kPairForBoth =
    0.02;  // from this share of a pair on both repairs may be done at once

bool learns(const Check& check, int fact) {
  return std::find(check.learns.begin(), check.learns.end(), fact) != check.learns.end();
}

}  // namespace

Planner::Planner(const Reasoner& reasoner)
    : reasoner_(&reasoner), set_ups_(reasoner.base().setups) {
  const RuleBase& base = reasoner.base();
  const int proof = base.fact_index("complaint_now");
  bool any = false;
  for (const Check& check : base.checks) {
    if (check.by != Asker::road || !learns(check, proof)) continue;
    const double minutes = check.minutes + base.setup_minutes(check.setup);
    if (any && minutes >= proof_minutes_) continue;
    any = true;
    proof_minutes_ = minutes;
    proof_setup_ = check.setup;
  }
  cured_by_.resize(base.causes.size());
  for (std::size_t r = 0; r < base.repairs.size(); ++r)
    for (const int cause : base.repairs[r].cures)
      cured_by_[static_cast<std::size_t>(cause)].push_back(static_cast<int>(r));
  double usual = 0.0;
  for (std::size_t c = 0; c < base.causes.size(); ++c) {
    double least = std::numeric_limits<double>::infinity();
    for (const int r : cured_by_[c])
      least = std::min(least, minutes_of(base.repairs[static_cast<std::size_t>(r)]));
    minutes_by_cause_.push_back(least);
    usual += base.causes[c].usual;
    unlisted_minutes_ += base.causes[c].usual * least;
  }
  if (usual > 0.0) unlisted_minutes_ /= usual;
  find_safety_checks();
}

void Planner::find_safety_checks() {
  const RuleBase& base = reasoner_->base();
  std::vector<int> open;
  for (const Gate& gate : base.gates)
    if (gate.guards_driving) open.insert(open.end(), gate.asks.begin(), gate.asks.end());
  const auto covers = [&](const Check& check) {
    return std::count_if(open.begin(), open.end(), [&](int fact) { return learns(check, fact); });
  };
  while (!open.empty()) {
    int chosen = -1;
    double best = 0.0;
    for (std::size_t c = 0; c < base.checks.size(); ++c) {
      const Check& check = base.checks[c];
      if (check.moves != Moves::no) continue;
      const double rate =
          static_cast<double>(covers(check)) / (check.minutes + base.setup_minutes(check.setup));
      if (rate > best) {
        best = rate;
        chosen = static_cast<int>(c);
      }
    }
    if (chosen < 0) break;
    const Check& check = base.checks[static_cast<std::size_t>(chosen)];
    safety_checks_.push_back(chosen);
    safety_minutes_ += check.minutes + base.setup_minutes(check.setup);
    open.erase(
        std::remove_if(open.begin(), open.end(), [&](int fact) { return learns(check, fact); }),
        open.end());
  }
}

int Planner::lifting_check(int fact) const {
  const std::vector<Check>& checks = reasoner_->base().checks;
  for (std::size_t c = 0; c < checks.size(); ++c)
    if (checks[c].by == Asker::bay && learns(checks[c], fact)) return static_cast<int>(c);
  return -1;
}

double Planner::minutes_of(const Repair& repair) const {
  return repair.minutes + reasoner_->base().parts_minutes[static_cast<std::size_t>(repair.parts)];
}

double Planner::repair_minutes(const Hypothesis& hypothesis) const {
  const RuleBase& base = reasoner_->base();
  if (hypothesis.first < 0) return unlisted_minutes_;
  if (hypothesis.first == base.nothing_left()) return 0.0;
  const double first = minutes_by_cause_[static_cast<std::size_t>(hypothesis.first)];
  if (hypothesis.second < 0) return first;
  double best = first + minutes_by_cause_[static_cast<std::size_t>(hypothesis.second)];
  for (const int r : cured_by_[static_cast<std::size_t>(hypothesis.first)]) {
    const Repair& repair = base.repairs[static_cast<std::size_t>(r)];
    if (std::binary_search(repair.cures.begin(), repair.cures.end(), hypothesis.second))
      best = std::min(best, minutes_of(repair));
  }
  return best;
}

double Planner::handing_on_minutes(const Hypothesis& hypothesis) const {
  return reasoner_->base().handing_on_minutes + repair_minutes(hypothesis) + safety_minutes_ +
         proof_minutes_;
}

Held Planner::after_repair() const { return set_ups_.with({}, proof_setup_); }

void Planner::add_hypotheses(const Ranking& ranking, const PlannerLimits& limits,
                             DecisionModel& model) const {
  const auto add = [&](const Hypothesis& hypothesis, double mass) {
    model.hypotheses.push_back(hypothesis);
    model.mass.push_back(mass);
  };
  // Pairs that are probable stand for themselves; of all others each member gets half.
  std::vector<double> single(reasoner_->base().causes.size(), 0.0);
  std::vector<char> wanted(single.size(), 0);
  for (const Ranked& ranked : ranking.causes)
    single[static_cast<std::size_t>(ranked.cause)] = 0.5 * (ranked.alone + ranked.probability);
  std::vector<RankedPair> pairs;
  for (const RankedPair& pair : ranking.pairs) {
    if (pair.probability < limits.least_pair || pairs.size() >= limits.pairs) break;
    pairs.push_back(pair);
    for (const int cause : {pair.first, pair.second}) {
      single[static_cast<std::size_t>(cause)] -= 0.5 * pair.probability;
      wanted[static_cast<std::size_t>(cause)] = 1;  // what is left when the other is cured
    }
  }
  std::vector<std::size_t> order;
  for (std::size_t c = 0; c < single.size(); ++c) order.push_back(c);
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return single[a] != single[b] ? single[a] > single[b] : a < b;
  });
  double covered = ranking.not_listed + ranking.nothing_left;
  for (const RankedPair& pair : pairs) covered += pair.probability;
  for (const std::size_t c : order) {
    const bool counts = covered < limits.mass && model.hypotheses.size() < limits.hypotheses;
    if (!counts && wanted[c] == 0) continue;
    covered += single[c];
    add({static_cast<int>(c), -1}, std::max(0.0, single[c]));
  }
  for (const RankedPair& pair : pairs) add({pair.first, pair.second}, pair.probability);
  if (ranking.nothing_left > 0.0) add({reasoner_->base().nothing_left(), -1}, ranking.nothing_left);
  add({-1, -1}, ranking.not_listed);
  double total = 0.0;
  for (const double mass : model.mass) total += mass;
  for (double& mass : model.mass) mass /= total;
}

void Planner::add_checks(const CaseFacts& facts, const Offers& offers, const PlannerLimits& limits,
                         DecisionModel& model) const {
  const RuleBase& base = reasoner_->base();
  struct Candidate {
    int check;
    double spread, rate;
  };
  std::vector<Candidate> questions, others;
  Telling telling(*reasoner_, facts, model.hypotheses, model.mass);
  for (const int c : offers.checks) {
    const Check& check = base.checks[static_cast<std::size_t>(c)];
    const double setup = set_ups_.minutes(model.held, check.setup);
    const bool question = is_question(check.minutes, setup);
    if ((question ? limits.questions : limits.checks) == 0 || is_stale(base, facts, c)) continue;
    const double spread = telling.spread(check);
    if (spread > 0.0)
      (question ? questions : others).push_back({c, spread, spread / (check.minutes + setup)});
  }
  const auto put_first = [](std::vector<Candidate>& list, std::size_t from, std::size_t count,
                            double Candidate::* worth) {
    const auto begin = list.begin() + static_cast<std::ptrdiff_t>(std::min(from, list.size()));
    const auto end = begin + std::min(static_cast<std::ptrdiff_t>(count), list.end() - begin);
    std::partial_sort(begin, end, list.end(), [&](const Candidate& a, const Candidate& b) {
      return a.*worth != b.*worth ? a.*worth > b.*worth : a.check < b.check;
    });
  };
  const std::size_t half = limits.checks / 2;
  put_first(questions, 0, limits.questions, &Candidate::rate);
  put_first(others, 0, half, &Candidate::rate);
  put_first(others, half, limits.checks - half, &Candidate::spread);
  const auto add = [&](const std::vector<Candidate>& list, std::size_t most) {
    for (std::size_t i = 0; i < std::min(most, list.size()); ++i) {
      const Check& check = base.checks[static_cast<std::size_t>(list[i].check)];
      CheckChoice made{list[i].check, check.minutes, check.setup, {}};
      made.outcomes = outcomes_of(*reasoner_, facts, list[i].check, model.hypotheses, model.mass,
                                  limits.outcomes);
      if (made.outcomes.size() > 1) model.checks.push_back(std::move(made));
    }
  };
  add(questions, limits.questions);
  add(others, limits.checks);
}

void Planner::add_repairs(DecisionModel& model) const {
  const RuleBase& base = reasoner_->base();
  const std::size_t count = model.hypotheses.size();
  const auto index_of = [&](const Hypothesis& hypothesis) {
    for (std::size_t h = 0; h < count; ++h)
      if (model.hypotheses[h] == hypothesis) return static_cast<int>(h);
    return kFixed;
  };
  const auto choice = [&](std::vector<int> repairs) {
    RepairChoice made{std::move(repairs), safety_minutes_ + proof_minutes_, {}};
    std::vector<char> cured(base.causes.size() + 1, 0);
    cured[base.causes.size()] = 1;  // where nothing is left the drive shows it
    for (const int r : made.repairs) {
      const Repair& repair = base.repairs[static_cast<std::size_t>(r)];
      made.minutes += minutes_of(repair);
      for (const int cause : repair.cures) cured[static_cast<std::size_t>(cause)] = 1;
    }
    for (std::size_t h = 0; h < count; ++h) {
      const Hypothesis& is = model.hypotheses[h];
      const auto gone = [&](int cause) { return cured[static_cast<std::size_t>(cause)] != 0; };
      int leaves = static_cast<int>(h);
      if (is.first >= 0 && is.second < 0)
        leaves = gone(is.first) ? kFixed : leaves;
      else if (is.first >= 0 && gone(is.first))
        leaves = gone(is.second) ? kFixed : index_of({is.second, -1});
      else if (is.first >= 0 && gone(is.second))
        leaves = index_of({is.first, -1});
      made.leaves.push_back(leaves);
    }
    model.repairs.push_back(std::move(made));
  };
  std::vector<int> useful;
  for (const Hypothesis& hypothesis : model.hypotheses)
    for (const int cause : {hypothesis.first, hypothesis.second})
      if (cause >= 0 && cause < base.nothing_left())
        useful.insert(useful.end(), cured_by_[static_cast<std::size_t>(cause)].begin(),
                      cured_by_[static_cast<std::size_t>(cause)].end());
  std::sort(useful.begin(), useful.end());
  useful.erase(std::unique(useful.begin(), useful.end()), useful.end());
  for (const int repair : useful) choice({repair});
  std::vector<std::vector<int>> both;
  for (std::size_t h = 0; h < count; ++h) {
    const Hypothesis& pair = model.hypotheses[h];
    if (pair.second < 0 || model.mass[h] < kPairForBoth) continue;
    std::vector<int> repairs = {base.causes[static_cast<std::size_t>(pair.first)].repair,
                                base.causes[static_cast<std::size_t>(pair.second)].repair};
    std::sort(repairs.begin(), repairs.end());
    if (repairs[0] != repairs[1] && std::find(both.begin(), both.end(), repairs) == both.end())
      both.push_back(std::move(repairs));
  }
  for (std::vector<int>& repairs : both) choice(std::move(repairs));
  if (index_of({base.nothing_left(), -1}) >= 0) choice({});
}

DecisionModel Planner::model(const CaseFacts& facts, const Ranking& ranking, const Offers& offers,
                             const Held& held, const PlannerLimits& limits) const {
  DecisionModel out;
  out.set_ups = set_ups_;
  out.held = held;
  out.after_repair = after_repair();
  add_hypotheses(ranking, limits, out);
  for (const Hypothesis& hypothesis : out.hypotheses)
    out.handing_on.push_back(handing_on_minutes(hypothesis));
  add_checks(facts, offers, limits, out);
  add_repairs(out);
  return out;
}

bool is_stale(const RuleBase& base, const CaseFacts& facts, int check) {
  if (facts.rounds.size() < 2) return false;
  const int now = base.fact_index("complaint_now");
  const Reading* said = now < 0 ? nullptr : facts.now().find(now);
  if (said && !said->unsure) {
    const std::string& answer = base.facts[static_cast<std::size_t>(now)]
                                    .answers[static_cast<std::size_t>(said->answers[0])]
                                    .id;
    if (answer == "less" || answer == "other") return false;
  }
  for (std::size_t r = 0; r + 1 < facts.rounds.size(); ++r)
    if (is_done(base, facts.rounds[r], check)) return true;
  return false;
}

}  // namespace perrev
