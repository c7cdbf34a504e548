#include "engine/bench/draw_path.h"

#include <algorithm>
#include <optional>

#include "engine/bench/explain_touches.h"
#include "engine/quantity/text.h"
#include "engine/reasoning/offers.h"

namespace perrev {

namespace {

bool holds(const std::vector<int>& list, int item) {
  return std::find(list.begin(), list.end(), item) != list.end();
}

class PathDrawer {
 public:
  PathDrawer(const RuleBase& base, const CaseFacts* facts, Units units)
      : base_(base), facts_(facts), units_(units) {
    if (facts) offers_ = offers_of(base, *facts);
  }

  Drawing draw(const DrawnPart& part) const {
    Drawing out;
    out.title = part.title;
    out.legend.push_back("Box: check. Six-sided: gate. Oval: start or end.");
    if (facts_)
      out.legend.push_back(
          "Thick line: done, passed, holds. Double: offered now. Dashed: not passed, not possible, "
          "not known. Dotted: does not hold.");
    const std::vector<char> shown = near(part);
    std::vector<int> at(shown.size(), -1);
    for (std::size_t v = 0; v < shown.size(); ++v)
      if (shown[v]) at[v] = out.vertex(vertex(static_cast<int>(v)));
    for (const PathEdge& edge : base_.edges) {
      const int from = at[static_cast<std::size_t>(edge.from)];
      const int to = at[static_cast<std::size_t>(edge.to)];
      if (from >= 0 && to >= 0) out.edges.push_back(drawn(edge, from, to));
    }
    return out;
  }

 private:
  bool is_hub(int vertex) const { return vertex == 0 || vertex >= base_.vertex_of_end(0); }

  std::vector<char> near(const DrawnPart& part) const {
    const std::size_t count = static_cast<std::size_t>(base_.vertex_count());
    if (part.around.empty()) return std::vector<char>(count, 1);
    std::vector<char> shown(count, 0);
    std::vector<int> rim = part.around;
    for (const int v : rim) shown[static_cast<std::size_t>(v)] = 1;
    for (int step = 0; step < part.near; ++step) {
      std::vector<int> next;
      const auto reach = [&](int from, int to) {
        if (!holds(rim, from) || (step > 0 && is_hub(from)) || shown[static_cast<std::size_t>(to)])
          return;
        shown[static_cast<std::size_t>(to)] = 1;
        next.push_back(to);
      };
      for (const PathEdge& edge : base_.edges) {
        reach(edge.from, edge.to);
        reach(edge.to, edge.from);
      }
      rim = std::move(next);
    }
    return shown;
  }

  DrawnVertex vertex(int v) const {
    DrawnVertex out;
    const std::string name = base_.vertex_name(v);
    const int check = v - base_.vertex_of_check(0), gate = v - base_.vertex_of_gate(0);
    if (v == 0) {
      out.shape = DrawnShape::ellipse;
      out.id = name;
      out.lines = {name};
    } else if (gate < 0) {
      out.id = "check " + name;
      add_lines(out.lines, base_.checks[static_cast<std::size_t>(check)].what);
      out.lines.push_back("[" + name + "]");
      if (facts_) stand(check, out);
    } else if (!is_hub(v)) {
      out.shape = DrawnShape::hexagon;
      out.id = "gate " + name;
      add_lines(out.lines, "Gate: " + base_.gates[static_cast<std::size_t>(gate)].what);
      out.lines.push_back("[" + name + "]");
      if (facts_) stand_at(gate, out);
    } else {
      out.shape = DrawnShape::ellipse;
      out.id = "end " + name;
      const int end = v - base_.vertex_of_end(0);
      add_lines(out.lines, "End: " + base_.ends[static_cast<std::size_t>(end)].what);
    }
    return out;
  }

  void stand(int check, DrawnVertex& out) const {
    if (holds(facts_->now().not_possible, check)) {
      out.line = DrawnLine::dashed;
      out.lines.push_back("NOT POSSIBLE");
    } else if (is_done(base_, facts_->now(), check)) {
      out.line = DrawnLine::bold;
      out.lines.push_back("DONE");
    } else if (holds(offers_->checks, check)) {
      out.line = DrawnLine::doubled;
      out.lines.push_back("OFFERED NOW");
    }
  }

  void stand_at(int gate, DrawnVertex& out) const {
    const GateState& state = offers_->gates[static_cast<std::size_t>(gate)];
    out.line = state.passed ? DrawnLine::bold : DrawnLine::dashed;
    out.lines.push_back(state.passed ? "PASSED" : "NOT PASSED");
    std::vector<std::string> missing;
    for (const int fact : state.missing)
      missing.push_back(spaced(base_.facts[static_cast<std::size_t>(fact)].id));
    if (!missing.empty()) add_lines(out.lines, "not clear: " + joined(missing));
  }

  DrawnEdge drawn(const PathEdge& edge, int from, int to) const {
    DrawnEdge out{from, to, {}, DrawnLine::plain};
    std::string words = edge.passed ? "passed" : "";
    const bool asks = !facts_in(base_, edge.when).empty();
    if (asks) words += (words.empty() ? "" : ", and ") + base_.words(edge.when, units_);
    if (facts_) {
      const Truth truth = truth_of(edge);
      if (!words.empty())
        words += truth == Truth::yes ? ": yes" : truth == Truth::no ? ": no" : ": not known";
      out.line = truth == Truth::no        ? DrawnLine::dotted
                 : truth == Truth::unknown ? DrawnLine::dashed
                 : is_left(edge.from)      ? DrawnLine::bold
                                           : DrawnLine::plain;
    }
    add_lines(out.lines, words, 26);
    return out;
  }

  Truth truth_of(const PathEdge& edge) const {
    const int gate = edge.from - base_.vertex_of_gate(0);
    if (edge.passed && !offers_->gates[static_cast<std::size_t>(gate)].passed) return Truth::no;
    return truth_somewhere(base_, edge.when, facts_->now().answers);
  }
  bool is_left(int vertex) const {
    const int gate = vertex - base_.vertex_of_gate(0);
    if (vertex == 0) return true;
    if (gate < 0) return is_done(base_, facts_->now(), vertex - base_.vertex_of_check(0));
    return offers_->gates[static_cast<std::size_t>(gate)].passed;
  }

  const RuleBase& base_;
  const CaseFacts* facts_;
  Units units_;
  std::optional<Offers> offers_;
};

}  // namespace

std::vector<int> vertices_about_cause(const RuleBase& base, int cause) {
  std::vector<int> out;
  for (const int check : checks_confirming(base, cause)) out.push_back(base.vertex_of_check(check));
  return out;
}

std::vector<int> vertices_about_fact(const RuleBase& base, int fact) {
  const FactUse use = use_of(base, fact);
  std::vector<int> out;
  const auto add = [&](int vertex) {
    if (!holds(out, vertex)) out.push_back(vertex);
  };
  for (const int check : use.checks) add(base.vertex_of_check(check));
  for (const int gate : use.gates) add(base.vertex_of_gate(gate));
  for (const int edge : use.edges) {
    add(base.edges[static_cast<std::size_t>(edge)].from);
    add(base.edges[static_cast<std::size_t>(edge)].to);
  }
  return out;
}

Drawing draw_path(const RuleBase& base, const DrawnPart& part, const CaseFacts* facts,
                  Units units) {
  return PathDrawer(base, facts, units).draw(part);
}

}  // namespace perrev
