#include <algorithm>

#include "engine/bench/explain_case.h"
#include "engine/quantity/text.h"
#include "src/answers/explain_parts.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

const Fact& fact_at(const RuleBase& base, int fact) {
  return base.facts[static_cast<std::size_t>(fact)];
}

std::string per_words(Per per) {
  switch (per) {
    case Per::wheel:
      return "read at each wheel";
    case Per::axle:
      return "read at each axle";
    case Per::shaft:
      return "read at each shaft";
    case Per::vehicle_case:
      break;
  }
  return "read once";
}

std::string ids_of(const Fact& fact, AnswerSet answers) {
  std::vector<std::string> ids;
  for (std::size_t i = 0; i < fact.answers.size(); ++i)
    if ((answers >> i) & 1u) ids.push_back(fact.answers[i].id);
  return joined(ids);
}

// Base rates are shown as a person writes them: of several, how often each is named.
std::string answers_text(const RuleBase& base, const Fact& fact, Units units) {
  std::string out;
  for (int k = 0; k < fact.variable_count; ++k) {
    const Variable& v = base.variables[static_cast<std::size_t>(fact.first_variable + k)];
    if (v.answer >= 0) {
      const Answer& answer = fact.answers[static_cast<std::size_t>(v.answer)];
      out += item(percent(v.base[1]) + "  " + with_id(answer.label, answer.id));
      continue;
    }
    for (int i = 0; i < v.size(); ++i) {
      const std::size_t at = static_cast<std::size_t>(i);
      out += item(percent(v.base[at]) + "  " +
                  (fact.answers.empty() ? base.answer_name(fact.first_variable + k, i, units)
                   : fact.answers[at].label == fact.answers[at].id
                       ? fact.answers[at].id
                       : with_id(fact.answers[at].label, fact.answers[at].id)));
    }
  }
  return out.empty() ? item("Any text.") : out;
}

Json answers_json(const RuleBase& base, const Fact& fact, Units units) {
  Json out = Json::array();
  for (int k = 0; k < fact.variable_count; ++k) {
    const Variable& v = base.variables[static_cast<std::size_t>(fact.first_variable + k)];
    if (v.answer >= 0) {
      const Answer& answer = fact.answers[static_cast<std::size_t>(v.answer)];
      out.push_back(
          {{"answer", answer.id}, {"label", answer.label}, {"base", six_digits(v.base[1])}});
      continue;
    }
    for (int i = 0; i < v.size(); ++i) {
      const std::size_t at = static_cast<std::size_t>(i);
      const std::string name = base.answer_name(fact.first_variable + k, i, units);
      out.push_back({{"answer", name},
                     {"label", fact.answers.empty() ? name : fact.answers[at].label},
                     {"base", six_digits(v.base[at])}});
    }
  }
  return out;
}

std::string limits_text(const RuleBase& base, const Fact& fact, Units units) {
  if (fact.limit < 0) return {};
  const Limit& limit = base.limits[static_cast<std::size_t>(fact.limit)];
  std::string out =
      heading("Its limit") + item(limit.lower_is_better ? "Lower is better." : "Higher is better.");
  if (limit.class_by >= 0)
    out += item("The class is picked by: " + fact_at(base, limit.class_by).ask + " [" +
                fact_at(base, limit.class_by).id + "]");
  for (const LimitClass& row : limit.classes)
    out += item(row.id + ": good to " + show_rounded(row.good, fact.unit, units) + ", bad from " +
                show_rounded(row.bad, fact.unit, units) + "; " + row.origin);
  return out;
}

std::string rule_line(const RuleBase& base, int rule) {
  const Rule& of = base.rules[static_cast<std::size_t>(rule)];
  std::string causes[2];
  for (const Rule::Effect& effect : of.effects) {
    std::string& side = causes[effect.log_ratio >= 0.0 ? 0 : 1];
    side += (side.empty() ? "" : ", ") + cause_id(base, effect.cause) + " " + said_strength(effect);
  }
  std::string out = item(with_id(of.because, of.id));
  if (!causes[0].empty()) out += wrapped("for " + causes[0], 8, 10);
  if (!causes[1].empty()) out += wrapped("against " + causes[1], 8, 10);
  return out;
}

