#include "src/commands/diagnosis.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <set>

#include "engine/casefile/vehicle_of.h"
#include "src/commands/common.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {

constexpr std::size_t kReasonsShown = 4;
constexpr std::size_t kNextShown = 5;
constexpr std::size_t kListed = 8;
constexpr double kLeastListed = 0.01;
constexpr double kWorthDoing = 0.01;       // bits
constexpr double kLeastWeightShown = 0.5;  // decibans

const Cause& cause_of(const RuleBase& base, int cause) {
  return base.causes[static_cast<std::size_t>(cause)];
}
const Fact& fact_of(const RuleBase& base, int fact) {
  return base.facts[static_cast<std::size_t>(fact)];
}

std::string signed_number(double value) {
  char shown[32];
  if (std::isinf(value)) return "never";
  std::snprintf(shown, sizeof shown, "%+.1f", value);
  return shown;
}

std::string read_as(const ReasonWords& reason) {
  std::string out;
  for (std::size_t i = 0; i < reason.facts.size(); ++i)
    out += (i == 0 ? "" : "; ") + reason.facts[i] + ": " + reason.values[i];
  std::replace(out.begin(), out.end(), '_', ' ');
  return out;
}

bool asked_now(const RuleBase& base, const CaseFacts& facts, const char* id) {
  const int fact = base.fact_index(id);
  return fact >= 0 && facts.now().asked(fact);
}

// Where the case stands: what is shown to be wrong or right, or that it has to go to somebody else.
std::string end_of(const RuleBase& base, const CaseFacts& facts, const Diagnosis& diagnosis) {
  if (!facts.verdicts.empty()) return "verdict";
  if (diagnosis.ranking.nothing_left > base.likely_from && asked_now(base, facts, "complaint_now"))
    return "no_fault";
  const std::vector<NextCheck>& next = diagnosis.told.checks;
  const bool more = std::any_of(next.begin(), next.end(),
                                [](const NextCheck& n) { return n.bits >= kWorthDoing; });
  const bool unlisted = diagnosis.ranking.not_listed > diagnosis.ranking.causes.front().probability;
  return unlisted || !more ? "referral" : "";
}

std::string end_words(const RuleBase& base, const std::string& id) {
  for (const PathEnd& end : base.ends)
    if (end.id == id) return end.what;
  return {};
}

// Checks that would show the leading cause, as long as it is probable and not shown: offered ones,
// else those that the path will offer once cheaper ones are done.
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

// Why a step stands where it stands in a plan.
std::string why_next(const Plan& plan, const PlannedStep& step) {
  std::string out = minutes_words(step.minutes) + "; ";
  if (step.expected > plan.expected)
    return out + minutes_words(step.expected - plan.expected) +
           " more to expect than with the first";
  return out + minutes_words(std::max(0.0, plan.repair_at_once - step.expected)) +
         " fewer to expect than without it";
}

std::string check_text(const Check& check, const std::string& head, const std::string& why) {
  std::string out = wrapped(head + check.what, 1, 4);
  if (!why.empty()) out += wrapped(why, 4, 4);
  if (!check.how.empty()) out += wrapped("How: " + check.how, 4, 4);
  if (!check.caution.empty()) out += wrapped("Caution: " + check.caution, 4, 4);
  return out;
}

std::string cause_line(const RuleBase& base, const CaseFacts& facts, const Ranked& ranked,
                       std::size_t number) {
  const CauseState state = state_of(base, facts, ranked);
  std::string left =
      (number < 10 ? " " : "") + std::to_string(number) + ". " + cause_of(base, ranked.cause).name;
  std::string right = percent(ranked.probability);
  if (state != CauseState::open) right += "  " + name_of(state);
  if (left.size() + right.size() + 2 > kColumns) return left + "\n    " + right + "\n";
  const std::size_t column = 60;
  left += std::string(left.size() + 2 < column ? column - left.size() : 2, ' ');
  if (left.size() + right.size() > kColumns) left.resize(kColumns - right.size());
  return left + right + "\n";
}

std::string reasons_text(const Reasoner& reasoner, const CaseFacts& facts, int cause, bool all,
                         Units units) {
  const Reasons reasons = reasons_for(reasoner, facts, cause);
  std::vector<const Reason*> ordered;
  for (const Reason& reason : reasons.evidence)
    if (all || std::abs(reason.weight_decibans) >= kLeastWeightShown) ordered.push_back(&reason);
  // They stand in one list, so that equal weights keep the order of the facts.
  std::sort(ordered.begin(), ordered.end(), [](const Reason* a, const Reason* b) {
    const double x = std::abs(a->weight_decibans), y = std::abs(b->weight_decibans);
    return x != y ? x > y : a < b;
  });
  std::string out;
  const std::size_t most = all ? ordered.size() : std::min(ordered.size(), kReasonsShown);
  for (std::size_t i = 0; i < most; ++i) {
    const ReasonWords words = words_of(reasoner, facts, reasons, *ordered[i], units);
    const std::string weight = signed_number(ordered[i]->weight_decibans);
    const std::size_t indent = weight.size() < 10 ? 10 - weight.size() : 0;
    out += wrapped(weight + "  " + words.because + " [" + read_as(words) + "]", indent, 12);
  }
  if (all) out += wrapped("prior " + signed_number(reasons.prior_decibans), 6, 12);
  if (most < ordered.size())
    out += "            and " + std::to_string(ordered.size() - most) + " smaller\n";
  return out;
}

