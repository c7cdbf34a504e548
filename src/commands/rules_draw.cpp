// `perrev rules draw`: the decision graph, or causes and their evidence, as DOT or SVG.
#include <iostream>
#include <memory>
#include <optional>

#include "engine/bench/draw_request.h"
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
  DrawRequest request;
  std::string format = "dot", case_path, out;
};

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
  const std::vector<Problem> problems = write_output(options.out, text, {"<?xml", "digraph"});
  if (!problems.empty()) return tell(problems);
  std::cout << "Written: " << options.out << ", " << drawing.vertices.size() << " shapes, "
            << drawing.edges.size() << " lines.\n";
  return Exit::done;
}

Exit run(const DrawOptions& options) {
  const auto base = load_rules(rules_folder(options.common.rules));
  if (!base) return tell(base.error());
  const auto open = open_if_given(options.case_path, *base);
  if (!open) return tell(open.error());
  const Reasoning reasoning(*base);
  const CaseFacts* facts = open->has_value() ? &(**open).facts : nullptr;
  const auto drawing =
      draw_requested({reasoning.reasoner, facts, options.common.units()}, options.request);
  return drawing ? write(options, *drawing) : tell(drawing.error());
}

}  // namespace

void add_rules_draw(CLI::App& rules, Action& chosen) {
  CLI::App* command = rules.add_subcommand("draw", "Draw the path, or the evidence, as a graph");
  const auto options = std::make_shared<DrawOptions>();
  command->add_option("--graph", options->request.graph, "path or evidence")
      ->check(CLI::IsMember({"path", "evidence"}))
      ->capture_default_str();
  command->add_option("--format", options->format, "dot or svg")
      ->check(CLI::IsMember({"dot", "svg"}))
      ->capture_default_str();
  auto* part = command->add_option_group("part", "what to draw; else the whole");
  part->add_option("--cause", options->request.cause, "around one cause");
  part->add_option("--family", options->request.family, "around the causes of a family");
  part->add_option("--fact", options->request.fact, "around one fact");
  part->add_option("--check", options->request.check, "around one check");
  part->require_option(0, 1);
  command
      ->add_option("--near", options->request.near, "path: how many edges away from it; default: 1")
      ->check(CLI::Range(0, 100));
  command
      ->add_option("--case", options->case_path,
                   "a case file, or - for standard input: how all stands there")
      ->type_name("FILE");
  command->add_option("--out", options->out, "write to this file; default: standard output")
      ->type_name("FILE");
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
