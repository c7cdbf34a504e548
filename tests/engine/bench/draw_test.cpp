// Drawings: read back from their DOT text by Boost.Graph's reader, and how a case stands on them.
#include "engine/bench/draw.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/graphviz.hpp>
#include <map>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "engine/bench/draw_evidence.h"
#include "engine/bench/draw_path.h"
#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

struct ReadVertex {
  std::string id, label, shape, style;
};
struct ReadEdge {
  std::string label, style;
};
// Vertices and edges as sorted lines of text.
struct Told {
  std::vector<std::string> vertices, edges;
};

Told read_back(const std::string& dot) {
  using Graph =
      boost::adjacency_list<boost::vecS, boost::vecS, boost::bidirectionalS, ReadVertex, ReadEdge>;
  Graph graph;
  boost::dynamic_properties names(boost::ignore_other_properties);
  names.property("node_id", boost::get(&ReadVertex::id, graph));
  names.property("label", boost::get(&ReadVertex::label, graph));
  names.property("shape", boost::get(&ReadVertex::shape, graph));
  names.property("style", boost::get(&ReadVertex::style, graph));
  names.property("label", boost::get(&ReadEdge::label, graph));
  names.property("style", boost::get(&ReadEdge::style, graph));
  std::istringstream in(dot);
  REQUIRE(boost::read_graphviz(in, graph, names, "node_id"));
  Told out;
  for (std::size_t v = 0; v < boost::num_vertices(graph); ++v)
    out.vertices.push_back(graph[v].id + " | " + graph[v].label + " | " + graph[v].shape);
  const auto edges = boost::edges(graph);
  for (auto e = edges.first; e != edges.second; ++e)
    out.edges.push_back(graph[boost::source(*e, graph)].id + " > " +
                        graph[boost::target(*e, graph)].id + " | " + graph[*e].label);
  std::sort(out.vertices.begin(), out.vertices.end());
  std::sort(out.edges.begin(), out.edges.end());
  return out;
}

// As DOT writes them: a reader keeps the escapes of a label, only a quote loses its own.
std::string label_of(const std::vector<std::string>& lines, const std::string& line_end,
                     bool at_end) {
  std::string out;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    for (const char c : lines[i]) {
      if (c == '\\') out += '\\';
      out += static_cast<unsigned char>(c) < 0x20u ? ' ' : c;
    }
    if (i + 1 < lines.size() || at_end) out += line_end;
  }
  return out;
}

Told told(const Drawing& drawing) {
  const std::map<DrawnShape, std::string> shapes = {{DrawnShape::box, "box"},
                                                    {DrawnShape::rounded, "box"},
                                                    {DrawnShape::hexagon, "hexagon"},
                                                    {DrawnShape::ellipse, "ellipse"}};
  const auto id = [&](int v) { return drawing.vertices[static_cast<std::size_t>(v)].id; };
  Told out;
  for (const DrawnVertex& v : drawing.vertices)
    out.vertices.push_back(v.id + " | " + label_of(v.lines, "\\n", false) + " | " +
                           shapes.at(v.shape));
  for (const DrawnEdge& e : drawing.edges)
    out.edges.push_back(id(e.from) + " > " + id(e.to) + " | " + label_of(e.lines, "\\l", true));
  std::sort(out.vertices.begin(), out.vertices.end());
  std::sort(out.edges.begin(), out.edges.end());
  return out;
}

void check_round_trip(const Drawing& drawing) {
  const Told read = read_back(dot_of(drawing)), meant = told(drawing);
  REQUIRE(read.vertices == meant.vertices);
  REQUIRE(read.edges == meant.edges);
}

}  // namespace

TEST_CASE("any text survives DOT") {
  Drawing drawing;
  drawing.title = "a \"title\" \\ with\nlines";
  drawing.vertices = {
      {"plain", {"one", "two"}, DrawnShape::box, DrawnLine::plain},
      {"say \"no\"", {"\"quoted\" \\N \\l", "{a|b} <c>"}, DrawnShape::hexagon, DrawnLine::bold},
      {"fact graph", {"tab\there", "t\xc3\xa4gt"}, DrawnShape::ellipse, DrawnLine::doubled},
      {"1.5", {""}, DrawnShape::rounded, DrawnLine::dotted}};
  drawing.edges = {{0, 1, {"\\"}, DrawnLine::dashed},
                   {0, 1, {}, DrawnLine::plain},
                   {2, 3, {"-> ;", "[x]"}, DrawnLine::bold},
                   {3, 3, {"\""}, DrawnLine::dotted}};
  check_round_trip(drawing);
}

