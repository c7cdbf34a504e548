// `perrev rules draw`: the decision graph, or causes and their evidence, as DOT or SVG.
#include <iostream>
#include <memory>
#include <optional>

#include "engine/bench/draw_evidence.h"
#include "engine/bench/draw_path.h"
#include "engine/quantity/text.h"
#include "src/answers/reasoning.h"
#include "src/commands/common.h"
#include "src/commands/rules_commands.h"
#include "src/files.h"
#include "src/graph_picture.h"
#include "src/rules.h"

namespace perrev {

namespace {

struct DrawOptions {
  Common common;
  std::string graph = "path", format = "dot", cause, family, fact, check, case_path, out;
  int near = -1;
};

int family_index(const RuleBase& base, const std::string& id) {
  for (std::size_t f = 0; f < base.families.size(); ++f)
    if (base.families[f].id == id) return static_cast<int>(f);
  return -1;
}

template <class Items>
Problem unknown_name(const std::string& kind, const std::string& id, const Items& items) {
  std::vector<std::string> known;
  for (const auto& item : items) known.push_back(item.id);
  return problem("--" + kind + ": unknown " + kind + " " + perrev::quoted(id),
                 near_or(id, known, "a " + kind + " of the rule base"));
}

// What the options name, as indices; -1 where an option is not given.
struct Chosen {
  int cause = -1, family = -1, fact = -1, check = -1;

  bool anything() const { return cause >= 0 || family >= 0 || fact >= 0 || check >= 0; }
};

Result<Chosen, Problems> read_chosen(const DrawOptions& options, const RuleBase& base) {
  const Chosen out{base.cause_index(options.cause), family_index(base, options.family),
                   base.fact_index(options.fact), base.check_index(options.check)};
  Problems problems;
  if (out.cause < 0 && !options.cause.empty())
    problems.push_back(unknown_name("cause", options.cause, base.causes));
  if (out.family < 0 && !options.family.empty())
    problems.push_back(unknown_name("family", options.family, base.families));
  if (out.fact < 0 && !options.fact.empty())
    problems.push_back(unknown_name("fact", options.fact, base.facts));
  if (out.check < 0 && !options.check.empty())
    problems.push_back(unknown_name("check", options.check, base.checks));
  if (options.near >= 0 && (options.graph != "path" || !out.anything()))
    problems.push_back(problem("--near says how far the path is drawn around something",
                               "--graph path with --cause, --family, --fact or --check"));
  if (!problems.empty()) return problems;
  return out;
}

Result<Drawing, Problems> path_drawing(const DrawOptions& options, const RuleBase& base,
                                       const Chosen& chosen, const CaseFacts* facts) {
  DrawnPart part;
  part.title = "Which check may be offered after which";
  if (options.near >= 0) part.near = options.near;
  if (chosen.check >= 0) part.around = {base.vertex_of_check(chosen.check)};
  if (chosen.fact >= 0) part.around = vertices_about_fact(base, chosen.fact);
  for (std::size_t c = 0; c < base.causes.size(); ++c)
    if (static_cast<int>(c) == chosen.cause ||
        (chosen.family >= 0 && base.causes[c].family == chosen.family))
      for (const int vertex : vertices_about_cause(base, static_cast<int>(c)))
        part.around.push_back(vertex);
  const std::string name = options.cause + options.family + options.fact + options.check;
  if (chosen.anything()) part.title += ", around " + name;
  if (chosen.anything() && part.around.empty())
    return Problems{problem("nothing on the path has to do with '" + name + "'",
                            "--graph evidence, or another name")};
  return draw_path(base, part, facts, options.common.units());
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

Exit write(const DrawOptions& options, const Drawing& drawing) {
  std::string text = dot_of(drawing);
  if (options.format == "svg") {
    auto svg = svg_of_dot(text);
    if (!svg) return tell(svg.error());
    text = std::move(svg).value();
  }
  if (options.out.empty()) {
    std::cout << text;
    return Exit::done;
  }
  const std::vector<Problem> problems = write_file(options.out, text);
  if (!problems.empty()) return tell(problems);
  std::cout << "Written: " << options.out << ", " << drawing.vertices.size() << " shapes, "
            << drawing.edges.size() << " lines.\n";
  return Exit::done;
}

Exit run(const DrawOptions& options) {
  const auto base = load_rules(rules_folder(options.common.rules));
  if (!base) return tell(base.error());
  const auto chosen = read_chosen(options, *base);
  if (!chosen) return tell(chosen.error());
  const auto open = open_if_given(options.case_path, *base);
  if (!open) return tell(open.error());
  const CaseFacts* facts = open->has_value() ? &(**open).facts : nullptr;
  if (options.graph == "path") {
    const auto drawing = path_drawing(options, *base, *chosen, facts);
    return drawing ? write(options, *drawing) : tell(drawing.error());
  }
  const Reasoning reasoning(*base);
  return write(options,
               evidence_drawing({reasoning.reasoner, facts, options.common.units()}, *chosen));
}

}  // namespace

void add_rules_draw(CLI::App& rules, Action& chosen) {
  CLI::App* command = rules.add_subcommand("draw", "Draw the path, or the evidence, as a graph");
  const auto options = std::make_shared<DrawOptions>();
  command->add_option("--graph", options->graph, "path or evidence")
      ->check(CLI::IsMember({"path", "evidence"}))
      ->capture_default_str();
  command->add_option("--format", options->format, "dot or svg")
      ->check(CLI::IsMember({"dot", "svg"}))
      ->capture_default_str();
  auto* part = command->add_option_group("part", "what to draw; else the whole");
  part->add_option("--cause", options->cause, "around one cause");
  part->add_option("--family", options->family, "around the causes of a family");
  part->add_option("--fact", options->fact, "around one fact");
  part->add_option("--check", options->check, "around one check");
  part->require_option(0, 1);
  command->add_option("--near", options->near, "path: how many edges away from it; default: 1")
      ->check(CLI::Range(0, 100));
  command->add_option("--case", options->case_path,
                      "a case file, or - for standard input: how all stands there");
  command->add_option("--out", options->out, "write to this file; default: standard output");
  command->add_option("--units", options->common.units_name, "us or metric")
      ->check(CLI::IsMember({"us", "metric"}))
      ->capture_default_str();
  add_rules_option(*command, options->common);
  command->footer(
      "Example: perrev rules draw --graph evidence --cause static_imbalance --format svg --out "
      "imbalance.svg");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
