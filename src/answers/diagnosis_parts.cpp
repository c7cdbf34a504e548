#include "src/answers/diagnosis_parts.h"

#include <algorithm>

namespace perrev {

namespace {
constexpr double kWorthDoing = 0.01;  // bits
}  // namespace

bool asked_now(const RuleBase& base, const CaseFacts& facts, const char* id) {
  const int fact = base.fact_index(id);
  return fact >= 0 && facts.now().asked(fact);
}

bool is_proved(const RuleBase& base, const CaseFacts& facts, const Ranking& ranking) {
  return ranking.nothing_left > base.likely_from && asked_now(base, facts, "complaint_now");
}

std::string end_words(const RuleBase& base, const std::string& id) {
  for (const PathEnd& end : base.ends)
    if (end.id == id) return end.what;
  return {};
}

std::string end_of(const RuleBase& base, const CaseFacts& facts, const Diagnosis& diagnosis) {
  if (!facts.verdicts.empty()) return "verdict";
  if (is_proved(base, facts, diagnosis.ranking)) return "no_fault";
  const std::vector<NextCheck>& next = diagnosis.told.checks;
  const bool more = std::any_of(next.begin(), next.end(),
                                [](const NextCheck& n) { return n.bits >= kWorthDoing; });
  const bool unlisted = diagnosis.ranking.not_listed > diagnosis.ranking.causes.front().probability;
  return unlisted || !more ? "referral" : "";
}

std::vector<int> confirming(const RuleBase& base, const CaseFacts& facts,
                            const Diagnosis& diagnosis) {
  const Ranked& leader = diagnosis.ranking.causes.front();
  if (state_of(base, facts, leader) != CauseState::likely) return {};
  const std::vector<int>& now = diagnosis.offers.checks;
  std::vector<int> offered, later;
  for (std::size_t c = 0; c < base.checks.size(); ++c) {
    const Check& check = base.checks[c];
    const bool shows = std::any_of(check.confirms.begin(), check.confirms.end(),
                                   [&](const auto& v) { return v.first == leader.cause; });
    if (!shows || is_done(base, facts.now(), static_cast<int>(c))) continue;
    const bool is_offered = std::binary_search(now.begin(), now.end(), static_cast<int>(c));
    if (is_offered || check.moves == Moves::no || !facts.stopped())
      (is_offered ? offered : later).push_back(static_cast<int>(c));
  }
  return offered.empty() ? later : offered;
}

std::string why_next(const Plan& plan, const PlannedStep& step) {
  std::string out = minutes_words(step.minutes) + "; ";
  const double more = step.expected - plan.next.front().expected;
  if (more >= kHardlyTold) return out + minutes_words(more) + " more to expect than with the first";
  const double fewer = plan.repair_at_once - step.expected;
  if (fewer >= kHardlyTold) return out + minutes_words(fewer) + " fewer to expect than without it";
  return out + "as good as without it";
}

}  // namespace perrev