std::string uses_text(const RuleBase& base, int fact, const FactUse& use, Units units) {
  std::string out = heading("Checks that learn it");
  if (use.checks.empty()) out += item("None.");
  for (const int c : use.checks) {
    const Check& check = base.checks[static_cast<std::size_t>(c)];
    out += item(with_id(check.what, check.id) + ", " + show_number(check.minutes) + " minutes");
  }
  out += heading("Rules that read it");
  if (use.rules.empty()) out += item("None.");
  for (const int rule : use.rules) out += rule_line(base, rule);
  out += computed_for_text(base, fact);
  if (use.computed)
    out += heading("Computed with it") +
           item("How fast each part turns, and what a frequency says of it.");
  const auto list = [&](const char* words, const std::vector<std::string>& ids) {
    if (!ids.empty()) out += heading(words) + item(joined(ids));
  };
  std::vector<std::string> needing, gates, facts, limits, verdicts;
  for (const int c : use.causes) needing.push_back(cause_id(base, c));
  for (const int g : use.gates) gates.push_back(base.gates[static_cast<std::size_t>(g)].id);
  for (const int f : use.facts) facts.push_back(fact_at(base, f).id);
  for (const int l : use.limits)
    limits.push_back(fact_at(base, base.limits[static_cast<std::size_t>(l)].fact).id);
  for (const int c : use.verdicts) verdicts.push_back(base.checks[static_cast<std::size_t>(c)].id);
  list("Causes that it speaks of", needing);
  list("Gates that ask it", gates);
  list("Facts asked only where it does not speak against them", facts);
  list("Limits whose class it picks", limits);
  list("Checks that show a cause by it", verdicts);
  if (!use.edges.empty()) out += heading("Edges of the path that read it");
  for (const int edge : use.edges) out += edge_text(base, edge, units);
  return out;
}

std::string place_words(const Fact& fact, int place) {
  return place < 0 ? std::string()
                   : spaced(places_of(fact.per)[static_cast<std::size_t>(place)]) + ": ";
}

std::string entry_words(const Entry& entry) {
  return "entry " + entry.id + ", " + spaced(name_of(entry.by)) + ", " + entry.at;
}

std::string value_words(const Entry& entry) {
  return entry.unsure ? std::string("unsure") : joined(entry.values);
}

std::string in_case_text(const Explainer& with, int fact) {
  const RuleBase& base = with.base();
  const CaseFacts& facts = with.open->facts;
  const Fact& of = fact_at(base, fact);
  const std::vector<Entry>& entries = with.open->file.entries();
  std::string out = case_heading(*with.open);
  const std::vector<EntryStanding> standings = standings_of(base, with.open->file, facts, fact);
  if (standings.empty()) out += item("Nothing is entered about it.");
  int shown = -1;
  for (const EntryStanding& each : standings) {
    if (each.round != shown && each.round >= 0 && !of.lasts_with_vehicle)
      out += round_heading(base, facts, static_cast<std::size_t>(each.round));
    shown = each.round;
    const Entry& entry = entries[each.entry];
    std::string text = place_words(of, each.place) + value_words(entry) + " (" +
                       entry_words(entry) + "): " + words_of(each.why);
    if (each.why != EntryStanding::Why::counts) text += " (entry " + entries[each.other].id + ")";
    if (each.why == EntryStanding::Why::counts && of.kind == FactKind::number) {
      const Reading& reading =
          *facts.rounds[static_cast<std::size_t>(each.round)].find(fact, each.place);
      if (!reading.unsure && reading.numbers.size() > 1)
        text += ", as the median " + show(reading.number, of.unit, with.units);
      if (!reading.unsure)
        text += reading.answers[0] < 0
                    ? ", between the edges of its limit"
                    : ", read as " +
                          base.answer_name(of.first_variable, reading.answers[0], with.units);
    }
    out += item(text);
  }
  for (const StopState& stop : facts.stops)
    if (stop.fact == fact)
      out += item(std::string("Its stop ") + (stop.lifted ? "was lifted" : "holds") +
                  ", by entry " + entries[stop.entry].id + ".");
  return out;
}

Json in_case_json(const Explainer& with, int fact) {
  const RuleBase& base = with.base();
  const Fact& of = fact_at(base, fact);
  const std::vector<Entry>& entries = with.open->file.entries();
  Json out = Json::array();
  for (const EntryStanding& each : standings_of(base, with.open->file, with.open->facts, fact)) {
    const Entry& entry = entries[each.entry];
    const bool counts = each.why == EntryStanding::Why::counts;
    out.push_back(
        {{"entry", entry.id},
         {"at", entry.at},
         {"by", name_of(entry.by)},
         {"place",
          each.place < 0 ? Json() : Json(places_of(of.per)[static_cast<std::size_t>(each.place)])},
         {"round", each.round < 0 ? Json() : Json(each.round)},
         {"value", value_words(entry)},
         {"counts", counts},
         {"why", words_of(each.why)},
         {"because_of_entry", counts ? Json() : Json(entries[each.other].id)}});
  }
  return {{"entries", out}};
}

Json stop_json(const RuleBase& base, const Fact& fact) {
  if (!fact.stop) return nullptr;
  return {{"answers", ids_of(fact, fact.stop->answers)},
          {"reason", fact.stop->reason},
          {"caution", fact.stop->caution},
          {"cleared_by", fact_at(base, fact.stop->cleared_by).id}};
}

}  // namespace

