#include "src/answers/explain_parts.h"

#include <algorithm>
#include <cmath>

#include "engine/knowledge/record.h"
#include "engine/quantity/text.h"
#include "src/answers/words.h"

namespace perrev {

namespace {
constexpr std::size_t kIndent = 4;
}  // namespace

std::string title(const std::string& kind, const std::string& name, const std::string& id,
                  const Place& place) {
  std::string out = wrapped(kind + ": " + (name.empty() ? id : with_id(name, id)), 0, kIndent);
  if (!place.file.empty())
    out += wrapped(place.file + ":" + std::to_string(place.line), kIndent, kIndent);
  return out;
}

std::string heading(const std::string& words) { return "\n" + wrapped(words, 0, kIndent); }

std::string item(const std::string& text) { return wrapped(text, kIndent, kIndent + 4); }

std::string labelled(const std::string& label, const std::string& text) {
  return text.empty() ? text : wrapped(label + ": " + text, kIndent, kIndent + 4);
}

std::string with_id(const std::string& name, const std::string& id) {
  return name + " [" + id + "]";
}

std::string with_id(const RuleBase& base, int cause) {
  return with_id(cause_name(base, cause), cause_id(base, cause));
}

Json place_json(const Place& place) { return {{"file", place.file}, {"line", place.line}}; }

namespace {

std::string truth_words(const std::vector<Truth>& truths) {
  const bool same = std::all_of(truths.begin(), truths.end(),
                                [&](Truth truth) { return truth == truths.front(); });
  return same ? name_of(truths.front()) : "differs";
}

std::string by_place(const std::vector<Truth>& truths, const std::vector<std::string>& places) {
  std::string out;
  for (std::size_t i = 0; i < truths.size(); ++i)
    out += (i == 0 ? "" : ", ") + spaced(places[i]) + " " + name_of(truths[i]);
  return out;
}

std::string part_words(const ConditionPart& part) {
  return part.ids.empty() ? part.words : with_id(part.words, part.ids);
}

}  // namespace

std::string condition_text(const RuleBase& base, const Condition& condition, Units units) {
  std::string out;
  for (const ConditionPart& part : parts_of(base, condition, units)) {
    const std::size_t indent = kIndent + 2 * static_cast<std::size_t>(part.depth);
    out += wrapped((part.depth > 0 ? "- " : "") + part_words(part), indent, indent + 2);
  }
  return out;
}

std::string condition_text(const RuleBase& base, const Condition& condition, Units units,
                           const std::vector<std::vector<Truth>>& truths,
                           const std::vector<std::string>& places) {
  constexpr std::size_t kColumn = kIndent + 9;
  std::string out;
  const std::vector<ConditionPart> parts = parts_of(base, condition, units);
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const std::size_t indent = kColumn + 2 * static_cast<std::size_t>(parts[i].depth);
    const std::string state = truth_words(truths[i]);
    std::string lines = wrapped(part_words(parts[i]), indent, indent + 2);
    out += lines.replace(kIndent, state.size(), state);
    if (state == "differs") out += wrapped(by_place(truths[i], places), indent + 2, indent + 2);
  }
  return out;
}

Json part_json(const RuleBase& base, const ConditionPart& part) {
  return {
      {"depth", part.depth},
      {"words", part.words},
      {"ids", part.ids},
      {"fact", part.fact < 0 ? Json() : Json(base.facts[static_cast<std::size_t>(part.fact)].id)}};
}

Json condition_json(const RuleBase& base, const Condition& condition, Units units) {
  Json out = Json::array();
  for (const ConditionPart& part : parts_of(base, condition, units))
    out.push_back(part_json(base, part));
  return out;
}

std::string strength_of(const Rule::Effect& effect) {
  const bool in_favour = effect.log_ratio >= 0.0;
  const std::string odds = std::string("odds ") + (in_favour ? "times " : "divided by ") +
                           show_number(six_digits(std::exp(std::abs(effect.log_ratio))));
  const std::string side = in_favour ? "for, " : "against, ";
  return side + (is_id(effect.strength) ? spaced(effect.strength) + " (" + odds + ")" : odds);
}

Json effect_json(const Rule::Effect& effect) {
  return {{"side", effect.log_ratio >= 0.0 ? "for" : "against"},
          {"strength", effect.strength},
          {"odds_ratio", six_digits(std::exp(effect.log_ratio))},
          {"decibans", six_digits(decibans_of(effect.log_ratio))}};
}

std::string strengths_text(const RuleBase& base) {
  std::string out = heading(
      "What the strength words mean: how many times the odds of an answer grow with the cause "
      "(against: shrink), and that in decibans");
  for (const NumberWord& word : base.strengths) {
    std::string line(kIndent, ' ');
    line += spaced(word.word);
    line.resize(std::max<std::size_t>(line.size() + 2, 20), ' ');
    line += "times " + show_number(six_digits(word.number));
    line.resize(std::max<std::size_t>(line.size() + 2, 34), ' ');
    out += line + decibans(decibans_of(std::log(word.number))) + "\n";
  }
  return out;
}

Json strengths_json(const RuleBase& base) {
  Json out = Json::array();
  for (const NumberWord& word : base.strengths)
    out.push_back({{"strength", word.word},
                   {"odds_ratio", six_digits(word.number)},
                   {"decibans", six_digits(decibans_of(std::log(word.number)))}});
  return out;
}

std::string edge_words(const RuleBase& base, const PathEdge& edge, Units units) {
  const bool free = edge.when.kind == Condition::Kind::all && edge.when.parts.empty();
  if (edge.passed) return free ? "passed" : "passed, and " + in_words(base, edge.when, units);
  return in_words(base, edge.when, units);
}

std::string vertex_words(const RuleBase& base, int vertex) {
  std::string id = base.vertex_name(vertex);
  if (vertex == 0) return id;
  const std::size_t v = static_cast<std::size_t>(vertex);
  const std::size_t gate = static_cast<std::size_t>(base.vertex_of_gate(0));
  const std::size_t end = static_cast<std::size_t>(base.vertex_of_end(0));
  if (v < gate) return with_id(base.checks[v - 1].what, id);
  return v < end ? with_id("gate: " + base.gates[v - gate].what, id)
                 : with_id("end: " + base.ends[v - end].what, id);
}

std::string edge_text(const RuleBase& base, int edge, Units units) {
  const PathEdge& of = base.edges[static_cast<std::size_t>(edge)];
  return item("from " + base.vertex_name(of.from) + " to " + base.vertex_name(of.to) + ": " +
              edge_words(base, of, units));
}

Json edge_json(const RuleBase& base, int edge, Units units) {
  const PathEdge& of = base.edges[static_cast<std::size_t>(edge)];
  return {{"from", base.vertex_name(of.from)},
          {"to", base.vertex_name(of.to)},
          {"passed", of.passed},
          {"when", edge_words(base, of, units)},
          {"place", place_json(of.place)}};
}

std::string case_heading(const OpenCase& open) {
  const std::string& label = open.file.label();
  return heading("In this case" + (label.empty() ? std::string() : ": " + label));
}

std::string round_heading(const RuleBase& base, const CaseFacts& facts, std::size_t round) {
  if (facts.rounds.size() == 1) return {};
  std::string out = "Round " + std::to_string(round + 1);
  for (const int repair : facts.rounds[round].opened_by)
    out += ", after: " + base.repairs[static_cast<std::size_t>(repair)].what;
  return wrapped(out, 2, 4);
}

}  // namespace perrev
