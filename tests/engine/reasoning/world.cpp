#include "tests/engine/reasoning/world.h"

#include <cstdio>

namespace perrev::testing {

namespace {

// Hexadecimal: no rounding hides a bit.
std::string bits(double value) {
  char text[48];
  std::snprintf(text, sizeof text, " %a", value);
  return text;
}

}  // namespace

std::string told_ranking(const Ranking& ranking) {
  std::string out = "round " + std::to_string(ranking.round) + bits(ranking.not_listed) +
                    bits(ranking.nothing_left) + "\n";
  for (const Ranked& r : ranking.causes)
    out += "cause " + std::to_string(r.cause) + bits(r.probability) + bits(r.alone) +
           (r.impossible ? " impossible" : "") + "\n";
  for (const RankedPair& p : ranking.pairs)
    out += "pair " + std::to_string(p.first) + " " + std::to_string(p.second) +
           bits(p.probability) + "\n";
  for (const double odds : ranking.log_odds) out += bits(odds);
  return out + "\n";
}

std::string told(const Reasoner& reasoner, const CaseFile& file) {
  const RuleBase& base = reasoner.base();
  const auto read = facts_of(file, base);
  if (!read) return read.error().front().what;
  const CaseFacts& facts = *read;
  const Ranking ranking = rank(reasoner, facts);
  std::string out = told_ranking(ranking);
  for (const Ranked& ranked : ranking.causes) {
    const Reasons reasons = reasons_for(reasoner, facts, ranked.cause);
    out += name_of(state_of(base, facts, ranked)) + bits(reasons.prior_decibans) + "\n";
    for (const Reason& reason : reasons.evidence) {
      const ReasonWords words = words_of(reasoner, facts, reasons, reason);
      out += std::to_string(reason.round) + bits(reason.weight_decibans) + " " +
             joined(words.facts) + " = " + joined(words.values) + ":";
      for (const int rule : words.rules) out += " " + base.rules[static_cast<std::size_t>(rule)].id;
      out += " " + words.because + "\n";
    }
  }
  for (const StopState& stop : facts.stops)
    out += "stop " + std::to_string(stop.fact) + " by " + file.entries()[stop.entry].id +
           (stop.lifted ? " lifted\n" : "\n");
  const Offers offers = offers_of(base, facts);
  for (const GateState& gate : offers.gates) {
    out += "gate " + std::to_string(gate.gate) + (gate.passed ? " passed" : "");
    for (const int fact : gate.missing) out += " " + std::to_string(fact);
    out += "\n";
  }
  const NextSteps next = next_steps(reasoner, facts, ranking, offers);
  for (const NextCheck& check : next.checks)
    out += "check " + std::to_string(check.check) + bits(check.bits) + bits(check.minutes) + " " +
           check.why + "\n";
  for (const int fact : next.unanswered) out += "ask " + std::to_string(fact) + "\n";
  for (std::size_t f = 0; f < base.facts.size(); ++f)
    for (const Outcome& outcome : outcomes(reasoner, facts, ranking, static_cast<int>(f), {0, 1})) {
      out += outcome.answer + bits(outcome.probability);
      for (const double after : outcome.causes_after) out += bits(after);
      out += "\n";
    }
  return out;
}

namespace {

const char* const kSmallStrengths = R"(
strengths: {some: 2.5, fair: 4, strong: 8}
usual_words: {rare: 3}
shares: {not_listed: 0.05, pairs: 0.10}
likely_from: 0.5
)";

const char* const kSmallFacts = R"(
loose:
  ask: Loose
  kind: yesno
  base: 0.02
  asked_at: [write_up, bay]
  clear: no
  stop: {answers: [yes], reason: Loose, caution: Do not drive, cleared_by: sound}
sound: {ask: Sound, kind: yesno, base: 0.9, asked_at: [bay], clear: yes}
)";

const char* const kSmallRepairs = R"(
mend_a: {what: Mend a, minutes: 10, parts: none, cures: [a], proof: Drive}
mend_b: {what: Mend b, minutes: 20, parts: none, cures: [b], proof: Drive}
)";

const char* const kSmallShop = R"(
setups: {hoist: {minutes: 4, what: On the hoist}}
equipment: {lamp: {what: A lamp, have: no}}
)";

}  // namespace

RuleBase small_base(const BaseText& text) {
  const auto file = [](const std::string& name, const std::string& content) {
    return SourceFile{name, name, content};
  };
  auto loaded = load_rule_base(
      {file("families.yaml", "tire: {name: Tire}\n"), file("strengths.yaml", kSmallStrengths),
       file("facts.yaml", kSmallFacts + text.facts), file("limits.yaml", text.limits),
       file("causes/all.yaml", text.causes), file("repairs.yaml", kSmallRepairs),
       file("evidence/all.yaml", text.rules), file("shop.yaml", kSmallShop),
       file("checks.yaml", text.checks), file("path.yaml", text.path)});
  if (!loaded) throw std::runtime_error(loaded.error().front().text());
  return std::move(loaded).value();
}

std::string cause_text(const std::string& id, double usual, const std::string& more) {
  return id + ": {name: Cause " + id + ", family: tire, usual: " + show_number(usual) +
         ", repair: mend_" + id + ", proof: Drive, shown_by: bay" +
         (more.empty() ? "" : ", " + more) + "}\n";
}

Entry says(const std::string& fact, const std::string& value, int at, Asker by) {
  Entry out;
  out.fact = fact;
  out.values = {value};
  out.at = minute(at);
  out.by = by;
  return out;
}

Entry says_unsure(const std::string& fact, int at, Asker by) {
  Entry out = says(fact, "", at, by);
  out.values.clear();
  out.unsure = true;
  return out;
}

Entry repaired(const std::string& repair, int at) {
  Entry out;
  out.kind = Entry::Kind::repair;
  out.repair = repair;
  out.done = true;
  out.at = minute(at);
  out.by = Asker::bay;
  return out;
}

CaseFile case_of(std::vector<Entry> entries) {
  CaseFile out;
  for (Entry& entry : entries) out.add(std::move(entry));
  return out;
}

}  // namespace perrev::testing
