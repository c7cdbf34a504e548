// The decision graph: circles, what cannot be reached, dead ends, and that nothing moves round a
// gate.
#include "engine/knowledge/path.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "tests/engine/knowledge/small_base.h"

using perrev::check_path;
using perrev::Moves;
using perrev::PathEdge;
using perrev::RuleBase;
using perrev::small::Lcg;

namespace {

// A path in short: "start>a a>G G!m m>end" has edges from start to check a, from there to gate G,
// from its passed side to check m, and on to the end. Letters say what a vertex is: m.. moves the
// car, w.. spins a wheel, other small ones stand; G.. guards both, D.. driving, S.. spinning; end..
// is an end.
RuleBase path(const std::string& text) {
  RuleBase base;
  std::set<std::string> names;
  std::istringstream words(text);
  std::vector<std::string> edges;
  for (std::string word; words >> word;) {
    edges.push_back(word);
    const std::size_t mark = word.find_first_of(">!");
    names.insert(word.substr(0, mark));
    names.insert(word.substr(mark + 1));
  }
  for (const std::string& name : names) {
    perrev::Place place;
    place.file = name;
    if (name == "start") continue;
    if (name.rfind("end", 0) == 0) {
      base.ends.push_back({name, "", place});
    } else if (name[0] >= 'A' && name[0] <= 'Z') {
      perrev::Gate gate;
      gate.id = name;
      gate.place = place;
      gate.guards_driving = name[0] != 'S';
      gate.guards_spinning = name[0] != 'D';
      base.gates.push_back(gate);
    } else {
      perrev::Check check;
      check.id = name;
      check.place = place;
      check.moves = name[0] == 'm' ? Moves::yes : name[0] == 'w' ? Moves::wheels_spin : Moves::no;
      base.checks.push_back(check);
    }
  }
  const auto vertex = [&](const std::string& name) {
    for (int v = 0; v < base.vertex_count(); ++v)
      if (base.vertex_name(v) == name) return v;
    return -1;
  };
  for (const std::string& edge : edges) {
    const std::size_t mark = edge.find_first_of(">!");
    PathEdge made;
    made.from = vertex(edge.substr(0, mark));
    made.to = vertex(edge.substr(mark + 1));
    made.passed = edge[mark] == '!';
    base.edges.push_back(made);
  }
  return base;
}

// One letter for each kind of problem with the vertex it is about, sorted: "dead:a round:m".
std::string wrong(const RuleBase& base) {
  std::set<std::string> found;
  for (const perrev::Problem& problem : check_path(base)) {
    const std::string& what = problem.what;
    const std::string name = what.substr(1, what.find('\'', 1) - 1);
    if (what.find("circle") != std::string::npos || what.find("to itself") != std::string::npos)
      found.insert("circle");
    else if (what.find("dead end") != std::string::npos)
      found.insert("dead:" + name);
    else if (what.find("cannot be reached") != std::string::npos)
      found.insert("lost:" + name);
    else if (what.find("round every gate") != std::string::npos)
      found.insert("round:" + name);
    else if (what.find("does not ask") != std::string::npos)
      found.insert("unasked:" + name);
    else
      found.insert(what);
  }
  std::string out;
  for (const std::string& each : found) out += (out.empty() ? "" : " ") + each;
  return out;
}

}  // namespace