// What is confirmed and not repaired yet: the repair, its proof and its caution.
std::string repairs_text(const RuleBase& base, const CaseFacts& facts) {
  std::string out;
  for (const int c : facts.verdicts) {
    const Cause& cause = cause_of(base, c);
    const Repair& repair = base.repairs[static_cast<std::size_t>(cause.repair)];
    out +=
        wrapped("Repair: " + repair.what + " (" + show_number(repair.minutes) + " minutes)", 4, 6) +
        wrapped("Proof: " + cause.proof, 4, 6);
    for (const std::string& caution : {repair.caution, cause.caution})
      if (!caution.empty()) out += wrapped("Caution: " + caution, 4, 6);
  }
  return out;
}

}  // namespace

std::vector<int> missing_for_drive(const RuleBase& base, const Offers& offers) {
  std::vector<int> out;
  for (const GateState& state : offers.gates)
    if (base.gates[static_cast<std::size_t>(state.gate)].guards_driving)
      for (const int fact : state.missing)
        if (fact_of(base, fact).is_asked_at(Asker::write_up) &&
            std::find(out.begin(), out.end(), fact) == out.end())
          out.push_back(fact);
  return out;
}

std::string words_of(const RuleBase& base, const PlannedStep& step) {
  switch (step.kind) {
    case Choice::Kind::check:
      return base.checks[static_cast<std::size_t>(step.check)].what;
    case Choice::Kind::repair: {
      if (step.repairs.empty()) return "Drive the same road again: nothing may be wrong any more";
      std::string out;
      for (const int r : step.repairs)
        out +=
            (out.empty() ? "Repair: " : ", and: ") + base.repairs[static_cast<std::size_t>(r)].what;
      return out;
    }
    case Choice::Kind::hand_on:
      break;
  }
  return "Hand it on to a specialist, with what is known";
}

std::string minutes_words(double minutes) {
  const double shown = minutes < 10.0 ? std::round(minutes * 10.0) / 10.0 : std::round(minutes);
  return show_number(shown) + (shown == 1.0 ? " minute" : " minutes");
}

Diagnosis diagnose(const Planner& planner, const CaseFile& file, const CaseFacts& facts) {
  const Reasoner& reasoner = planner.reasoner();
  Diagnosis out;
  out.ranking = rank(reasoner, facts);
  out.offers = offers_of(reasoner.base(), facts);
  out.told = next_steps(reasoner, facts, out.ranking, out.offers);
  out.plan = plan_of(planner, facts, out.ranking, out.offers, held_now(planner, file));
  const std::size_t now = facts.rounds.size() - 1;
  out.conflicts =
      rotations(vehicle_of(reasoner.base(), facts, now), motion_of(reasoner.base(), facts, now))
          .conflicts;
  return out;
}

