// Whether files say with what was put into them what they said before.
#include <algorithm>
#include <string>
#include <utility>

#include "engine/bench/new_thing.h"
#include "engine/bench/yaml_write.h"

namespace perrev {

namespace {

// What a tree says of a thing, taken out of it: the thing without its id; null where it is not
// there.
YamlNode taken(YamlNode& root, const NewThing& thing) {
  YamlNode out;
  const auto take = [&](auto& from, auto found, auto node_of) {
    if (found == from.end()) return;
    out = node_of(*found);
    from.erase(found);
  };
  if (thing.kind == NewKind::edge) {
    for (YamlMember& member : root.members) {
      std::vector<YamlNode>& edges = member.value.items;
      if (member.key == "edges" && !edges.empty()) {
        out = edges.back();
        edges.pop_back();
      }
    }
  } else if (thing.kind == NewKind::rule) {
    take(root.items,
         std::find_if(root.items.begin(), root.items.end(),
                      [&](const YamlNode& item) {
                        const YamlNode* id = item.find("rule");
                        return id && id->scalar == thing.id;
                      }),
         [](const YamlNode& item) {
           YamlNode rest = item;
           rest.members.erase(rest.members.begin());
           return rest;
         });
  } else {
    take(root.members,
         std::find_if(root.members.begin(), root.members.end(),
                      [&](const YamlMember& member) { return member.key == thing.id; }),
         [](const YamlMember& member) { return member.value; });
  }
  return out;
}

// Takes the cause out of `cures`, and the brackets where there were none.
bool uncured(YamlNode& root, const YamlNode& before, const NewThing& thing) {
  for (YamlMember& repair : root.members) {
    if (repair.key != thing.id) continue;
    const YamlNode* was = before.find(repair.key);
    const YamlNode* cures = was ? was->find("cures") : nullptr;
    for (YamlMember& member : repair.value.members) {
      if (member.key != "cures" || member.value.items.size() < 2) continue;
      const bool is_last =
          same_value(member.value.items.back(), thing.fields.members.front().value);
      member.value.items.pop_back();
      if (cures && cures->kind == YamlNode::Kind::scalar)
        member.value = YamlNode(member.value.items.front());
      return is_last;
    }
  }
  return false;
}

bool is_empty(const YamlNode& node) {
  return node.items.empty() && node.members.empty() && node.scalar.empty();
}

}  // namespace

bool kept(std::string_view file, const YamlNode& before, const YamlNode& after,
          const std::vector<NewThing>& things, const std::vector<ParsedFile>& files) {
  YamlNode rest = after;
  for (auto thing = things.rbegin(); thing != things.rend(); ++thing) {
    if (file_for(*thing, files) != file) continue;
    const bool good = thing->kind == NewKind::curing
                          ? uncured(rest, before, *thing)
                          : same_value(taken(rest, *thing), thing->fields);
    if (!good) return false;
  }
  return before.kind == YamlNode::Kind::null ? is_empty(rest) : same_value(rest, before);
}

}  // namespace perrev