TEST_CASE("paths that are right and paths that are wrong") {
  struct Row {
    const char* path;
    const char* wrong;
  };
  const Row rows[] = {
      // Right.
      {"start>a a>end", ""},
      {"start>a start>b a>end b>end", ""},
      {"start>a a>b a>c b>d c>d d>end", ""},
      {"start>a start>a a>end a>end", ""},  // the same edge twice, with two conditions
      {"start>G G!m m>end", ""},
      {"start>G G!w w>end", ""},
      {"start>D D!m m>end", ""},
      {"start>S S!w w>end", ""},
      {"start>G G!m m>n n>m2 m2>end", ""},                  // moving checks further on
      {"start>G G!m G>a a>end m>end", ""},                  // the way of those who do not pass
      {"start>a a>G start>G G!b b>m b>w m>end w>end", ""},  // a standing check in between
      {"start>G G!G2 G2!m m>end", ""},                      // a gate after a gate
      {"start>G G!D D!m D>a a>end m>end", ""},
      {"start>D D!S S!w S!m w>end m>end", ""},  // both behind both
      // Circles.
      {"start>a a>b b>a b>end", "circle"},
      {"start>a a>a a>end", "circle"},
      {"start>a a>b b>c c>d d>b d>end", "circle"},
      {"start>G G!a a>G a>end", "circle"},
      {"start>a a>end b>c c>b b>end", "circle lost:b lost:c"},  // where nobody comes
      // What cannot be reached, and dead ends.
      {"start>a a>end b>end", "lost:b"},
      {"start>a a>end b>c c>end", "lost:b lost:c"},
      {"start>a a>end b>G G!m m>end", "lost:G lost:b lost:m"},
      {"start>a a>end1 b>end2", "lost:b lost:end2"},
      {"start>a start>b a>end", "dead:b"},
      {"start>a a>b b>c start>end", "dead:a dead:b dead:c"},
      {"start>a a>G start>end", "dead:G dead:a"},
      {"a>end", "dead:start lost:a lost:end"},
      // Round the gate.
      {"start>m m>end", "round:m"},
      {"start>w w>end", "round:w"},
      {"start>a a>m m>end", "round:m"},
      {"start>G G!m start>m m>end", "round:m"},      // straight from the start
      {"start>G start>a G!m a>m m>end", "round:m"},  // from beside it
      {"start>a a>G a>m G!m m>end", "round:m"},      // over it
      {"start>G G>m m>end", "round:m"},              // through it without passing
      {"start>G G!m G>m m>end", "round:m"},
      {"start>G G!m G>a a>m m>end", "round:m"},          // the way of those who do not pass
      {"start>G G!b a>b start>a b>m m>end", "round:m"},  // joining behind it
      {"start>G G!m m>n n>end start>a a>m2 m2>n", "round:m2"},
      {"start>D D!w w>end", "round:w"},  // the gate guards driving only
      {"start>S S!m m>end", "round:m"},
      {"start>D D!w D!m w>end m>end", "round:w"},
      {"start>D D!a a>w a>m w>end m>end", "round:w"},
      {"start>D D>S S!w S!m w>end m>end", "round:m"},  // D stands before, but is not asked
      {"start>G start>G2 G!m G2!m m>end", "round:m"},  // either gate alone can be gone round
      // Behind one gate, past another that does not ask.
      {"start>G G!G2 G2>m m>end", "unasked:m"},
      {"start>G G!G2 G2>m G2!m m>end", "unasked:m"},
      {"start>G G!S S>m m>end", ""},  // S does not guard driving
      {"start>G G!S S>w w>end", "unasked:w"},
  };
  for (const Row& row : rows) {
    INFO(std::string(row.path));
    CHECK(wrong(path(row.path)) == row.wrong);
  }
}

TEST_CASE("a problem is placed at the vertex or edge that it is about") {
  struct Row {
    const char* path;
    const char* file;
  };
  const Row rows[] = {
      {"start>a a>end b>end", "b"},
      {"start>a start>b a>end", "b"},
      {"start>a a>end1 a>end2 start>G", "G"},
      {"start>a a>end c>end", "c"},
      {"start>m m>end", "m"},
  };
  for (const Row& row : rows) {
    INFO(std::string(row.path));
    const perrev::Problems problems = check_path(path(row.path));
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].place.file == row.file);
  }
}

