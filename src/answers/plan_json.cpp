#include <algorithm>
#include <nlohmann/json.hpp>

#include "src/answers/diagnosis_parts.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {

Json step_json(const RuleBase& base, const PlannedStep& step) {
  Json out = {{"what", words_of(base, step)}};
  out["check"] = step.kind == Choice::Kind::check
                     ? Json(base.checks[static_cast<std::size_t>(step.check)].id)
                     : Json(nullptr);
  out["repairs"] = Json::array();
  for (const int r : step.repairs)
    out["repairs"].push_back(base.repairs[static_cast<std::size_t>(r)].id);
  out["hand_on"] = step.kind == Choice::Kind::hand_on;
  out["minutes"] = step.minutes;
  out["expected_minutes"] = step.expected;
  out["right_afterwards"] = step.kind == Choice::Kind::repair ? Json(step.cures) : Json(nullptr);
  out["outcomes"] = Json::array();
  for (const PlannedOutcome& outcome : step.outcomes)
    out["outcomes"].push_back(
        {{"probability", outcome.probability}, {"first_causes_after", outcome.causes_after}});
  return out;
}

}  // namespace

Result<Held> held_with(const Planner& planner, const std::string& setup) {
  const std::vector<Setup>& setups = planner.reasoner().base().setups;
  const auto at =
      std::find_if(setups.begin(), setups.end(), [&](const Setup& s) { return s.id == setup; });
  if (at != setups.end()) return planner.set_ups().with({}, static_cast<int>(at - setups.begin()));
  std::string known;
  for (const Setup& one : setups) known += (known.empty() ? "" : ", ") + one.id;
  return problem("no set-up is named '" + setup + "'", known);
}

Json plan_json(const RuleBase& base, const CaseFile& file, const CaseFacts& facts,
               const Ranking& ranking, const Plan& plan) {
  Json out;
  out["label"] = file.label();
  out["rules_digest"] = base.digest;
  out["proved"] = is_proved(base, facts, ranking);
  out["expected_minutes"] = plan.expected;
  out["minutes_if_known"] = plan.if_known;
  out["minutes_without_more_checks"] = plan.repair_at_once;
  out["first_causes"] = Json::array();
  for (const int cause : plan.first)
    out["first_causes"].push_back(base.causes[static_cast<std::size_t>(cause)].id);
  for (const char* part : {"next", "path"}) {
    out[part] = Json::array();
    for (const PlannedStep& step : part[0] == 'n' ? plan.next : plan.path)
      out[part].push_back(step_json(base, step));
  }
  return out;
}

}  // namespace perrev
