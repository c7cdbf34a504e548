#include "engine/vehicle/part_graph.h"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/breadth_first_search.hpp>
#include <boost/graph/visitors.hpp>
#include <boost/pending/queue.hpp>
#include <boost/property_map/property_map.hpp>
#include <cmath>
#include <cstddef>
#include <optional>

namespace perrev {

namespace {

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, std::string,
                                    const PartLink*>;
using Vertex = boost::graph_traits<Graph>::vertex_descriptor;

// Even an exact reading keeps a trace of doubt, so that weights stay finite.
constexpr double kSmallestSd = 1e-6;

// Something known of a part: a value and how far to trust it. Empty: nothing is known.
struct Message {
  double value = 0.0;
  double weight = 0.0;  // 1/sd^2 of the relative uncertainty

  bool empty() const { return weight <= 0.0; }
};

Message message_of(double value, double sd) {
  const double bounded = std::max(sd, kSmallestSd);
  return {value, 1.0 / (bounded * bounded)};
}

Message combined(const Message& a, const Message& b) {
  if (a.empty()) return b;
  if (b.empty()) return a;
  const double weight = a.weight + b.weight;
  return {(a.value * a.weight + b.value * b.weight) / weight, weight};
}

Message over(const Message& message, const PartLink& link, bool towards_fast) {
  if (message.empty()) return message;
  const double value = towards_fast ? message.value * link.ratio : message.value / link.ratio;
  return message_of(value, std::sqrt(1.0 / message.weight + link.sd * link.sd));
}

// Sum-product on the trees: once up to the roots, once back down.
class Spreading {
 public:
  Spreading(const std::vector<PartLink>& links, const std::vector<PartReading>& readings)
      : readings_(readings) {
    for (const PartLink& link : links) {
      boost::add_edge(vertex_of(link.slow), vertex_of(link.fast), &link, graph_);
    }
    for (const PartReading& reading : readings) vertex_of(reading.part);
    walk();
  }

  std::map<std::string, PartBelief> beliefs() {
    for (const PartReading& reading : readings_) {
      Message& own = own_[by_name_[reading.part]];
      own = combined(own, message_of(reading.value, reading.sd));
    }
    send_up();
    send_down();
    std::map<std::string, PartBelief> out;
    for (const auto& [name, vertex] : by_name_) {
      const Message all = gathered(vertex, std::nullopt, true);
      if (!all.empty()) out[name] = belief_of(vertex, all);
    }
    return out;
  }

 private:
  Vertex vertex_of(const std::string& name) {
    const auto found = by_name_.find(name);
    if (found != by_name_.end()) return found->second;
    return by_name_[name] = boost::add_vertex(name, graph_);
  }

  // A breadth-first walk of each component gives every vertex its parent, and an order in which
  // parents come before their children.
  void walk() {
    const std::size_t n = boost::num_vertices(graph_);
    parent_.resize(n);
    link_up_.assign(n, nullptr);
    own_.assign(n, {});
    up_.assign(n, {});
    down_.assign(n, {});
    std::vector<boost::default_color_type> colours(n, boost::white_color);
    for (Vertex root = 0; root < n; ++root) {
      if (colours[root] == boost::white_color) walk_from(root, colours);
    }
  }

  void walk_from(Vertex root, std::vector<boost::default_color_type>& colours) {
    struct Visitor : boost::default_bfs_visitor {
      Spreading* spreading;
      void discover_vertex(Vertex v, const Graph&) const { spreading->order_.push_back(v); }
      void tree_edge(boost::graph_traits<Graph>::edge_descriptor e, const Graph& g) const {
        const Vertex child = boost::target(e, g);
        spreading->parent_[child] = boost::source(e, g);
        spreading->link_up_[child] = g[e];
      }
    } visitor;
    visitor.spreading = this;
    parent_[root] = root;
    const auto index = boost::get(boost::vertex_index, graph_);
    boost::queue<Vertex> waiting;
    boost::breadth_first_visit(graph_, root, waiting, visitor,
                               boost::make_iterator_property_map(colours.begin(), index));
  }

  bool is_root(Vertex v) const { return parent_[v] == v; }
  bool is_child(Vertex v, Vertex of) const { return !is_root(v) && parent_[v] == of; }

  // All that is known at v, leaving out one child and, if asked, what comes from the parent.
  Message gathered(Vertex v, std::optional<Vertex> without, bool with_parent) const {
    Message out = own_[v];
    for (const Vertex child : children_of(v)) {
      if (without && *without == child) continue;
      out = combined(out, over(up_[child], *link_up_[child], !fast_is(child)));
    }
    return with_parent ? combined(out, down_[v]) : out;
  }

  std::vector<Vertex> children_of(Vertex v) const {
    std::vector<Vertex> out;
    for (const Vertex w : order_) {
      if (is_child(w, v)) out.push_back(w);
    }
    return out;
  }

  bool fast_is(Vertex child) const { return link_up_[child]->fast == graph_[child]; }

  void send_up() {
    for (auto v = order_.rbegin(); v != order_.rend(); ++v) {
      up_[*v] = gathered(*v, std::nullopt, false);
    }
  }

  void send_down() {
    for (const Vertex v : order_) {
      if (is_root(v)) continue;
      down_[v] = over(gathered(parent_[v], v, true), *link_up_[v], fast_is(v));
    }
  }

  PartBelief belief_of(Vertex v, const Message& all) const {
    PartBelief out{all.value, 1.0 / std::sqrt(all.weight), {}};
    for (const PartReading& reading : readings_) {
      if (reading.part == graph_[v]) out.arrivals.push_back({"", reading.source});
    }
    if (!down_[v].empty()) {
      const PartLink& link = *link_up_[v];
      out.arrivals.push_back({graph_[parent_[v]], fast_is(v) ? link.factor : link.back});
    }
    for (const Vertex child : children_of(v)) {
      if (up_[child].empty()) continue;
      const PartLink& link = *link_up_[child];
      out.arrivals.push_back({graph_[child], fast_is(child) ? link.back : link.factor});
    }
    return out;
  }

  const std::vector<PartReading>& readings_;
  Graph graph_;
  std::map<std::string, Vertex> by_name_;
  std::vector<Vertex> order_;
  std::vector<Vertex> parent_;  // of a root: itself
  std::vector<const PartLink*> link_up_;
  std::vector<Message> own_, up_, down_;
};

}  // namespace

std::map<std::string, PartBelief> spread(const std::vector<PartLink>& links,
                                         const std::vector<PartReading>& readings) {
  return Spreading(links, readings).beliefs();
}

}  // namespace perrev