TEST_CASE("edges that lead to a vertex, and the gates that guard a check") {
  const RuleBase base = path("start>a a>G G!m G>b m>b b>D D!n n>end");
  const auto into = incoming_edges(base);
  const auto edges_to = [&](const std::string& name) {
    std::string out;
    for (int v = 0; v < base.vertex_count(); ++v)
      if (base.vertex_name(v) == name)
        for (const int e : into[static_cast<std::size_t>(v)])
          out += base.vertex_name(base.edges[static_cast<std::size_t>(e)].from);
    return out;
  };
  CHECK(edges_to("start") == "");
  CHECK(edges_to("b") == "Gm");
  CHECK(edges_to("end") == "n");
  const auto guards = guarding_gates(base);
  const auto gates_of = [&](const std::string& check) {
    std::string out;
    for (std::size_t c = 0; c < base.checks.size(); ++c)
      if (base.checks[c].id == check)
        for (const int g : guards[c]) out += base.gates[static_cast<std::size_t>(g)].id;
    return out;
  };
  CHECK(gates_of("a") == "");
  CHECK(gates_of("m") == "G");
  CHECK(gates_of("b") == "");
  CHECK(gates_of("n") == "D");
  const RuleBase nested = path("start>G G!a a>D D!m m>end");
  CHECK(guarding_gates(nested)[1] == std::vector<int>{0, 1});
}

namespace {

// The slow twin: plain reachability, again for every question.
class Twin {
 public:
  explicit Twin(const RuleBase& base) : base_(base) {}

  // Without the passed edges of `gate`, if it is one.
  std::vector<bool> reached(int gate = -1) const {
    std::vector<bool> out(static_cast<std::size_t>(base_.vertex_count()), false);
    out[0] = true;
    for (bool grown = true; grown;) {
      grown = false;
      for (const PathEdge& edge : base_.edges) {
        if (edge.passed && gate >= 0 && edge.from == base_.vertex_of_gate(gate)) continue;
        if (!at(out, edge.from) || at(out, edge.to)) continue;
        out[static_cast<std::size_t>(edge.to)] = grown = true;
      }
    }
    return out;
  }
  bool ends_from(int vertex) const {
    if (vertex >= base_.vertex_of_end(0)) return true;
    std::vector<bool> seen(static_cast<std::size_t>(base_.vertex_count()), false);
    seen[static_cast<std::size_t>(vertex)] = true;
    for (bool grown = true; grown;) {
      grown = false;
      for (const PathEdge& edge : base_.edges) {
        if (!at(seen, edge.from) || at(seen, edge.to)) continue;
        if (edge.to >= base_.vertex_of_end(0)) return true;
        seen[static_cast<std::size_t>(edge.to)] = grown = true;
      }
    }
    return false;
  }
  // Takes away vertices that nothing leads to, until none is left or only circles are.
  bool has_circle() const {
    std::vector<bool> gone(static_cast<std::size_t>(base_.vertex_count()), false);
    for (bool taken = true; taken;) {
      taken = false;
      for (int v = 0; v < base_.vertex_count(); ++v) {
        const bool led_to =
            std::any_of(base_.edges.begin(), base_.edges.end(),
                        [&](const PathEdge& edge) { return edge.to == v && !at(gone, edge.from); });
        if (at(gone, v) || led_to) continue;
        gone[static_cast<std::size_t>(v)] = taken = true;
      }
    }
    return std::find(gone.begin(), gone.end(), false) != gone.end();
  }
  bool guards(int gate, int check) const {
    const perrev::Gate& g = base_.gates[static_cast<std::size_t>(gate)];
    const Moves moves = base_.checks[static_cast<std::size_t>(check)].moves;
    return (moves == Moves::yes && g.guards_driving) ||
           (moves == Moves::wheels_spin && g.guards_spinning);
  }

