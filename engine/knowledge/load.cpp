#include "engine/knowledge/load.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <set>
#include <string_view>
#include <tuple>
#include <utility>

#include "engine/knowledge/computed.h"
#include "engine/knowledge/groups.h"
#include "engine/knowledge/loader.h"
#include "engine/knowledge/path.h"
#include "engine/knowledge/rule_files.h"
#include "engine/knowledge/source_text.h"
#include "engine/knowledge/tree_bytes.h"

namespace perrev {

namespace {

// A file that no part of the rule base is read from.
void tell_stray(const SourceFile& file, Loader& loader) {
  std::vector<std::string> names;
  std::string all;
  for (const RuleFile& kind : rule_files()) {
    names.emplace_back(kind.name);
    all += (all.empty() ? "" : ", ") + names.back();
  }
  const std::size_t slash = file.name.find('/');
  const std::size_t named = slash == std::string::npos ? file.name.size() : slash + 1;
  const auto near = nearest(file.name.substr(0, named), names);
  if (near) loader.broken.insert(*near);
  loader.problems.push_back(
      Problem{{file.shown, 0, 0, {}},
              "not a file of a rule base",
              near ? "did you mean '" + *near + file.name.substr(named) + "'?" : "known: " + all,
              {}});
}

// Where a file defines names, none at all would make an error of every use of them.
void is_full_mapping(const FileReader& reader, const YamlNode& root, const RuleFile& kind) {
  const bool may_be_empty = kind.name == "limits.yaml" || kind.is_folder();
  if (reader.is_mapping(root, kind.holds, kind.example) && root.members.empty() && !may_be_empty)
    reader.fault(root, "there are no " + std::string(kind.holds) + " here",
                 std::string(kind.example));
}

// The files whose content can be read; the others are told about.
std::vector<const ParsedFile*> sound_files(const std::vector<ParsedFile>& files, Loader& loader) {
  std::vector<const ParsedFile*> sound;
  for (std::size_t i = 0; i < files.size(); ++i) {
    const ParsedFile& file = files[i];
    const RuleFile* kind = rule_file(file.source.name);
    if (i > 0 && files[i - 1].source.name == file.source.name) {
      loader.problems.push_back(Problem{{file.source.shown, 0, 0, {}},
                                        "two files are named " + file.source.name,
                                        "each name once",
                                        {}});
      continue;
    }
    if (!check_text(file.source.name, file.source.name).empty()) {
      loader.problems.push_back(Problem{{file.source.shown, 0, 0, {}},
                                        "the name of this file is no plain text",
                                        "letters, digits and _ in UTF-8",
                                        {}});
      if (kind) loader.broken.emplace(kind->name);
      continue;
    }
    if (!kind) tell_stray(file.source, loader);
    const std::size_t before = loader.problems.size();
    const FileReader reader(file.source.shown, &loader.problems);
    if (!file.tree.ok())
      loader.problems.insert(loader.problems.end(), file.tree.error().begin(),
                             file.tree.error().end());
    else if (kind && !kind->is_list())
      is_full_mapping(reader, *file.tree, *kind);
    else if (kind && file.tree->kind != YamlNode::Kind::sequence)
      reader.fault(*file.tree, "expected a list of " + std::string(kind->holds),
                   std::string(kind->example));
    if (kind && loader.problems.size() != before) loader.broken.emplace(kind->name);
    if (kind && loader.problems.size() == before) sound.push_back(&file);
  }
  return sound;
}

void tell_missing(const std::vector<ParsedFile>& files, Loader& loader) {
  std::string folder;  // as in the other files' shown names
  for (const ParsedFile& file : files) {
    const SourceFile& source = file.source;
    const std::size_t before =
        source.shown.size() - std::min(source.shown.size(), source.name.size());
    if (source.shown.substr(before) == source.name) folder = source.shown.substr(0, before);
  }
  for (const RuleFile& kind : rule_files()) {
    if (kind.is_folder() || kind.may_miss ||
        std::any_of(files.begin(), files.end(),
                    [&](const ParsedFile& file) { return file.source.name == kind.name; }))
      continue;
    const std::string name(kind.name);
    loader.problems.push_back(Problem{
        {folder + name, 0, 0, {}}, "there is no such file", "every rule base has its " + name, {}});
    loader.broken.insert(name);
  }
}

std::string digest_of_texts(const std::vector<ParsedFile>& files) {
  std::uint64_t digest = digest_of("rules");
  for (const ParsedFile& file : files)
    digest = digest_of(file.source.text, digest_of(file.source.name, digest));
  return hex_digits(digest);
}

using Step = void (Loader::*)(const FileReader&, const YamlNode&);

Problems sorted_with_sources(Problems problems, const std::vector<ParsedFile>& files) {
  std::sort(problems.begin(), problems.end(), [](const Problem& a, const Problem& b) {
    return std::tie(a.place.file, a.place.line, a.place.column, a.what) <
           std::tie(b.place.file, b.place.line, b.place.column, b.what);
  });
  if (problems.size() >= kMostProblems) {
    problems.resize(kMostProblems);
    const Place last = problems.back().place;
    problems.push_back(Problem{last, "more errors than can be told", "these mended first", {}});
  }
  std::map<std::string, SourceLines> lines;
  for (const ParsedFile& file : files) lines.emplace(file.source.shown, file.source.text);
  for (Problem& p : problems) {
    const auto text = lines.find(p.place.file);
    if (p.source.empty() && p.place.line > 0 && text != lines.end())
      p.source = text->second.at(p.place.line);
  }
  return problems;
}

}  // namespace

Result<RuleBase, Problems> build_rule_base(std::vector<ParsedFile> files, std::string digest) {
  std::sort(files.begin(), files.end(), [](const ParsedFile& a, const ParsedFile& b) {
    if (a.source.name != b.source.name) return a.source.name < b.source.name;
    return a.source.text < b.source.text;
  });
  Loader loader;
  loader.base.digest = digest.empty() ? digest_of_texts(files) : std::move(digest);
  const std::vector<const ParsedFile*> sound = sound_files(files, loader);
  tell_missing(files, loader);
  const auto each = [&](std::string_view what, Step step) {
    for (const ParsedFile* file : sound)
      if (rule_file(file->source.name)->name == what)
        (loader.*step)(FileReader(file->source.shown, &loader.problems), *file->tree);
  };
  each("strengths.yaml", &Loader::strengths);
  each("families.yaml", &Loader::families);
  each("limits.yaml", &Loader::limited_facts);
  each("facts.yaml", &Loader::facts);
  each("limits.yaml", &Loader::limits);
  each("facts.yaml", &Loader::fact_conditions);
  each(kCauses, &Loader::causes);
  each("repairs.yaml", &Loader::repairs);
  each("physics.yaml", &Loader::physics);  // before what must leave out what it computes
  each(kCauses, &Loader::cause_links);
  each(kEvidence, &Loader::evidence);
  each("shop.yaml", &Loader::shop);
  each("checks.yaml", &Loader::checks);
  each("path.yaml", &Loader::path);
  each("flow_chart.yaml", &Loader::flow_chart);
  each("phrases.yaml", &Loader::phrases);
  loader.finish();
  if (loader.problems.empty()) return std::move(loader.base);
  return sorted_with_sources(std::move(loader.problems), files);
}

void Loader::finish() {
  for (Cause& cause : base.causes) {
    std::sort(cause.not_with.begin(), cause.not_with.end());
    cause.not_with.erase(std::unique(cause.not_with.begin(), cause.not_with.end()),
                         cause.not_with.end());
  }
  if (base.causes.empty() && whole(kCauses))
    problems.push_back(Problem{
        {std::string(kCauses), 0, 0, {}}, "the rule base has no causes", "files of causes", {}});
  if (base.rules.empty() && whole(kEvidence))
    problems.push_back(Problem{
        {std::string(kEvidence), 0, 0, {}}, "the rule base has no rules", "files of evidence", {}});
  constexpr std::size_t kMostCauses = 2000;  // pairs grow with the square
  if (base.causes.size() > kMostCauses)
    problems.push_back(Problem{
        base.causes.back().place, "the rule base has more than 2000 causes", "fewer causes", {}});
  band_numbers();
  for (Variable& variable : base.variables) {
    variable.first_slot = base.slot_count;
    variable.slots = std::max(1, static_cast<int>(places_of(variable.per).size()));
    base.slot_count += variable.slots;
  }
  check_rules_per_cause();
  if (!path_sound_ || !whole("checks.yaml") || !whole("path.yaml")) return;
  for (Problem& found : check_path(base)) problems.push_back(std::move(found));
  base.incoming = incoming_edges(base);
  base.guards = guarding_gates(base);
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
  for (ChartStep& step : base.flow_chart) all.push_back(&step.when);
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

// A number's answers are the bands between all thresholds in use, and those of its base rates where
// it is computed for some cause; thresholds that differ by rounding of units alone are one.
void Loader::band_numbers() {
  constexpr double kSame = 1e-9;
  std::vector<std::vector<Condition*>> tests(base.variables.size());
  for (Condition* condition : all_conditions())
    condition->each_test([&](Condition& leaf) {
      if (leaf.variable >= 0) tests[static_cast<std::size_t>(leaf.variable)].push_back(&leaf);
    });
  for (std::size_t v = 0; v < base.variables.size(); ++v) {
    Variable& variable = base.variables[v];
    const Fact& fact = base.facts[static_cast<std::size_t>(variable.fact)];
    if (fact.kind != FactKind::number || !fact.answers.empty() || fact.cumulative.size() < 2)
      continue;
    const double same = kSame * (fact.high - fact.low);
    std::vector<double> edges = {fact.low, fact.high};
    for (const Condition* leaf : tests[v])
      for (const double edge : {leaf->low, leaf->high})
        if (edge > fact.low + same && edge < fact.high - same) edges.push_back(edge);
    if (!computed_for(base, variable.fact).empty())
      for (const auto& [value, below] : fact.cumulative)
        if (value > fact.low + same && value < fact.high - same) edges.push_back(value);
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
    for (Condition* leaf : tests[v])
      for (std::size_t i = 0; i + 1 < edges.size(); ++i)
        if (edges[i] >= leaf->low - same && edges[i + 1] <= leaf->high + same)
          leaf->answers |= AnswerSet{1} << i;
  }
}

namespace {

std::string named_variables(const RuleBase& base, const std::vector<int>& variables) {
  constexpr std::size_t kMostNamed = 16;
  std::string out;
  for (std::size_t i = 0; i < std::min(variables.size(), kMostNamed); ++i)
    out += (out.empty() ? "" : ", ") + base.variable_name(variables[i]);
  return variables.size() > kMostNamed ? out + ", ..." : out;
}

}  // namespace

void Loader::check_rules_per_cause() {
  const std::size_t ruled = base.causes.size() + 1;
  const std::vector<std::vector<FactGroup>> groups = all_groups(base);
  for (std::size_t c = 0; c < ruled; ++c)
    for (const FactGroup& group : groups[c]) {
      const std::string name = c < base.causes.size() ? base.causes[c].id : "nothing_left";
      const Place place = group.rules.empty()
                              ? Place{}
                              : base.rules[static_cast<std::size_t>(group.rules.back().rule)].place;
      if (group.sheets > kLargestGroup)
        problems.push_back(Problem{place,
                                   "the rules about '" + name + "' tie too many facts together: " +
                                       named_variables(base, group.variables),
                                   "at most 4096 answer sheets; simpler conditions",
                                   {}});
      std::set<Per> kinds;
      for (const int v : group.variables)
        kinds.insert(base.variables[static_cast<std::size_t>(v)].per);
      kinds.erase(Per::vehicle_case);
      if (kinds.size() > 1)
        problems.push_back(
            Problem{place,
                    "the rules about '" + name + "' tie facts of different kinds of place together",
                    "one of per wheel, per axle, per shaft",
                    {}});
    }
  // Owned by computation for every cause: in a pair, a rule about one member would be counted
  // beside it.
  const int frequency = base.fact_index("measured_frequency");
  for (const Rule& rule : base.rules)
    for (const int v : rule.when.variables())
      if (base.variables[static_cast<std::size_t>(v)].fact == frequency)
        problems.push_back(Problem{rule.place,
                                   "rule '" + rule.id + "' speaks of measured_frequency",
                                   "that is computed from the orders of causes; leave it out",
                                   {}});
  untied();
}

// A pair of causes of which one is computed and the other told by rules is weighed over the facts
// of that computation alone.
void Loader::untied() {
  std::vector<std::string_view> by(base.facts.size());
  for (std::size_t f = 0; f < by.size(); ++f) {
    const std::vector<int> causes = computed_for(base, static_cast<int>(f));
    if (!causes.empty()) by[f] = computation_of(base, static_cast<int>(f), causes.front())->by;
  }
  for (const Rule& rule : base.rules) {
    const std::vector<int> facts = facts_in(base, rule.when);
    const auto of = [&](int fact) { return by[static_cast<std::size_t>(fact)]; };
    const auto computed =
        std::find_if(facts.begin(), facts.end(), [&](int fact) { return !of(fact).empty(); });
    if (computed == facts.end()) continue;
    const auto other = std::find_if(facts.begin(), facts.end(),
                                    [&](int fact) { return of(fact) != of(*computed); });
    if (other == facts.end()) continue;
    const auto id = [&](int fact) { return base.facts[static_cast<std::size_t>(fact)].id; };
    problems.push_back(Problem{rule.place,
                               "rule '" + rule.id + "' ties '" + id(*computed) +
                                   "', which is computed for some causes, to '" + id(*other) + "'",
                               "a rule for each",
                               {}});
  }
}

}  // namespace perrev
