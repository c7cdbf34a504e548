#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/graphviz.hpp>
#include <sstream>

#include "engine/bench/draw.h"

namespace perrev {

namespace {

// Kept with a list of its edges: they are written in the order of the drawing.
using Graph =
    boost::adjacency_list<boost::vecS, boost::vecS, boost::bidirectionalS, boost::no_property,
                          boost::property<boost::edge_index_t, std::size_t>>;

// A double-quoted string of DOT: a backslash is one, a control byte a blank; `line_end` after each
// line.
std::string quoted_lines(const std::vector<std::string>& lines, const char* line_end) {
  std::string out = "\"";
  for (std::size_t i = 0; i < lines.size(); ++i) {
    for (const char c : lines[i]) {
      if (c == '"' || c == '\\') out += '\\';
      out += static_cast<unsigned char>(c) < 0x20u ? ' ' : c;
    }
    if (i + 1 < lines.size() || line_end[1] == 'l') out += line_end;
  }
  return out + "\"";
}

const char* shape_words(DrawnShape shape) {
  switch (shape) {
    case DrawnShape::hexagon:
      return "hexagon";
    case DrawnShape::ellipse:
      return "ellipse";
    case DrawnShape::box:
    case DrawnShape::rounded:
      break;
  }
  return "box";
}

// What a style sheet goes by, in a picture that was made of this.
const char* class_words(DrawnLine line) {
  switch (line) {
    case DrawnLine::bold:
      return "bold";
    case DrawnLine::doubled:
      return "doubled";
    case DrawnLine::dashed:
      return "dashed";
    case DrawnLine::dotted:
      return "dotted";
    case DrawnLine::plain:
      break;
  }
  return "plain";
}

std::string style_words(DrawnLine line, bool rounded) {
  std::string out = rounded ? "rounded" : "";
  const auto add = [&](const char* word) { out += (out.empty() ? "" : ",") + std::string(word); };
  if (line == DrawnLine::bold) add("bold");
  if (line == DrawnLine::dashed) add("dashed");
  if (line == DrawnLine::dotted) add("dotted");
  return out.empty() ? "solid" : out;
}

}  // namespace

std::string dot_of(const Drawing& drawing) {
  Graph graph(drawing.vertices.size());
  for (std::size_t e = 0; e < drawing.edges.size(); ++e)
    boost::add_edge(static_cast<std::size_t>(drawing.edges[e].from),
                    static_cast<std::size_t>(drawing.edges[e].to), e, graph);
  const auto vertex_words = [&](std::ostream& out, std::size_t v) {
    const DrawnVertex& of = drawing.vertices[v];
    out << "[label=" << quoted_lines(of.lines, "\\n") << ", shape=" << shape_words(of.shape)
        << ", style=\"" << style_words(of.line, of.shape == DrawnShape::rounded) << "\""
        << (of.line == DrawnLine::doubled ? ", peripheries=2" : "")
        << ", class=" << class_words(of.line) << "]";
  };
  const auto edge_words = [&](std::ostream& out, const Graph::edge_descriptor& e) {
    const DrawnEdge& of = drawing.edges[boost::get(boost::edge_index, graph, e)];
    out << "[label=" << quoted_lines(of.lines, "\\l") << ", style=\"" << style_words(of.line, false)
        << "\", class=" << class_words(of.line) << "]";
  };
  const auto graph_words = [&](std::ostream& out) {
    std::vector<std::string> below = {drawing.title};
    below.insert(below.end(), drawing.legend.begin(), drawing.legend.end());
    out << "graph [rankdir=LR, bgcolor=white, fontname=\"sans-serif\", fontsize=14, labelloc=t, "
           "labeljust=l, nodesep=0.18, ranksep=0.9, label="
        << quoted_lines(below, "\\l") << "]\n"
        << "node [fontname=\"sans-serif\", fontsize=11, color=black, fontcolor=black, "
           "margin=\"0.12,0.06\"]\n"
        << "edge [fontname=\"sans-serif\", fontsize=9, color=black, fontcolor=black, "
           "arrowsize=0.7]\n";
  };
  std::vector<std::string> ids;
  ids.reserve(drawing.vertices.size());
  for (const DrawnVertex& v : drawing.vertices) ids.push_back(v.id);
  std::ostringstream out;
  out.imbue(std::locale::classic());
  boost::write_graphviz(
      out, graph, vertex_words, edge_words, graph_words,
      boost::make_iterator_property_map(ids.begin(), boost::get(boost::vertex_index, graph)));
  return out.str();
}

}  // namespace perrev