  std::string wrong() const {
    std::set<std::string> found;
    if (has_circle()) found.insert("circle");
    const std::vector<bool> here = reached();
    for (int v = 0; v < base_.vertex_count(); ++v)
      if (!at(here, v))
        found.insert("lost:" + base_.vertex_name(v));
      else if (!ends_from(v))
        found.insert("dead:" + base_.vertex_name(v));
    for (int c = 0; c < static_cast<int>(base_.checks.size()); ++c) {
      const perrev::Check& check = base_.checks[static_cast<std::size_t>(c)];
      if (check.moves == Moves::no || !at(here, base_.vertex_of_check(c))) continue;
      bool guarded = false;
      for (int g = 0; g < static_cast<int>(base_.gates.size()); ++g)
        guarded = guarded || (guards(g, c) && !at(reached(g), base_.vertex_of_check(c)));
      if (!guarded) found.insert("round:" + check.id);
      if (!guarded) continue;
      for (const PathEdge& edge : base_.edges)
        for (int g = 0; g < static_cast<int>(base_.gates.size()); ++g)
          if (edge.from == base_.vertex_of_gate(g) && edge.to == base_.vertex_of_check(c) &&
              !edge.passed && guards(g, c))
            found.insert("unasked:" + check.id);
    }
    std::string out;
    for (const std::string& each : found) out += (out.empty() ? "" : " ") + each;
    return out;
  }

 private:
  static bool at(const std::vector<bool>& list, int i) { return list[static_cast<std::size_t>(i)]; }

  const RuleBase& base_;
};

std::string random_path(Lcg& lcg) {
  const std::vector<std::string> names = {"a", "b", "c", "m", "m2", "w", "G", "D", "S", "end"};
  const int used = 3 + lcg.below(static_cast<int>(names.size()) - 3);
  std::vector<std::string> mine = names;
  for (std::size_t i = mine.size(); i > 1; --i)
    std::swap(mine[i - 1], mine[static_cast<std::size_t>(lcg.below(static_cast<int>(i)))]);
  mine.resize(static_cast<std::size_t>(used));
  const bool forward = lcg.below(4) != 0;  // mostly without circles
  std::string out = "start>" + mine[0];
  for (int i = 0, n = 2 + lcg.below(2 * used); i < n; ++i) {
    int from = lcg.below(used + 1) - 1, to = lcg.below(used);
    if (forward && from >= to) std::swap(from, to);
    if (from == to && forward) continue;
    const std::string source = from < 0 ? "start" : mine[static_cast<std::size_t>(from)];
    if (source == "end") continue;
    const bool gate = source[0] >= 'A' && source[0] <= 'Z';
    out +=
        " " + source + (gate && lcg.below(4) != 0 ? "!" : ">") + mine[static_cast<std::size_t>(to)];
  }
  return out;
}

}  // namespace

TEST_CASE("random paths: a slow twin finds the same") {
  int right = 0, round = 0;
  for (unsigned long long seed = 0; seed < 8000; ++seed) {
    Lcg lcg(seed);
    const std::string text = random_path(lcg);
    INFO(text);
    const RuleBase base = path(text);
    const std::string found = wrong(base);
    CHECK(found == Twin(base).wrong());
    right += found.empty();
    round += found.find("round") != std::string::npos;
    // Each gate that guards a check keeps everybody from it who does not pass.
    const auto guards = guarding_gates(base);
    const std::vector<bool> here = Twin(base).reached();
    for (std::size_t c = 0; c < base.checks.size(); ++c) {
      const std::size_t vertex =
          static_cast<std::size_t>(base.vertex_of_check(static_cast<int>(c)));
      if (!here[vertex]) continue;
      for (int g = 0; g < static_cast<int>(base.gates.size()); ++g) {
        const bool told = std::find(guards[c].begin(), guards[c].end(), g) != guards[c].end();
        CHECK(told == !Twin(base).reached(g)[vertex]);
      }
    }
  }
  CHECK(right > 50);  // the law speaks of both
  CHECK(round > 1000);
}
