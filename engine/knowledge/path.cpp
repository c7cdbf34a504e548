#include "engine/knowledge/path.h"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/breadth_first_search.hpp>
#include <boost/graph/depth_first_search.hpp>
#include <boost/graph/dominator_tree.hpp>
#include <boost/graph/reverse_graph.hpp>
#include <string>
#include <utility>

namespace perrev {

namespace {

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::bidirectionalS>;

// Each gate is split: edges that ask `passed` leave from a vertex of their own, which is reached
// from the gate alone. Splitting turns "passed the gate" into "went through that vertex", which
// dominators speak of.
struct SplitGraph {
  Graph graph;
  int first_passed = 0;
};

SplitGraph split(const RuleBase& base) {
  SplitGraph out;
  out.first_passed = base.vertex_count();
  const std::size_t gates = base.gates.size();
  out.graph = Graph(static_cast<std::size_t>(out.first_passed) + gates);
  for (std::size_t g = 0; g < gates; ++g)
    boost::add_edge(static_cast<std::size_t>(base.vertex_of_gate(static_cast<int>(g))),
                    static_cast<std::size_t>(out.first_passed) + g, out.graph);
  for (const PathEdge& edge : base.edges) {
    const int from =
        edge.passed ? edge.from - base.vertex_of_gate(0) + out.first_passed : edge.from;
    boost::add_edge(static_cast<std::size_t>(from), static_cast<std::size_t>(edge.to), out.graph);
  }
  return out;
}

class CircleFinder : public boost::default_dfs_visitor {
 public:
  explicit CircleFinder(std::vector<std::pair<std::size_t, std::size_t>>* found) : found_(found) {}
  void back_edge(const Graph::edge_descriptor& edge, const Graph& graph) const {
    found_->emplace_back(boost::source(edge, graph), boost::target(edge, graph));
  }

