#include "src/graph_picture.h"

#ifdef PERREV_GRAPHVIZ
#include <graphviz/gvc.h>

#include <memory>
#include <mutex>
#endif

#ifdef __SANITIZE_ADDRESS__
#define PERREV_LEAKS_ARE_TOLD
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define PERREV_LEAKS_ARE_TOLD
#endif
#endif
#if defined(PERREV_GRAPHVIZ) && defined(PERREV_LEAKS_ARE_TOLD)
// Graphviz and the font library under it keep memory until the process ends.
// NOLINTNEXTLINE(bugprone-reserved-identifier): LeakSanitizer looks for this name.
extern "C" const char* __lsan_default_suppressions() {
  return "leak:libfontconfig\nleak:libgvc\nleak:libpango\n";
}
#endif

namespace perrev {

#ifdef PERREV_GRAPHVIZ

Result<std::string> svg_of_dot(const std::string& dot) {
  // Graphviz keeps its parser and its fonts in variables of the process; those of a context that
  // was freed are still read in the next one. So there is one, until the process ends.
  static std::mutex one_at_a_time;
  const std::lock_guard lock(one_at_a_time);
  static GVC_t* const context = gvContext();
  const Problem refused =
      problem("Graphviz could not lay the graph out", "--format dot, or a smaller part");
  if (!context) return refused;
  const std::unique_ptr<Agraph_t, int (*)(Agraph_t*)> graph(agmemread(dot.c_str()), agclose);
  if (!graph || gvLayout(context, graph.get(), "dot") != 0) return refused;
  char* data = nullptr;
  unsigned int size = 0;
  const bool rendered = gvRenderData(context, graph.get(), "svg", &data, &size) == 0;
  std::string out = rendered && data ? std::string(data, size) : std::string();
  gvFreeRenderData(data);
  gvFreeLayout(context, graph.get());
  if (out.empty()) return refused;
  return out;
}

#else

Result<std::string> svg_of_dot(const std::string&) {
  return problem("this perrev was built without Graphviz and cannot lay out an SVG",
                 "--format dot, or build again with Graphviz's library (Debian: libgraphviz-dev)");
}

#endif

}  // namespace perrev
