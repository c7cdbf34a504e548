#include "engine/bench/draw_request.h"

#include <algorithm>

#include "engine/bench/draw_path.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

int family_index(const RuleBase& base, const std::string& id) {
  for (std::size_t f = 0; f < base.families.size(); ++f)
    if (base.families[f].id == id) return static_cast<int>(f);
  return -1;
}

template <class Items>
Problem unknown_name(const std::string& kind, const std::string& id, const Items& items) {
  std::vector<std::string> known;
  for (const auto& item : items) known.push_back(item.id);
  return problem("unknown " + kind + " " + perrev::quoted(id),
                 near_or(id, known, "a " + kind + " of the rule base"));
}

// What a request names, as indices; -1 where it does not.
struct Chosen {
  int cause = -1, family = -1, fact = -1, check = -1;

  int count() const { return (cause >= 0) + (family >= 0) + (fact >= 0) + (check >= 0); }
};

Result<Chosen, Problems> read_chosen(const RuleBase& base, const DrawRequest& request) {
  const Chosen out{base.cause_index(request.cause), family_index(base, request.family),
                   base.fact_index(request.fact), base.check_index(request.check)};
  Problems problems;
  if (request.graph != "path" && request.graph != "evidence")
    problems.push_back(
        problem("there is no graph " + perrev::quoted(request.graph), "path or evidence"));
  if (out.cause < 0 && !request.cause.empty())
    problems.push_back(unknown_name("cause", request.cause, base.causes));
  if (out.family < 0 && !request.family.empty())
    problems.push_back(unknown_name("family", request.family, base.families));
  if (out.fact < 0 && !request.fact.empty())
    problems.push_back(unknown_name("fact", request.fact, base.facts));
  if (out.check < 0 && !request.check.empty())
    problems.push_back(unknown_name("check", request.check, base.checks));
  if (out.count() > 1)
    problems.push_back(
        problem("a part is drawn around one thing", "a cause, a family, a fact or a check"));
  if (request.near >= 0 && problems.empty() && (request.graph != "path" || out.count() == 0))
    problems.push_back(problem("`near` says how far the path is drawn around something",
                               "the path, and a cause, a family, a fact or a check"));
  if (!problems.empty()) return problems;
  return out;
}

std::string words_of(const RuleBase& base, const Chosen& chosen) {
  const auto at = [](int index) { return static_cast<std::size_t>(index); };
  if (chosen.cause >= 0) return base.causes[at(chosen.cause)].name;
  if (chosen.family >= 0) return base.families[at(chosen.family)].name;
  if (chosen.fact >= 0) return base.facts[at(chosen.fact)].ask;
  return chosen.check < 0 ? std::string() : base.checks[at(chosen.check)].what;
}

Result<Drawing, Problems> path_drawing(const EvidencePen& pen, const DrawRequest& request,
                                       const Chosen& chosen) {
  const RuleBase& base = pen.base();
  DrawnPart part;
  part.title = "Which check may be offered after which";
  if (request.near >= 0) part.near = request.near;
  if (chosen.check >= 0) part.around = {base.vertex_of_check(chosen.check)};
  if (chosen.fact >= 0) part.around = vertices_about_fact(base, chosen.fact);
  for (std::size_t c = 0; c < base.causes.size(); ++c)
    if (static_cast<int>(c) == chosen.cause ||
        (chosen.family >= 0 && base.causes[c].family == chosen.family))
      for (const int vertex : vertices_about_cause(base, static_cast<int>(c)))
        part.around.push_back(vertex);
  const std::string name = words_of(base, chosen);
  if (chosen.count() > 0) part.title += ", around: " + name;
  if (chosen.count() > 0 && part.around.empty())
    return Problems{problem("nothing on the path has to do with " + perrev::quoted(name),
                            "the evidence, or another name")};
  return draw_path(base, part, pen.facts, pen.units);
}

Drawing evidence_drawing(const EvidencePen& pen, const Chosen& chosen) {
  const RuleBase& base = pen.base();
  if (chosen.cause >= 0) return draw_cause(pen, chosen.cause);
  if (chosen.family >= 0) return draw_family(pen, chosen.family);
  if (chosen.fact >= 0)
    return draw_facts(pen, {chosen.fact},
                      "Rules that read: " + base.facts[static_cast<std::size_t>(chosen.fact)].ask);
  if (chosen.check >= 0) {
    const Check& check = base.checks[static_cast<std::size_t>(chosen.check)];
    return draw_facts(pen, check.learns, "Rules that read what is learned by: " + check.what);
  }
  return draw_families(pen);
}

}  // namespace

Result<Drawing, Problems> draw_requested(const EvidencePen& pen, const DrawRequest& request) {
  const auto chosen = read_chosen(pen.base(), request);
  if (!chosen) return chosen.error();
  if (request.graph == "path") return path_drawing(pen, request, *chosen);
  return evidence_drawing(pen, *chosen);
}

}  // namespace perrev
