#include "engine/knowledge/load.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>

#include "engine/knowledge/groups.h"
#include "engine/knowledge/loader.h"
#include "engine/knowledge/path.h"

namespace perrev {

namespace {

// FNV-1a, 64 bits: names a state of the rule base, protects nothing.
std::string digest_of(const std::vector<ParsedFile>& files) {
  std::uint64_t hash = 14695981039346656037ull;
  const auto mix = [&](const std::string& text) {
    for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ull;
    hash = (hash ^ 0xffu) * 1099511628211ull;
  };
  for (const ParsedFile& file : files) {
    mix(file.source.name);
    mix(file.source.text);
  }
  std::string out;
  for (int shift = 60; shift >= 0; shift -= 4) out += "0123456789abcdef"[(hash >> shift) & 15u];
  return out;
}

bool begins_with(const std::string& text, const char* start) { return text.rfind(start, 0) == 0; }

const std::vector<std::string>& single_files() {
  static const std::vector<std::string> names = {"strengths.yaml", "families.yaml", "facts.yaml",
                                                 "limits.yaml",    "repairs.yaml",  "shop.yaml",
                                                 "checks.yaml",    "path.yaml"};
  return names;
}

using Step = void (Loader::*)(const FileReader&, const YamlNode&);

}  // namespace

ParsedFile parse_file(SourceFile source) {
  auto tree = parse_yaml(source.shown, source.text);
  return ParsedFile{std::move(source), std::move(tree)};
}

Result<RuleBase, Problems> load_rule_base(std::vector<SourceFile> files) {
  std::vector<ParsedFile> parsed;
  for (SourceFile& file : files) parsed.push_back(parse_file(std::move(file)));
  return build_rule_base(std::move(parsed));
}

Result<RuleBase, Problems> build_rule_base(std::vector<ParsedFile> files) {
  std::sort(files.begin(), files.end(),
            [](const ParsedFile& a, const ParsedFile& b) { return a.source.name < b.source.name; });
  Loader loader;
  loader.base.digest = digest_of(files);
  const auto kind_of = [](const std::string& name) {
    return begins_with(name, "causes/")     ? "causes/"
           : begins_with(name, "evidence/") ? "evidence/"
                                            : "";
  };
  for (const ParsedFile& file : files) {
    const std::string& name = file.source.name;
    const auto& singles = single_files();
    if (*kind_of(name) == '\0' &&
        std::find(singles.begin(), singles.end(), name) == singles.end()) {
      const auto near = nearest(name, singles);
      loader.problems.push_back(
          Problem{{file.source.shown, 0, 0, {}},
                  "not a file of a rule base",
                  near ? "did you mean " + *near + "?" : "causes/ or evidence/",
                  {}});
    }
    if (file.tree.ok()) continue;
    loader.problems.insert(loader.problems.end(), file.tree.error().begin(),
                           file.tree.error().end());
    (name == "facts.yaml"           ? loader.facts_complete
     : begins_with(name, "causes/") ? loader.causes_complete
                                    : loader.others_complete) = false;
  }
  for (const std::string& name : single_files())
    if (std::none_of(files.begin(), files.end(),
                     [&](const ParsedFile& f) { return f.source.name == name; })) {
      loader.problems.push_back(Problem{{name, 0, 0, {}},
                                        "the rule base has no " + name,
                                        "a folder with " + name + " in it",
                                        {}});
      (name == "facts.yaml" ? loader.facts_complete : loader.others_complete) = false;
    }
  const auto each = [&](const std::string& what, Step step) {
    for (const ParsedFile& file : files)
      if (file.tree.ok() && (file.source.name == what || kind_of(file.source.name) == what))
        (loader.*step)(FileReader(file.source.shown, &loader.problems), *file.tree);
  };
  each("strengths.yaml", &Loader::strengths);
  each("families.yaml", &Loader::families);
  for (const ParsedFile& file : files)
    if (file.tree.ok() && file.source.name == "limits.yaml") loader.limited_facts(*file.tree);
  each("facts.yaml", &Loader::facts);
  each("limits.yaml", &Loader::limits);
  each("facts.yaml", &Loader::fact_conditions);
  each("causes/", &Loader::causes);
  each("repairs.yaml", &Loader::repairs);
  each("causes/", &Loader::cause_links);
  each("evidence/", &Loader::evidence);
  each("shop.yaml", &Loader::shop);
  each("checks.yaml", &Loader::checks);
  each("path.yaml", &Loader::path);
  loader.finish();
  if (loader.problems.empty()) return std::move(loader.base);

  std::stable_sort(loader.problems.begin(), loader.problems.end(),
                   [](const Problem& a, const Problem& b) {
                     if (a.place.file != b.place.file) return a.place.file < b.place.file;
                     return std::make_pair(a.place.line, a.place.column) <
                            std::make_pair(b.place.line, b.place.column);
                   });
  for (Problem& p : loader.problems)
    for (const ParsedFile& file : files)
      if (p.source.empty() && p.place.line > 0 && file.source.shown == p.place.file)
        p.source = source_line(file.source.text, p.place.line);
  return std::move(loader.problems);
}

void Loader::finish() {
  for (Cause& cause : base.causes) {
    std::sort(cause.not_with.begin(), cause.not_with.end());
    cause.not_with.erase(std::unique(cause.not_with.begin(), cause.not_with.end()),
                         cause.not_with.end());
  }
  if (base.causes.empty() && causes_complete)
    problems.push_back(problem("the rule base has no causes", "files in causes/"));
  band_numbers();
  for (Variable& variable : base.variables) {
    variable.first_slot = base.slot_count;
    variable.slots = std::max(1, static_cast<int>(places_of(variable.per).size()));
    base.slot_count += variable.slots;
  }
  check_rules_per_cause();
  if (problems.empty()) problems = check_path(base);
}

std::vector<Condition*> Loader::all_conditions() {
  std::vector<Condition*> all;
  for (Fact& fact : base.facts) all.push_back(&fact.asked_if);
  for (Rule& rule : base.rules) all.push_back(&rule.when);
  for (Check& check : base.checks) {
    all.push_back(&check.asked_if);
    for (auto& verdict : check.confirms) all.push_back(&verdict.second);
  }
  for (PathEdge& edge : base.edges) all.push_back(&edge.when);
  return all;
}

namespace {

double share_below(const Fact& fact, double value) {
  for (std::size_t i = 1; i < fact.cumulative.size(); ++i) {
    const auto& [x1, p1] = fact.cumulative[i];
    if (value > x1) continue;
    const auto& [x0, p0] = fact.cumulative[i - 1];
    return p0 + (p1 - p0) * (value - x0) / (x1 - x0);
  }
  return 1.0;
}

}  // namespace

// A number's answers are the bands between all thresholds in use; thresholds that differ by
// rounding of units alone are one.
void Loader::band_numbers() {
  constexpr double kSame = 1e-9;
  const std::vector<Condition*> conditions = all_conditions();
  for (std::size_t v = 0; v < base.variables.size(); ++v) {
    Variable& variable = base.variables[v];
    const Fact& fact = base.facts[static_cast<std::size_t>(variable.fact)];
    if (fact.kind != FactKind::number || fact.limit >= 0 || fact.cumulative.size() < 2) continue;
    const double same = kSame * (fact.high - fact.low);
    std::vector<double> edges = {fact.low, fact.high};
    for (Condition* condition : conditions)
      condition->each_test([&](Condition& leaf) {
        if (leaf.variable != static_cast<int>(v)) return;
        for (const double edge : {leaf.low, leaf.high})
          if (edge > fact.low + same && edge < fact.high - same) edges.push_back(edge);
      });
    std::sort(edges.begin(), edges.end());
    edges.erase(
        std::unique(edges.begin(), edges.end(), [&](double a, double b) { return b - a <= same; }),
        edges.end());
    if (edges.size() > 65) {
      problems.push_back(Problem{fact.place,
                                 "'" + fact.id + "' has more than 64 bands",
                                 "fewer different thresholds in rules",
                                 {}});
      edges.resize(65);
    }
    variable.edges = edges;
    variable.base.clear();
    for (std::size_t i = 0; i + 1 < edges.size(); ++i)
      variable.base.push_back(share_below(fact, edges[i + 1]) - share_below(fact, edges[i]));
    for (Condition* condition : conditions)
      condition->each_test([&](Condition& leaf) {
        if (leaf.variable != static_cast<int>(v)) return;
        for (std::size_t i = 0; i + 1 < edges.size(); ++i)
          if (edges[i] >= leaf.low - same && edges[i + 1] <= leaf.high + same)
            leaf.answers |= AnswerSet{1} << i;
      });
  }
}

void Loader::check_rules_per_cause() {
  const std::size_t ruled = base.causes.size() + 1;
  const std::vector<std::vector<FactGroup>> groups = all_groups(base);
  for (std::size_t c = 0; c < ruled; ++c)
    for (const FactGroup& group : groups[c]) {
      const std::string name = c < base.causes.size() ? base.causes[c].id : "nothing_left";
      const Place place = group.rules.empty()
                              ? Place{}
                              : base.rules[static_cast<std::size_t>(group.rules.back().rule)].place;
      if (group.sheets > kLargestGroup) {
        std::string facts;
        for (const int v : group.variables)
          facts += (facts.empty() ? "" : ", ") + base.variable_name(v);
        problems.push_back(
            Problem{place,
                    "the rules about '" + name + "' tie too many facts together: " + facts,
                    "at most 4096 answer sheets; simpler conditions",
                    {}});
      }
      Per per = Per::vehicle_case;
      for (const int v : group.variables) {
        const Per other = base.variables[static_cast<std::size_t>(v)].per;
        if (other != Per::vehicle_case && per != Per::vehicle_case && other != per)
          problems.push_back(Problem{
              place,
              "the rules about '" + name + "' tie facts of different kinds of place together",
              "one of per wheel, per axle, per shaft",
              {}});
        if (other != Per::vehicle_case) per = other;
      }
    }
  const int frequency = base.fact_index("measured_frequency");
  for (const Rule& rule : base.rules)
    rule.when.each_test([&](const Condition& leaf) {
      if (base.variables[static_cast<std::size_t>(leaf.variable)].fact != frequency) return;
      for (const Rule::Effect& effect : rule.effects)
        if (effect.cause < base.nothing_left() &&
            !base.causes[static_cast<std::size_t>(effect.cause)].shakes.empty())
          problems.push_back(Problem{rule.place,
                                     "rule '" + rule.id + "' speaks of measured_frequency for '" +
                                         base.causes[static_cast<std::size_t>(effect.cause)].id +
                                         "'",
                                     "that is computed from the cause's orders; leave it out",
                                     {}});
    });
}

}  // namespace perrev
