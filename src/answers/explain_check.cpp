#include <algorithm>

#include "engine/quantity/text.h"
#include "engine/reasoning/offers.h"
#include "src/answers/explain_parts.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

const Check& check_at(const RuleBase& base, int check) {
  return base.checks[static_cast<std::size_t>(check)];
}

std::string moves_words(Moves moves) {
  return moves == Moves::no    ? "the vehicle stands still"
         : moves == Moves::yes ? "the vehicle moves"
                               : "wheels spin";
}

std::vector<int> edges_from(const RuleBase& base, int vertex) {
  std::vector<int> out;
  for (std::size_t e = 0; e < base.edges.size(); ++e)
    if (base.edges[e].from == vertex) out.push_back(static_cast<int>(e));
  return out;
}

const std::vector<int>& edges_to(const RuleBase& base, int vertex) {
  return base.incoming[static_cast<std::size_t>(vertex)];
}

struct StandingNow {
  bool done = false, not_possible = false, offered = false;
};

StandingNow standing(const RuleBase& base, const CaseFacts& facts, int check) {
  const Offers offers = offers_of(base, facts);
  return {
      is_done(base, facts.now(), check),
      std::binary_search(facts.now().not_possible.begin(), facts.now().not_possible.end(), check),
      std::binary_search(offers.checks.begin(), offers.checks.end(), check)};
}

std::string in_case_text(const Explainer& with, int check) {
  const RuleBase& base = with.base();
  const CaseFacts& facts = with.open->facts;
  const Check& of = check_at(base, check);
  const StandingNow now = standing(base, facts, check);
  std::string out = case_heading(*with.open);
  out += item(now.not_possible ? "It was entered as not possible."
              : now.done       ? "It is done: each fact it learns is answered."
              : now.offered    ? "It is offered now."
                               : "It is not offered now.");
  if (now.done || now.offered) return out;
  if (of.moves != Moves::no && facts.stopped()) out += item("A stop holds: nothing moves.");
  const Offers offers = offers_of(base, facts);
  for (const int g : base.guards[static_cast<std::size_t>(check)]) {
    const GateState& gate = offers.gates[static_cast<std::size_t>(g)];
    std::vector<std::string> missing;
    for (const int fact : gate.missing)
      missing.push_back(base.facts[static_cast<std::size_t>(fact)].id);
    if (!gate.passed)
      out += item("The gate " + base.gates[static_cast<std::size_t>(g)].id +
                  " is not passed; not clear: " + joined(missing));
  }
  for (const int thing : of.equipment)
    if (!base.equipment[static_cast<std::size_t>(thing)].have)
      out += item("The shop lacks: " + base.equipment[static_cast<std::size_t>(thing)].what);
  const Truth asked = truth_somewhere(base, of.asked_if, facts.now().answers);
  if (asked == Truth::no)
    out += item("It does not apply: " + in_words(base, of.asked_if, with.units));
  for (const int e : edges_to(base, base.vertex_of_check(check))) {
    const PathEdge& edge = base.edges[static_cast<std::size_t>(e)];
    const int gate = edge.from - base.vertex_of_gate(0);
    std::string state;
    if (edge.from > 0 && gate < 0)
      state = is_done(base, facts.now(), edge.from - 1) ? " (done)" : " (not done)";
    if (gate >= 0)
      state = offers.gates[static_cast<std::size_t>(gate)].passed ? " (passed)" : " (not passed)";
    out += item("From " + base.vertex_name(edge.from) + state);
    if (!facts_in(base, edge.when).empty())
      out += wrapped("when " + in_words(base, edge.when, with.units) + ": " +
                         name_of(truth_somewhere(base, edge.when, facts.now().answers)),
                     8, 10);
  }
  return out;
}

Json gates_json(const RuleBase& base, const Offers& offers, int check) {
  Json out = Json::array();
  for (const int g : base.guards[static_cast<std::size_t>(check)]) {
    const GateState& gate = offers.gates[static_cast<std::size_t>(g)];
    Json missing = Json::array();
    for (const int fact : gate.missing)
      missing.push_back(base.facts[static_cast<std::size_t>(fact)].id);
    out.push_back({{"gate", base.gates[static_cast<std::size_t>(g)].id},
                   {"passed", gate.passed},
                   {"missing", missing}});
  }
  return out;
}