std::string fact_text(const Explainer& with, int fact) {
  const RuleBase& base = with.base();
  const Fact& of = fact_at(base, fact);
  std::vector<std::string> askers;
  for (const Asker asker : of.asked_at) askers.push_back(spaced(name_of(asker)));
  std::string out = title("Fact", of.ask, of.id, of.place) +
                    item(std::string("Kind: ") + std::string(name_of(of.kind)) + "; " +
                         per_words(of.per) + "; asked at " + joined(askers) + "; lasts " +
                         (of.lasts_with_vehicle ? "with the vehicle" : "for its round"));
  if (of.variable_count > 0)
    out += item(of.together_any ? "Of two faults at once either alone would show it."
                                : "Two faults at once answer it half and half.");
  out += labelled("How", of.how);
  if (of.kind == FactKind::number)
    out += item("From " + show_rounded(of.low, of.unit, with.units) + " to " +
                show_rounded(of.high, of.unit, with.units));
  if (of.after_repair) out += item("Asked only once a repair was done.");
  if (!facts_in(base, of.asked_if).empty())
    out +=
        item("Asked unless this is known to be false: " + in_words(base, of.asked_if, with.units));
  if (of.clear) out += item("Lets a gate pass: " + ids_of(of, of.clear));
  if (of.stop)
    out += item("STOP at " + ids_of(of, of.stop->answers) + ": " + of.stop->reason) +
           wrapped(of.stop->caution, 8, 8) +
           wrapped("Lifted by: " + fact_at(base, of.stop->cleared_by).ask + " [" +
                       fact_at(base, of.stop->cleared_by).id + "]",
                   8, 8);
  out += heading("Answers, and how often they are given when the cause is not listed") +
         answers_text(base, of, with.units) + limits_text(base, of, with.units);
  if (with.open) out += in_case_text(with, fact);
  const FactUse use = use_of(base, fact);
  return out + uses_text(base, fact, use, with.units) +
         (use.rules.empty() ? std::string() : strengths_text(base));
}

Json fact_json(const Explainer& with, int fact) {
  const RuleBase& base = with.base();
  const Fact& of = fact_at(base, fact);
  const FactUse use = use_of(base, fact);
  Json askers = Json::array(), checks = Json::array(), rules = Json::array(),
       causes = Json::array(), edges = Json::array(), gates = Json::array(), limits = Json::array();
  for (const Asker asker : of.asked_at) askers.push_back(name_of(asker));
  for (const int c : use.checks) {
    const Check& check = base.checks[static_cast<std::size_t>(c)];
    checks.push_back({{"check", check.id}, {"minutes", check.minutes}});
  }
  for (const int r : use.rules) {
    const Rule& rule = base.rules[static_cast<std::size_t>(r)];
    Json effects = Json::array();
    for (const Rule::Effect& effect : rule.effects) {
      Json made = {{"cause", cause_id(base, effect.cause)}};
      made.update(effect_json(effect));
      effects.push_back(std::move(made));
    }
    rules.push_back({{"rule", rule.id}, {"effects", effects}});
  }
  for (const int c : use.causes) causes.push_back(cause_id(base, c));
  for (const int e : use.edges) edges.push_back(edge_json(base, e, with.units));
  for (const int g : use.gates) gates.push_back(base.gates[static_cast<std::size_t>(g)].id);
  if (of.limit >= 0)
    for (const LimitClass& row : base.limits[static_cast<std::size_t>(of.limit)].classes)
      limits.push_back({{"class", row.id},
                        {"good", show(row.good, of.unit, with.units)},
                        {"bad", show(row.bad, of.unit, with.units)},
                        {"origin", row.origin}});
  const bool asks_first = !facts_in(base, of.asked_if).empty();
  Json out = {{"ask", of.ask},
              {"place", place_json(of.place)},
              {"fact_kind", name_of(of.kind)},
              {"asked_at", askers},
              {"per", of.per == Per::vehicle_case ? "case"
                      : of.per == Per::wheel      ? "wheel"
                      : of.per == Per::axle       ? "axle"
                                                  : "shaft"},
              {"lasts", of.lasts_with_vehicle ? "vehicle" : "round"},
              {"asked_if", asks_first ? Json(in_words(base, of.asked_if, with.units)) : Json()},
              {"stop", stop_json(base, of)},
              {"answers", answers_json(base, of, with.units)},
              {"limits", limits},
              {"checks", checks},
              {"rules", rules},
              {"computed", use.computed},
              {"computed_for", computed_for_json(base, fact)},
              {"causes", causes},
              {"gates", gates},
              {"edges", edges},
              {"strengths", strengths_json(base)}};
  if (with.open) out["in_case"] = in_case_json(with, fact);
  return out;
}

}  // namespace perrev
