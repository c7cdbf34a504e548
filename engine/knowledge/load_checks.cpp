#include <algorithm>
#include <utility>

#include "engine/knowledge/fields.h"
#include "engine/knowledge/loader.h"

namespace perrev {

void Loader::shop(const FileReader& reader, const YamlNode& root) {
  const Record record(reader, root, shop_fields(), "shop.yaml", root.line, root.column);
  if (const YamlNode* node = record.node("setups"))
    for (const YamlMember& member : node->members) {
      if (!fresh(reader, member, "set-up", setup_by_id_, static_cast<int>(base.setups.size())))
        continue;
      const Record row(reader, member.value, setup_fields(), "set-up '" + member.key + "'",
                       member.line, member.column);
      base.setups.push_back({member.key, row.text("what"), row.number("minutes")});
    }
  if (const YamlNode* node = record.node("equipment"))
    for (const YamlMember& member : node->members) {
      if (!fresh(reader, member, "equipment", equipment_by_id_,
                 static_cast<int>(base.equipment.size())))
        continue;
      const Record row(reader, member.value, equipment_fields(), "equipment '" + member.key + "'",
                       member.line, member.column);
      base.equipment.push_back({member.key, row.text("what"), row.yes("have")});
    }
}

void Loader::checks(const FileReader& reader, const YamlNode& root) {
  if (root.kind != YamlNode::Kind::mapping)
    return reader.fault(root, "expected a mapping of checks",
                        "check_id: {what: ..., learns: [...]}");
  for (const YamlMember& member : root.members) check(reader, member);
}

void Loader::check(const FileReader& reader, const YamlMember& member) {
  if (member.key == "start")
    return reader.fault(member.line, member.column, "'start' is a reserved name", "another id");
  if (!fresh(reader, member, "check", base.check_by_id, static_cast<int>(base.checks.size())))
    return;
  const Record record(reader, member.value, check_fields(), "check '" + member.key + "'",
                      member.line, member.column);
  Check made;
  made.id = member.key;
  made.place = reader.place(member.line, member.column);
  made.what = record.text("what");
  made.how = record.text("how");
  made.caution = record.text("caution");
  const std::string by = record.text("by");
  made.by = by == "bay" ? Asker::bay : by == "road" ? Asker::road : Asker::write_up;
  const std::string moves = record.text("moves");
  made.moves = moves == "yes"           ? Moves::yes
               : moves == "wheels_spin" ? Moves::wheels_spin
                                        : Moves::no;
  made.minutes = record.number("minutes");
  for (const Word& word : record.words("learns")) {
    const int fact = known_fact(reader, word);
    if (fact >= 0) made.learns.push_back(fact);
  }
  if (record.has("setup"))
    made.setup = known(reader, record.word("setup"), "set-up", setup_by_id_, others_complete);
  for (const Word& word : record.words("equipment")) {
    const int thing = known(reader, word, "equipment", equipment_by_id_, others_complete);
    if (thing >= 0) made.equipment.push_back(thing);
  }
  if (const YamlNode* node = record.node("asked_if")) made.asked_if = condition(reader, *node);
  if (const YamlNode* node = record.node("confirms")) confirms(reader, *node, made);
  base.checks.push_back(std::move(made));
}

void Loader::confirms(const FileReader& reader, const YamlNode& node, Check& made) {
  if (node.kind != YamlNode::Kind::mapping)
    return reader.fault(node, "'confirms' is no mapping",
                        "cause: answer, or cause: {fact: answer}");
  for (const YamlMember& member : node.members) {
    const int cause = known_cause(reader, Word{member.key, member.line, member.column});
    if (cause < 0) continue;
    Condition verdict;
    if (member.value.kind == YamlNode::Kind::mapping) {
      verdict = condition(reader, member.value);
    } else if (made.learns.size() == 1) {
      verdict = fact_is(reader, YamlMember{base.facts[static_cast<std::size_t>(made.learns[0])].id,
                                           member.line, member.column, member.value});
    } else {
      reader.fault(member.value, "which fact of '" + made.id + "' shows '" + member.key + "'?",
                   "cause: {fact: answer}");
      continue;
    }
    made.confirms.emplace_back(cause, std::move(verdict));
  }
}

void Loader::path(const FileReader& reader, const YamlNode& root) {
  const Record record(reader, root, path_fields(), "path.yaml", root.line, root.column);
  if (const YamlNode* node = record.node("gates"))
    for (const YamlMember& member : node->members) {
      if (!fresh(reader, member, "gate", gate_by_id_, static_cast<int>(base.gates.size())))
        continue;
      const Record row(reader, member.value, gate_fields(), "gate '" + member.key + "'",
                       member.line, member.column);
      Gate made;
      made.id = member.key;
      made.place = reader.place(member.line, member.column);
      made.what = row.text("what");
      for (const Word& word : row.words("guards"))
        (word.text == "moves" ? made.guards_driving : made.guards_spinning) = true;
      for (const Word& word : row.words("asks")) {
        const int fact = known_fact(reader, word);
        if (fact < 0) continue;
        if (base.facts[static_cast<std::size_t>(fact)].clear == 0)
          reader.fault(word, "'" + word.text + "' cannot pass a gate", "a fact that has 'clear'");
        made.asks.push_back(fact);
      }
      base.gates.push_back(std::move(made));
    }
  if (const YamlNode* node = record.node("ends"))
    for (const YamlMember& member : node->members) {
      if (!fresh(reader, member, "end", end_by_id_, static_cast<int>(base.ends.size()))) continue;
      const Record row(reader, member.value, end_fields(), "end '" + member.key + "'", member.line,
                       member.column);
      base.ends.push_back({member.key, row.text("what")});
    }
  const YamlNode* edges = record.node("edges");
  if (!edges) return;
  if (edges->kind != YamlNode::Kind::sequence)
    return reader.fault(*edges, "'edges' needs a list", "- {from: start, to: ask_speed}");
  for (const YamlNode& item : edges->items) edge(reader, item);
}

int Loader::vertex(const FileReader& reader, const Word& word, bool as_source) {
  if (as_source && word.text == "start") return 0;
  const auto check = base.check_by_id.find(word.text);
  if (check != base.check_by_id.end()) return base.vertex_of_check(check->second);
  const auto gate = gate_by_id_.find(word.text);
  if (gate != gate_by_id_.end()) return base.vertex_of_gate(gate->second);
  const auto end = end_by_id_.find(word.text);
  if (end != end_by_id_.end() && !as_source) return base.vertex_of_end(end->second);
  if (!others_complete) return -1;
  std::vector<std::string> known_ids;
  for (const auto* ids : {&base.check_by_id, &gate_by_id_, &end_by_id_})
    for (const auto& entry : *ids) known_ids.push_back(entry.first);
  if (end != end_by_id_.end())
    reader.fault(word, "nothing follows the end '" + word.text + "'", "a check, a gate or start");
  else
    reader.unknown(word, as_source ? "check or gate" : "check, gate or end", known_ids);
  return -1;
}

void Loader::edge(const FileReader& reader, const YamlNode& node) {
  const Record record(reader, node, edge_fields(), "edge", node.line, node.column);
  PathEdge made;
  made.place = reader.place(node.line, node.column);
  if (const YamlNode* when = record.node("when")) {
    if (when->kind == YamlNode::Kind::scalar && when->scalar == "passed")
      made.passed = true;
    else
      made.when = condition(reader, *when);
  }
  for (const Word& from : record.words("from")) {
    made.from = vertex(reader, from, true);
    if (made.from < 0) continue;
    if (made.passed && gate_by_id_.count(from.text) == 0)
      reader.fault(from, "only a gate can be passed, not '" + from.text + "'", "a gate");
    for (const Word& to : record.words("to")) {
      made.to = vertex(reader, to, false);
      if (made.to >= 0) base.edges.push_back(made);
    }
  }
}

}  // namespace perrev
