#include "src/answers/diagnosis.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/casefile/vehicle_of.h"
#include "engine/providers/felt.h"
#include "engine/quantity/text.h"
#include "src/answers/diagnosis_parts.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr std::size_t kReasonsShown = 4;
constexpr std::size_t kNextShown = 5;
constexpr std::size_t kListed = 8;
constexpr double kLeastListed = 0.01;
constexpr double kLeastWeightShown = 0.5;  // decibans
constexpr double kExplains = 0.1;          // a confirmed cause below it is not the complaint's

std::string read_as(const ReasonWords& reason) {
  std::string out;
  for (std::size_t i = 0; i < reason.facts.size(); ++i)
    out += (i == 0 ? "" : "; ") + reason.facts[i] + ": " + reason.values[i];
  return spaced(out);
}

// Physics always goes by some kind of vehicle.
std::string assumed_text(const RuleBase& base, const CaseFacts& facts) {
  if (!answer_known(base, facts.now(), "vehicle_kind").empty()) return {};
  const std::vector<int> computed = FeltProvider().facts(base);
  const auto asked = [&](int fact) { return facts.now().asked(fact); };
  if (std::none_of(computed.begin(), computed.end(), asked)) return {};
  return wrapped("The kind of vehicle is not told: what is felt is computed for a " +
                     spaced(base.physics.bodies.front().id) + ".",
                 4, 6);
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
  if (state == CauseState::confirmed && ranked.probability < kExplains)
    right += "  shown; little else points to it";
  else if (state != CauseState::open)
    right += "  " + name_of(state);
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
    const std::string weight = decibans(ordered[i]->weight_decibans);
    const std::size_t indent = weight.size() < 10 ? 10 - weight.size() : 0;
    out += wrapped(weight + "  " + words.because + " [" + read_as(words) + "]", indent, 12);
  }
  if (all) out += wrapped("prior " + decibans(reasons.prior_decibans), 6, 12);
  if (most < ordered.size())
    out += "            and " + std::to_string(ordered.size() - most) + " smaller\n";
  return out;
}

}  // namespace

std::string still_open_words(const RuleBase& base, const Ranking& ranking, int repair) {
  std::string out;
  for (const StillOpen& open : still_open_after(base, ranking, repair))
    out += (out.empty() ? "After it stays open: " : "; ") + cause_of(base, open.cause).name + " (" +
           percent(open.probability) + ")";
  return out.empty() ? out : wrapped(out, 4, 6);
}

std::string repairs_text(const RuleBase& base, const CaseFacts& facts, const Ranking& ranking) {
  std::string out;
  for (const int c : facts.verdicts) {
    const Cause& cause = cause_of(base, c);
    const Repair& repair = base.repairs[static_cast<std::size_t>(cause.repair)];
    out +=
        wrapped("Repair: " + repair.what + " (" + show_number(repair.minutes) + " minutes)", 4, 6) +
        wrapped("Proof: " + cause.proof, 4, 6) + still_open_words(base, ranking, cause.repair);
    for (const std::string& caution : {repair.caution, cause.caution})
      if (!caution.empty()) out += wrapped("Caution: " + caution, 4, 6);
  }
  return out;
}

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
  out.plan = plan_of(planner, facts, out.ranking, out.offers, held_now(planner, file, facts));
  const std::size_t now = facts.rounds.size() - 1;
  out.conflicts =
      rotations(vehicle_of(reasoner.base(), facts, now), motion_of(reasoner.base(), facts, now))
          .conflicts;
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
  out += assumed_text(base, facts);
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
  out += "\nWhat to do next\n" + repairs_text(base, facts, diagnosis.ranking);
  std::size_t listed = 0;
  const std::vector<int> shows = confirming(base, facts, diagnosis);
  for (std::size_t i = 0; i < shows.size() && i < 2; ++i)
    out += check_text(base.checks[static_cast<std::size_t>(shows[i])],
                      std::to_string(++listed) + ". To show it or rule it out: ",
                      "\"" + cause_of(base, diagnosis.ranking.causes.front().cause).name +
                          "\" is probable, but nothing has shown it yet");
  if (is_proved(base, facts, diagnosis.ranking))
    return out + wrapped(end_words(base, "no_fault") + ".", 4, 4);
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