TEST_CASE("every drawing of a rule base reads back the same, with a case and without") {
  for (std::uint64_t seed = 0; seed < 25; ++seed) {
    CAPTURE(seed);
    World world(seed + 510000);
    const CaseFacts facts = world.facts(random_case(world.base, world.random));
    for (const CaseFacts* with : {static_cast<const CaseFacts*>(nullptr), &facts}) {
      const EvidencePen pen{world.reasoner, with, Units::us};
      check_round_trip(draw_path(world.base, {}, with, Units::us));
      check_round_trip(draw_families(pen));
      for (std::size_t f = 0; f < world.base.families.size(); ++f)
        check_round_trip(draw_family(pen, static_cast<int>(f)));
      for (std::size_t c = 0; c < world.base.causes.size(); ++c)
        check_round_trip(draw_cause(pen, static_cast<int>(c)));
      for (std::size_t f = 0; f < world.base.facts.size(); ++f)
        check_round_trip(draw_facts(pen, {static_cast<int>(f)}, "fact"));
    }
  }
}

TEST_CASE("the whole path is drawn, and a part of it grows with the steps") {
  for (std::uint64_t seed = 0; seed < 25; ++seed) {
    CAPTURE(seed);
    World world(seed + 520000);
    const RuleBase& base = world.base;
    const Drawing whole = draw_path(base, {}, nullptr, Units::us);
    CHECK(whole.vertices.size() == static_cast<std::size_t>(base.vertex_count()));
    CHECK(whole.edges.size() == base.edges.size());
    for (std::size_t c = 0; c < base.checks.size(); ++c) {
      const int vertex = base.vertex_of_check(static_cast<int>(c));
      std::size_t before = 0;
      for (int near = 0; near < 4; ++near) {
        const Drawing part = draw_path(base, {{vertex}, near, "part"}, nullptr, Units::us);
        if (near == 0) CHECK(part.vertices.size() == 1);
        std::size_t neighbours = 1;
        std::set<int> beside;
        for (const PathEdge& edge : base.edges) {
          if (edge.from == vertex) beside.insert(edge.to);
          if (edge.to == vertex) beside.insert(edge.from);
        }
        neighbours += beside.size();
        if (near == 1) CHECK(part.vertices.size() == neighbours);
        CHECK(part.vertices.size() >= before);
        before = part.vertices.size();
      }
    }
  }
}

TEST_CASE("the walk of a case is told by words and by lines") {
  int offered = 0, done = 0, passed = 0;
  for (std::uint64_t seed = 0; seed < 60; ++seed) {
    CAPTURE(seed);
    World world(seed + 530000);
    const RuleBase& base = world.base;
    const CaseFacts facts = world.facts(random_case(base, world.random));
    const Offers offers = offers_of(base, facts);
    const Drawing drawing = draw_path(base, {}, &facts, Units::us);
    const auto last = [&](int vertex) {
      return drawing.vertices[static_cast<std::size_t>(vertex)].lines.back();
    };
    const auto line = [&](int vertex) {
      return drawing.vertices[static_cast<std::size_t>(vertex)].line;
    };
    for (std::size_t c = 0; c < base.checks.size(); ++c) {
      const int check = static_cast<int>(c), vertex = base.vertex_of_check(check);
      const bool is_offered =
          std::find(offers.checks.begin(), offers.checks.end(), check) != offers.checks.end();
      CHECK((last(vertex) == "OFFERED NOW") == is_offered);
      CHECK((line(vertex) == DrawnLine::doubled) == is_offered);
      const bool is_finished = last(vertex) == "DONE" || last(vertex) == "NOT POSSIBLE";
      CHECK(is_finished == is_done(base, facts.now(), check));
      offered += is_offered;
      done += is_finished;
    }
    for (const GateState& gate : offers.gates) {
      CHECK((line(base.vertex_of_gate(gate.gate)) == DrawnLine::bold) == gate.passed);
      passed += gate.passed;
    }
  }
  CHECK(offered > 0);
  CHECK(done > 0);
  CHECK(passed > 0);
}