 private:
  std::vector<std::pair<std::size_t, std::size_t>>* found_;
};

template <class G>
std::vector<bool> reached_from(const G& graph, const std::vector<std::size_t>& starts) {
  std::vector<boost::default_color_type> colour(boost::num_vertices(graph), boost::white_color);
  const auto colours =
      boost::make_iterator_property_map(colour.begin(), boost::get(boost::vertex_index, graph));
  for (const std::size_t start : starts)
    if (colour[start] == boost::white_color) {
      boost::queue<std::size_t> queue;
      boost::breadth_first_visit(graph, start, queue, boost::default_bfs_visitor(), colours);
    }
  std::vector<bool> out;
  for (const auto c : colour) out.push_back(c != boost::white_color);
  return out;
}

Place place_of(const RuleBase& base, int vertex) {
  if (vertex >= 1 && vertex < base.vertex_of_gate(0))
    return base.checks[static_cast<std::size_t>(vertex - 1)].place;
  const std::size_t gate = static_cast<std::size_t>(vertex - base.vertex_of_gate(0));
  if (vertex >= base.vertex_of_gate(0) && gate < base.gates.size()) return base.gates[gate].place;
  const std::size_t end = static_cast<std::size_t>(vertex - base.vertex_of_end(0));
  if (vertex >= base.vertex_of_end(0) && end < base.ends.size()) return base.ends[end].place;
  return base.edges.empty() ? Place{} : base.edges.front().place;
}

bool guards(const Gate& gate, const Check& check) {
  return (check.moves == Moves::yes && gate.guards_driving) ||
         (check.moves == Moves::wheels_spin && gate.guards_spinning);
}

std::string motion_of(const Check& check) {
  return check.moves == Moves::yes ? "' moves the car" : "' spins a wheel";
}

// The immediate dominator of each vertex. Boost's short form takes a vertex that cannot be reached
// for another start; with maps of our own that say "never visited" it leaves such vertices out.
std::vector<std::size_t> dominators(const Graph& graph) {
  const std::size_t count = boost::num_vertices(graph);
  const std::size_t none = boost::graph_traits<Graph>::null_vertex();
  const auto index = boost::get(boost::vertex_index, graph);
  std::vector<std::size_t> above(count, none), parent(count, none), by_number(count, none);
  std::vector<std::size_t> number(count, std::numeric_limits<std::size_t>::max());
  boost::lengauer_tarjan_dominator_tree(graph, boost::vertex(0, graph), index,
                                        boost::make_iterator_property_map(number.begin(), index),
                                        boost::make_iterator_property_map(parent.begin(), index),
                                        by_number,
                                        boost::make_iterator_property_map(above.begin(), index));
  return above;
}

}  // namespace

std::vector<std::vector<int>> guarding_gates(const RuleBase& base) {
  const SplitGraph parts = split(base);
  const std::vector<std::size_t> above = dominators(parts.graph);
  const std::size_t none = boost::graph_traits<Graph>::null_vertex();
  const std::size_t first = static_cast<std::size_t>(parts.first_passed);
  std::vector<std::vector<int>> out(base.checks.size());
  for (std::size_t c = 0; c < base.checks.size(); ++c) {
    std::size_t at = above[static_cast<std::size_t>(base.vertex_of_check(static_cast<int>(c)))];
    for (; at != none; at = above[at])
      if (at >= first) out[c].push_back(static_cast<int>(at - first));
    std::sort(out[c].begin(), out[c].end());
  }
  return out;
}

Problems check_path(const RuleBase& base) {
  Problems problems;
  const auto tell = [&](int vertex, std::string what, std::string right) {
    problems.push_back(Problem{place_of(base, vertex), std::move(what), std::move(right), {}});
  };
  const SplitGraph parts = split(base);
  std::vector<std::pair<std::size_t, std::size_t>> circles;
  boost::depth_first_search(parts.graph, boost::visitor(CircleFinder(&circles)));
  for (const auto& circle : circles) {
    const auto name = [&](std::size_t v) {
      const int passed = static_cast<int>(v) - parts.first_passed;
      return base.vertex_name(passed < 0 ? static_cast<int>(v) : base.vertex_of_gate(passed));
    };
    const std::string from = name(circle.first), to = name(circle.second);
    tell(static_cast<int>(std::min(circle.first, circle.second)),
         from == to ? "the path leads from '" + from + "' to itself"
                    : "the path runs in a circle through '" + from + "' and '" + to + "'",
         "take out one of its edges");
  }
  const std::vector<bool> reached = reached_from(parts.graph, {0});
  std::vector<std::size_t> ends;
  for (std::size_t e = 0; e < base.ends.size(); ++e)
    ends.push_back(static_cast<std::size_t>(base.vertex_of_end(static_cast<int>(e))));
  const std::vector<bool> ending = reached_from(boost::make_reverse_graph(parts.graph), ends);
  for (int v = 0; v < base.vertex_count(); ++v) {
    if (!reached[static_cast<std::size_t>(v)])
      tell(v, "'" + base.vertex_name(v) + "' cannot be reached from the start",
           "an edge that leads to it");
    else if (!ending[static_cast<std::size_t>(v)])
      tell(v, "'" + base.vertex_name(v) + "' is a dead end",
           "an edge towards a verdict, a referral or no fault");
  }
  const std::vector<std::vector<int>> gates = guarding_gates(base);
  std::vector<bool> guarded(base.checks.size(), false);
  for (std::size_t c = 0; c < base.checks.size(); ++c) {
    const Check& check = base.checks[c];
    if (check.moves == Moves::no ||
        !reached[static_cast<std::size_t>(base.vertex_of_check(static_cast<int>(c)))])
      continue;
    guarded[c] = std::any_of(gates[c].begin(), gates[c].end(), [&](int g) {
      return guards(base.gates[static_cast<std::size_t>(g)], check);
    });
    if (!guarded[c])
      tell(
          base.vertex_of_check(static_cast<int>(c)),
          "'" + check.id + motion_of(check) + " and can be reached round every gate that guards it",
          "lead every way to it through an edge 'when: passed' of such a gate");
  }
  for (const PathEdge& edge : base.edges) {
    const int gate = edge.from - base.vertex_of_gate(0), check = edge.to - base.vertex_of_check(0);
    if (edge.passed || gate < 0 || edge.to >= base.vertex_of_gate(0)) continue;
    const Gate& from = base.gates[static_cast<std::size_t>(gate)];
    const Check& to = base.checks[static_cast<std::size_t>(check)];
    if (guarded[static_cast<std::size_t>(check)] && guards(from, to))
      problems.push_back(Problem{edge.place,
                                 "'" + to.id + motion_of(to) + " and the edge from '" + from.id +
                                     "' does not ask whether it is passed",
                                 "when: passed",
                                 {}});
  }
  return problems;
}

std::vector<std::vector<int>> incoming_edges(const RuleBase& base) {
  std::vector<std::vector<int>> out(static_cast<std::size_t>(base.vertex_count()));
  for (std::size_t e = 0; e < base.edges.size(); ++e)
    out[static_cast<std::size_t>(base.edges[e].to)].push_back(static_cast<int>(e));
  return out;
}

}  // namespace perrev
