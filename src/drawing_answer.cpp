#include "src/drawing_answer.h"

#include <optional>

#include "engine/bench/draw_request.h"
#include "src/graph_picture.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {

Result<DrawRequest, Problems> request_in(const Asked& asked) {
  DrawRequest out;
  if (const std::string graph = asked.text("graph"); !graph.empty()) out.graph = graph;
  out.cause = asked.text("cause");
  out.family = asked.text("family");
  out.fact = asked.text("fact");
  out.check = asked.text("check");
  const auto near = asked.request.find("near");
  if (near == asked.request.end()) return out;
  if (!near->is_number_unsigned() || near->get<std::uint64_t>() > 100)
    return wrong("near", "this is no number of edges", "0 to 100");
  out.near = near->get<int>();
  return out;
}

}  // namespace

Answered drawing_answer(const Asked& asked) {
  const auto request = request_in(asked);
  if (!request) return request.error();
  std::optional<OpenCase> open;
  if (asked.request.contains("case")) {
    auto read = asked.open();
    if (!read) return read.error();
    open = std::move(read).value();
  }
  const auto drawing =
      draw_requested({asked.reasoner, open ? &open->facts : nullptr, asked.units()}, *request);
  if (!drawing) return drawing.error();
  auto svg = svg_of_dot(dot_of(*drawing));
  if (!svg) return Problems{svg.error()};
  return Json{{"title", drawing->title},
              {"legend", drawing->legend},
              {"shapes", drawing->vertices.size()},
              {"lines", drawing->edges.size()},
              {"svg", std::move(svg).value()}};
}

}  // namespace perrev
