#include "engine/bench/synthetic_score.h"

#include <algorithm>
#include <cmath>

#include "engine/bench/synthetic_draw.h"
#include "engine/casefile/vehicle_of.h"
#include "engine/providers/orders_peaks.h"

namespace perrev {

namespace {

constexpr int kEnough = 30;  // complaints of a family, to be called the worst
constexpr const char* kNoLine = "none";

// What is known of the reading, and at which true speed it was taken.
struct ReadFrequency {
  double hz = 0.0, speed = 0.0;
};

ReadFrequency read_frequency(const RuleBase& base, const CaseFacts& facts) {
  const int fact = base.fact_index("measured_frequency");
  const Reading* reading = fact < 0 ? nullptr : facts.now().find(fact);
  const Motion motion = motion_of(base, facts, facts.rounds.size() - 1);
  if (!reading || reading->unsure || !motion.speed) return {};
  return {reading->number, *motion.speed / (motion.by == SpeedSource::gps ? 1.0 : kDashHigh)};
}

// As the provider of orders takes a reading: on the line, or one in ten another vibration.
double density_of(const ReadFrequency& read, double order, const Estimate& turns) {
  if (read.hz <= 0.0) return 1.0;
  const double hz = order * turns.mean * read.speed;
  const double sd = std::hypot(hz * turns.sd / turns.mean, reading_sd(read.hz));
  return caught_density(read.hz, hz, sd);
}

std::string name_of_shake(const Shake& shake, double order) {
  if (shake.kind == Shake::Kind::firing) return shake.source + " firing order";
  if (shake.kind == Shake::Kind::half_firing) return shake.source + " half the firing order";
  return line_name(shake.source, order);
}

void scaled(std::vector<LineShare>& lines, double probability) {
  double total = 0.0;
  for (const LineShare& line : lines) total += line.probability;
  for (LineShare& line : lines) line.probability *= probability / total;
}

template <class Same>
std::size_t place_among(const std::vector<LineShare>& lines, const Same& same) {
  for (std::size_t i = 0; i < lines.size(); ++i)
    if (same(lines[i])) return i + 1;
  return lines.size() + 1;
}

}  // namespace

std::vector<LineShare> ranked_lines(const Reasoner& reasoner, const FeltProvider& felt,
                                    const CaseFacts& facts, const Ranking& ranking) {
  const RuleBase& base = reasoner.base();
  const ReadFrequency read = read_frequency(base, facts);
  const std::vector<std::vector<FeltLineShare>> computed = felt.lines(base, facts);
  std::vector<LineShare> out;
  for (const Ranked& ranked : ranking.causes) {
    if (ranked.probability <= 0.0) continue;
    std::vector<LineShare> lines;
    for (const FeltLineShare& each : computed[static_cast<std::size_t>(ranked.cause)])
      lines.push_back({line_name(each.source, each.order),
                       each.share * density_of(read, each.order, each.turns_per_metre)});
    if (lines.empty())
      for (const Shake& shake : base.causes[static_cast<std::size_t>(ranked.cause)].shakes)
        lines.push_back({name_of_shake(shake, shake.low_order), shake.share});
    if (lines.empty()) lines.push_back({kNoLine, 1.0});
    scaled(lines, ranked.probability);
    out.insert(out.end(), lines.begin(), lines.end());
  }
  return added_up(std::move(out));
}

std::optional<SyntheticScore> score_complaint(const Simulator& simulator, const Reasoner& reasoner,
                                              const FeltProvider& felt,
                                              const SyntheticComplaint& complaint) {
  const RuleBase& base = reasoner.base();
  CaseFile file;
  for (const Entry& entry : complaint.entries) file.add(entry);
  const auto facts = facts_of(file, base);
  if (!facts) return {};
  const Ranking ranking = rank(reasoner, *facts);
  const IdealJudgement best = simulator.judge(complaint.heard);
  const SyntheticTruth& truth = complaint.truth;
  const std::string line = line_name(truth.source, truth.order);
  const auto same_line = [&](const LineShare& share) { return share.line == line; };

  SyntheticScore out;
  out.cause = truth.cause;
  out.line_place = place_among(ranked_lines(reasoner, felt, *facts, ranking), same_line);
  out.best_line_place = place_among(best.lines, same_line);
  out.said_first = ranking.causes.front().probability;
  bool drawn_before = false;
  for (std::size_t i = 0; i < ranking.causes.size(); ++i) {
    if (ranking.causes[i].cause == truth.cause) {
      out.cause_place = i + 1;
      break;
    }
    drawn_before = drawn_before || simulator.can_draw(ranking.causes[i].cause);
  }
  out.first_of_drawn = !drawn_before;
  const std::size_t fault =
      static_cast<std::size_t>(base.physics.fault_of[static_cast<std::size_t>(truth.cause)]);
  out.best_cause_place = 1;
  for (std::size_t f = 0; f < best.faults.size(); ++f) {
    out.best_first = std::max(out.best_first, best.faults[f]);
    if (best.faults[f] > best.faults[fault]) ++out.best_cause_place;
  }
  return out;
}

namespace {

void count(FamilyScore& into, const SyntheticScore& score) {
  ++into.complaints;
  into.line_first += score.line_place == 1;
  into.line_in_three += score.line_place <= 3;
  into.best_line_first += score.best_line_place == 1;
  into.best_line_in_three += score.best_line_place <= 3;
  into.cause_first += score.cause_place == 1;
  into.cause_in_three += score.cause_place <= 3;
  into.best_cause_first += score.best_cause_place == 1;
  into.first_of_drawn += score.first_of_drawn;
  into.said_first += score.said_first;
  into.best_first += score.best_first;
}

void divide(FamilyScore& by) {
  if (by.complaints == 0) return;
  for (double* sum : {&by.line_first, &by.line_in_three, &by.best_line_first,
                      &by.best_line_in_three, &by.cause_first, &by.cause_in_three,
                      &by.best_cause_first, &by.first_of_drawn, &by.said_first, &by.best_first})
    *sum /= by.complaints;
}

}  // namespace

ScoreReport score_report(const RuleBase& base, const std::vector<SyntheticScore>& scores) {
  ScoreReport out;
  std::vector<FamilyScore> by(base.families.size());
  for (const SyntheticScore& score : scores) {
    count(out.all, score);
    count(by[static_cast<std::size_t>(base.causes[static_cast<std::size_t>(score.cause)].family)],
          score);
  }
  divide(out.all);
  double most = 0.0;
  for (std::size_t f = 0; f < by.size(); ++f) {
    if (by[f].complaints == 0) continue;
    divide(by[f]);
    by[f].family = base.families[f].id;
    const double below = by[f].best_cause_first - by[f].cause_first;
    if (by[f].complaints >= kEnough && (out.worst.empty() || below > most)) {
      out.worst = by[f].family;
      most = below;
    }
    out.families.push_back(by[f]);
  }
  return out;
}

}  // namespace perrev