Json to_json(const Reasoner& reasoner, const CaseFile& file, const CaseFacts& facts,
             const Diagnosis& diagnosis) {
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
  const std::vector<Reasons> every = all_reasons(reasoner, facts);
  for (const Ranked& ranked : diagnosis.ranking.causes) {
    const Reasons& reasons = every[static_cast<std::size_t>(ranked.cause)];
    Json evidence = Json::array();
    for (const Reason& reason : reasons.evidence) {
      const ReasonWords words = words_of(reasoner, facts, reasons, reason);
      Json rules = Json::array();
      for (const int rule : words.rules)
        rules.push_back(base.rules[static_cast<std::size_t>(rule)].id);
      const bool never = std::isinf(reason.weight_decibans);
      evidence.push_back(
          {{"round", reason.round + 1},
           {"facts", words.facts},
           {"values", words.values},
           {"rules", rules},
           {"provider", reason.provider ? Json(reason.provider->name()) : Json(nullptr)},
           {"weight_decibans", never ? Json(nullptr) : Json(reason.weight_decibans)},
           {"because", words.because},
           {"origins", words.origins}});
    }
    out["ranking"].push_back({{"cause", cause_of(base, ranked.cause).id},
                              {"name", cause_of(base, ranked.cause).name},
                              {"probability", ranked.probability},
                              {"alone", ranked.alone},
                              {"state", name_of(state_of(base, facts, ranked))},
                              {"prior_decibans", reasons.prior_decibans},
                              {"evidence", evidence}});
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
    out["repairs"].push_back({{"cause", cause_of(base, c).id},
                              {"repair", repair.id},
                              {"what", repair.what},
                              {"minutes", repair.minutes},
                              {"proof", cause_of(base, c).proof},
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

std::string stops_text(const RuleBase& base, const CaseFacts& facts) {
  std::string out;
  for (const StopState& state : facts.stops) {
    if (state.lifted) continue;
    const StopRule& stop = *fact_of(base, state.fact).stop;
    out +=
        wrapped("STOP: " + stop.reason, 0, 6) + wrapped(stop.caution, 6, 6) +
        wrapped("Lifted only when the bay can answer: " + fact_of(base, stop.cleared_by).ask, 6, 6);
  }
  return out;
}

std::string to_text(const Reasoner& reasoner, const CaseFile& file, const CaseFacts& facts,
                    const Diagnosis& diagnosis, std::size_t shown, Units units) {
  const RuleBase& base = reasoner.base();
  std::string out;
  if (!file.label().empty()) out += wrapped(file.label(), 0, 2);
  if (diagnosis.ranking.round > 0) {
    const int repair = facts.now().opened_by.front();
    out += wrapped("Round " + std::to_string(diagnosis.ranking.round + 1) +
                       ", after: " + base.repairs[static_cast<std::size_t>(repair)].what,
                   0, 2);
  }
  if (!facts.closed.empty()) {
    std::string names;
    for (const int c : facts.closed) names += (names.empty() ? "" : "; ") + cause_of(base, c).name;
    out += wrapped("Closed: " + names, 0, 2);
  }
  const std::string stops = stops_text(base, facts);
  if (!stops.empty()) out += "\n" + stops;
  for (const Conflict& conflict : diagnosis.conflicts)
    out += "\n" + wrapped("These cannot all be true: " + conflict.what, 0, 2);

  out += "\nWhat it can be (weights in decibans, against a cause that is not listed)\n";
  std::size_t number = 0;
  for (const Ranked& ranked : diagnosis.ranking.causes) {
    const bool confirmed = state_of(base, facts, ranked) == CauseState::confirmed;
    if (!confirmed && shown > 0 &&
        (number >= kListed || (number > 0 && ranked.probability < kLeastListed)))
      break;
    if (shown == 0 && ranked.probability <= 0.0) break;
    out += cause_line(base, facts, ranked, ++number);
    if (shown == 0 || number <= shown)
      out += reasons_text(reasoner, facts, ranked.cause, shown == 0, units);
  }
  if (diagnosis.ranking.nothing_left >= kLeastListed)
    out += "    Nothing is wrong any more: " + percent(diagnosis.ranking.nothing_left) +
           (asked_now(base, facts, "complaint_now") ? "\n"
                                                    : ", not proved before it is driven again\n");
  out += "    Something that is not listed: " + percent(diagnosis.ranking.not_listed) + "\n";
  for (const RankedPair& pair : diagnosis.ranking.pairs) {
    if (pair.probability < 0.05) break;
    out += wrapped("Two at once: " + cause_of(base, pair.first).name + ", and " +
                       cause_of(base, pair.second).name + ": " + percent(pair.probability),
                   4, 6);
  }

  const std::string end = end_of(base, facts, diagnosis);
  const std::vector<int> missing = missing_for_drive(base, diagnosis.offers);
  if (!missing.empty() && stops.empty() && end != "no_fault") {
    out += "\nBefore anybody drives it, ask:\n";
    for (const int fact : missing) out += wrapped("- " + fact_of(base, fact).ask, 2, 4);
  }
  out += "\nWhat to do next\n" + repairs_text(base, facts);
  std::size_t listed = 0;
  const std::vector<int> shows = confirming(base, facts, diagnosis);
  for (std::size_t i = 0; i < shows.size() && i < 2; ++i)
    out += check_text(base.checks[static_cast<std::size_t>(shows[i])],
                      std::to_string(++listed) + ". To show it or rule it out: ",
                      "\"" + cause_of(base, diagnosis.ranking.causes.front().cause).name +
                          "\" is probable, but nothing has shown it yet");
  for (const PlannedStep& step : diagnosis.plan.next) {
    // What stands behind a repair or handing on is not worth its minutes.
    if (listed == kNextShown || step.kind == Choice::Kind::hand_on) break;
    if (step.kind == Choice::Kind::repair) {
      if (facts.verdicts.empty())
        out += wrapped(std::to_string(++listed) + ". " + words_of(base, step) + " (" +
                           minutes_words(step.minutes) + "): " + percent(step.cures) +
                           " that it is right then. Nothing has shown it; the drive decides.",
                       1, 4);
      break;
    }
    if (std::find(shows.begin(), shows.end(), step.check) != shows.end()) continue;
    out += check_text(base.checks[static_cast<std::size_t>(step.check)],
                      std::to_string(++listed) + ". ", why_next(diagnosis.plan, step));
  }
  if (end == "no_fault" || (end == "referral" && shows.empty()))
    out += wrapped(end_words(base, end) + ".", 4, 4);
  return out;
}

}  // namespace perrev
