#include "engine/bench/new_thing.h"

#include <algorithm>

#include "engine/bench/new_text.h"
#include "engine/bench/yaml_write.h"
#include "engine/knowledge/fields.h"
#include "engine/knowledge/rule_files.h"

namespace perrev {

std::string_view name_of(NewKind kind) {
  switch (kind) {
    case NewKind::fact:
      return "fact";
    case NewKind::cause:
      return "cause";
    case NewKind::repair:
      return "repair";
    case NewKind::rule:
      return "rule";
    case NewKind::check:
      return "check";
    case NewKind::edge:
      return "edge";
    case NewKind::curing:
      return "cure";
  }
  return {};
}

const FieldTable& fields_of(NewKind kind) {
  switch (kind) {
    case NewKind::fact:
      return fact_fields();
    case NewKind::cause:
      return cause_fields();
    case NewKind::repair:
    case NewKind::curing:
      return repair_fields();
    case NewKind::rule:
      return rule_fields();
    case NewKind::check:
      return check_fields();
    case NewKind::edge:
      break;
  }
  return edge_fields();
}

namespace {

std::string name_in(const YamlNode& item) {
  const YamlNode* rule = item.find("rule");
  return rule ? rule->scalar : std::string();
}

// Index of the entry in a file under which the thing is written.
Result<int> neighbour(const NewThing& thing, const YamlNode& root) {
  const bool is_list = root.kind == YamlNode::Kind::sequence;
  const int count = static_cast<int>(is_list ? root.items.size() : root.members.size());
  if (count == 0)
    return problem("the file has no entry yet that shows how they are written",
                   "the first one written there by hand");
  const auto at = [](int i) { return static_cast<std::size_t>(i); };
  if (thing.below.empty()) {
    if (thing.kind == NewKind::cause)
      for (int i = count - 1; i >= 0; --i)
        if (family_of(root.members[at(i)].value) == family_of(thing.fields)) return i;
    return count - 1;
  }
  std::vector<std::string> ids;
  for (int i = 0; i < count; ++i) {
    ids.push_back(is_list ? name_in(root.items[at(i)]) : root.members[at(i)].key);
    if (ids.back() == thing.below) return i;
  }
  return problem("no entry '" + thing.below + "' to write it below",
                 near_or(thing.below, ids, "an entry of that file"));
}

std::string schema_line(const std::string& file) {
  const RuleFile* kind = rule_file(file);
  return "# yaml-language-server: $schema=../schema/" + std::string(kind ? kind->stem() : "") +
         ".schema.json\n\n";
}

}  // namespace

Result<std::vector<Insertion>, Problems> insertions_for(const std::vector<NewThing>& things,
                                                        const std::vector<ParsedFile>& files) {
  std::vector<Insertion> out;
  Problems problems;
  for (const NewThing& thing : things) {
    const std::string name = file_for(thing, files);
    const ParsedFile* file = file_named(files, name);
    const auto add = [&](Result<std::vector<Insertion>> made) {
      if (!made) {
        Problem told = made.error();
        if (told.place.file.empty()) told.place.file = file ? file->source.shown : name;
        problems.push_back(std::move(told));
        return;
      }
      for (Insertion& each : std::move(made).value()) {
        each.file = name;
        out.push_back(std::move(each));
      }
    };
    if (!file && !thing.below.empty()) {
      add(problem("no entry '" + thing.below + "' to write it below: the file is new",
                  "an entry of a file that is there, or none"));
    } else if (!file) {
      const bool begun = std::any_of(out.begin(), out.end(),
                                     [&](const Insertion& each) { return each.file == name; });
      add(std::vector<Insertion>{
          {name, 0, (begun ? "\n" : schema_line(name)) + entry_text(thing, EntryStyle())}});
    } else if (thing.kind == NewKind::curing) {
      add(cure_insertions(thing, *file));
    } else if (thing.kind == NewKind::edge) {
      add(edge_insertion(thing, *file));
    } else {
      const auto below = neighbour(thing, *file->tree);
      if (below)
        add(entry_insertion(thing, *file, *below));
      else
        add(below.error());
    }
  }
  if (!problems.empty()) return problems;
  return out;
}

}  // namespace perrev
