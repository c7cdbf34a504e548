#include <cmath>
#include <nlohmann/json.hpp>

#include "src/answers/diagnosis_parts.h"

namespace perrev {

using Json = nlohmann::ordered_json;

Json still_open_json(const RuleBase& base, const Ranking& ranking, int repair) {
  Json out = Json::array();
  for (const StillOpen& open : still_open_after(base, ranking, repair))
    out.push_back({{"cause", cause_of(base, open.cause).id}, {"probability", open.probability}});
  return out;
}

namespace {

Json brief_json(const RuleBase& base, const CaseFacts& facts, const Ranked& ranked) {
  return {{"cause", cause_of(base, ranked.cause).id},
          {"name", cause_of(base, ranked.cause).name},
          {"probability", ranked.probability},
          {"alone", ranked.alone},
          {"state", name_of(state_of(base, facts, ranked))}};
}

}  // namespace

Json ranked_json(const Reasoner& reasoner, const CaseFacts& facts, const Ranked& ranked,
                 const Reasons& reasons) {
  const RuleBase& base = reasoner.base();
  Json out = brief_json(base, facts, ranked);
  out["prior_decibans"] = reasons.prior_decibans;
  out["evidence"] = Json::array();
  for (const Reason& reason : reasons.evidence) {
    const ReasonWords words = words_of(reasoner, facts, reasons, reason);
    Json rules = Json::array();
    for (const int rule : words.rules)
      rules.push_back(base.rules[static_cast<std::size_t>(rule)].id);
    const bool never = std::isinf(reason.weight_decibans);
    out["evidence"].push_back(
        {{"round", reason.round + 1},
         {"facts", words.facts},
         {"values", words.values},
         {"rules", rules},
         {"provider", reason.provider ? Json(reason.provider->name()) : Json(nullptr)},
         {"weight_decibans", never ? Json(nullptr) : Json(reason.weight_decibans)},
         {"because", words.because},
         {"origins", words.origins}});
  }
  return out;
}

Json to_json(const Reasoner& reasoner, const CaseFile& file, const CaseFacts& facts,
             const Diagnosis& diagnosis, std::size_t explained) {
  const RuleBase& base = reasoner.base();
  Json out;
  out["label"] = file.label();
  out["rules_digest"] = base.digest;
  out["round"] = diagnosis.ranking.round + 1;
  out["stops"] = Json::array();
  for (const StopState& state : facts.stops) {
    if (state.lifted) continue;
    const StopRule& stop = *fact_of(base, state.fact).stop;
    out["stops"].push_back({{"fact", fact_of(base, state.fact).id},
                            {"reason", stop.reason},
                            {"caution", stop.caution},
                            {"cleared_by", fact_of(base, stop.cleared_by).id}});
  }
  out["not_listed"] = diagnosis.ranking.not_listed;
  out["nothing_left"] = diagnosis.ranking.nothing_left;
  out["ranking"] = Json::array();
  const auto& causes = diagnosis.ranking.causes;
  if (explained < causes.size()) {
    for (std::size_t i = 0; i < causes.size(); ++i)
      out["ranking"].push_back(i < explained
                                   ? ranked_json(reasoner, facts, causes[i],
                                                 reasons_for(reasoner, facts, causes[i].cause))
                                   : brief_json(base, facts, causes[i]));
  } else {
    const std::vector<Reasons> every = all_reasons(reasoner, facts);
    for (const Ranked& ranked : causes)
      out["ranking"].push_back(
          ranked_json(reasoner, facts, ranked, every[static_cast<std::size_t>(ranked.cause)]));
  }
  out["pairs"] = Json::array();
  for (const RankedPair& pair : diagnosis.ranking.pairs)
    if (pair.probability >= 0.001)
      out["pairs"].push_back(
          {{"causes", {cause_of(base, pair.first).id, cause_of(base, pair.second).id}},
           {"probability", pair.probability}});
  out["gates"] = Json::array();
  for (const GateState& state : diagnosis.offers.gates) {
    Json missing = Json::array();
    for (const int fact : state.missing) missing.push_back(fact_of(base, fact).id);
    out["gates"].push_back({{"gate", base.gates[static_cast<std::size_t>(state.gate)].id},
                            {"passed", state.passed},
                            {"missing", missing}});
  }
  out["conflicts"] = Json::array();
  for (const Conflict& conflict : diagnosis.conflicts)
    out["conflicts"].push_back({{"part", conflict.part},
                                {"one_hz", conflict.one.mean},
                                {"other_hz", conflict.other.mean},
                                {"what", conflict.what}});
  const std::string end = end_of(base, facts, diagnosis);
  out["end"] = end.empty() ? Json(nullptr) : Json(end);
  out["closed"] = Json::array();
  for (const int c : facts.closed) out["closed"].push_back(cause_of(base, c).id);
  out["to_confirm"] = Json::array();
  for (const int c : confirming(base, facts, diagnosis))
    out["to_confirm"].push_back(base.checks[static_cast<std::size_t>(c)].id);
  out["repairs"] = Json::array();
  for (const int c : facts.verdicts) {
    const Repair& repair = base.repairs[static_cast<std::size_t>(cause_of(base, c).repair)];
    out["repairs"].push_back(
        {{"cause", cause_of(base, c).id},
         {"repair", repair.id},
         {"what", repair.what},
         {"minutes", repair.minutes},
         {"proof", cause_of(base, c).proof},
         {"still_open", still_open_json(base, diagnosis.ranking, cause_of(base, c).repair)},
         {"caution", repair.caution}});
  }
  out["next"] = Json::array();
  for (const PlannedStep& step : diagnosis.plan.next) {
    if (step.kind != Choice::Kind::check) continue;
    const Check& check = base.checks[static_cast<std::size_t>(step.check)];
    out["next"].push_back({{"check", check.id},
                           {"what", check.what},
                           {"by", std::string(name_of(check.by))},
                           {"minutes", step.minutes},
                           {"expected_minutes", step.expected},
                           {"why", why_next(diagnosis.plan, step)},
                           {"how", check.how},
                           {"caution", check.caution}});
  }
  out["unanswered"] = Json::array();
  for (const int fact : diagnosis.told.unanswered)
    out["unanswered"].push_back(fact_of(base, fact).id);
  return out;
}

}  // namespace perrev
