// A picture of part of a rule base, as vertices and edges with words; and its text in DOT.
//
// What a thing is, is told by its shape and its words; how it stands in a case by its words and the
// style of its line. Colour tells nothing.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace perrev {

enum class DrawnShape { box, rounded, hexagon, ellipse };
enum class DrawnLine { plain, bold, doubled, dashed, dotted };  // an edge is never doubled

struct DrawnVertex {
  std::string id;  // unique in its drawing, and no keyword of DOT: "check node", not "node"
  std::vector<std::string> lines;  // of its label
  DrawnShape shape = DrawnShape::box;
  DrawnLine line = DrawnLine::plain;
};

struct DrawnEdge {
  int from = 0, to = 0;  // indices of vertices
  std::vector<std::string> lines;
  DrawnLine line = DrawnLine::plain;
};

struct Drawing {
  std::string title;
  std::vector<std::string> legend;  // what shapes and lines mean
  std::vector<DrawnVertex> vertices;
  std::vector<DrawnEdge> edges;

  // The index of the vertex of that id, added where it is new.
  int vertex(const DrawnVertex& made);
};

// Text broken at blanks to about `width` characters a line.
std::vector<std::string> label_lines(std::string_view text, std::size_t width = 30);
void add_lines(std::vector<std::string>& to, std::string_view text, std::size_t width = 30);

// The graph in the DOT language, from left to right, black on white. Any text is escaped.
std::string dot_of(const Drawing& drawing);

}  // namespace perrev