Json in_case_json(const Explainer& with, int check) {
  const RuleBase& base = with.base();
  const CaseFacts& facts = with.open->facts;
  const Check& of = check_at(base, check);
  const Offers offers = offers_of(base, facts);
  const StandingNow now = standing(base, facts, check);
  Json lacking = Json::array(), in = Json::array();
  for (const int thing : of.equipment)
    if (!base.equipment[static_cast<std::size_t>(thing)].have)
      lacking.push_back(base.equipment[static_cast<std::size_t>(thing)].what);
  for (const int e : edges_to(base, base.vertex_of_check(check))) {
    const PathEdge& edge = base.edges[static_cast<std::size_t>(e)];
    const int gate = edge.from - base.vertex_of_gate(0);
    const bool left = edge.from == 0 ||
                      (gate < 0 ? is_done(base, facts.now(), edge.from - base.vertex_of_check(0))
                                : offers.gates[static_cast<std::size_t>(gate)].passed);
    in.push_back({{"from", base.vertex_name(edge.from)},
                  {"left", left},
                  {"truth", name_of(truth_somewhere(base, edge.when, facts.now().answers))}});
  }
  return {{"done", now.done},
          {"not_possible", now.not_possible},
          {"offered", now.offered},
          {"stopped", of.moves != Moves::no && facts.stopped()},
          {"gates", gates_json(base, offers, check)},
          {"lacking", lacking},
          {"applies", name_of(truth_somewhere(base, of.asked_if, facts.now().answers))},
          {"edges_in", in}};
}

}  // namespace

std::string check_text(const Explainer& with, int check) {
  const RuleBase& base = with.base();
  const Check& of = check_at(base, check);
  const int vertex = base.vertex_of_check(check);
  std::string out = title("Check", of.what, of.id, of.place) +
                    item("By: " + spaced(name_of(of.by)) + "; " + show_number(of.minutes) +
                         " minutes; " + moves_words(of.moves));
  if (of.setup >= 0) {
    const Setup& setup = base.setups[static_cast<std::size_t>(of.setup)];
    out += item("Set-up: " + with_id(setup.what, setup.id) + ", " +
                show_number(base.setup_minutes(of.setup)) + " minutes from nothing");
  }
  for (const int thing : of.equipment) {
    const Equipment& tool = base.equipment[static_cast<std::size_t>(thing)];
    out += item("Equipment: " + with_id(tool.what, tool.id) + (tool.have ? "" : ", not there"));
  }
  if (!facts_in(base, of.asked_if).empty())
    out += item("Applies unless this is known to be false: " +
                in_words(base, of.asked_if, with.units));
  out += labelled("How", of.how) + labelled("Caution", of.caution);
  std::vector<std::string> gates;
  for (const int g : base.guards[static_cast<std::size_t>(check)])
    gates.push_back(base.gates[static_cast<std::size_t>(g)].id);
  if (of.moves != Moves::no) out += labelled("Only behind the gates", joined(gates));
  out += heading("It learns");
  for (const int fact : of.learns) {
    const Fact& learned = base.facts[static_cast<std::size_t>(fact)];
    out += item(with_id(learned.ask, learned.id));
  }
  if (!of.confirms.empty()) out += heading("It can show");
  for (const auto& verdict : of.confirms)
    out += item(with_id(base, verdict.first) + ": " + in_words(base, verdict.second, with.units));
  if (with.open) out += in_case_text(with, check);
  out += heading("It may be offered after");
  for (const int e : edges_to(base, vertex)) {
    const PathEdge& edge = base.edges[static_cast<std::size_t>(e)];
    out += item(vertex_words(base, edge.from) + ": " + edge_words(base, edge, with.units));
  }
  out += heading("It leads to");
  for (const int e : edges_from(base, vertex)) {
    const PathEdge& edge = base.edges[static_cast<std::size_t>(e)];
    out += item(vertex_words(base, edge.to) + ": " + edge_words(base, edge, with.units));
  }
  return out;
}

Json check_json(const Explainer& with, int check) {
  const RuleBase& base = with.base();
  const Check& of = check_at(base, check);
  const int vertex = base.vertex_of_check(check);
  Json learns = Json::array(), confirms = Json::array(), in = Json::array(), out_of = Json::array(),
       gates = Json::array();
  for (const int fact : of.learns) learns.push_back(base.facts[static_cast<std::size_t>(fact)].id);
  for (const auto& verdict : of.confirms)
    confirms.push_back({{"cause", cause_id(base, verdict.first)},
                        {"when", in_words(base, verdict.second, with.units)}});
  for (const int e : edges_to(base, vertex)) in.push_back(edge_json(base, e, with.units));
  for (const int e : edges_from(base, vertex)) out_of.push_back(edge_json(base, e, with.units));
  for (const int g : base.guards[static_cast<std::size_t>(check)])
    gates.push_back(base.gates[static_cast<std::size_t>(g)].id);
  Json out = {
      {"what", of.what},
      {"place", place_json(of.place)},
      {"by", name_of(of.by)},
      {"minutes", of.minutes},
      {"setup", of.setup < 0 ? Json() : Json(base.setups[static_cast<std::size_t>(of.setup)].id)},
      {"setup_minutes", base.setup_minutes(of.setup)},
      {"moves", of.moves == Moves::no    ? "no"
                : of.moves == Moves::yes ? "yes"
                                         : "wheels_spin"},
      {"how", of.how},
      {"caution", of.caution},
      {"gates", gates},
      {"learns", learns},
      {"confirms", confirms},
      {"edges_in", in},
      {"edges_out", out_of}};
  if (with.open) out["in_case"] = in_case_json(with, check);
  return out;
}

}  // namespace perrev
