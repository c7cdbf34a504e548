#include <algorithm>
#include <utility>

#include "engine/knowledge/fields.h"
#include "engine/knowledge/loader.h"

namespace perrev {

namespace {

// Lists on both sides of an edge multiply; and path.cpp is as deep as the path is long.
constexpr std::size_t kMostEdges = 5000;
constexpr int kMostBeside = 32;  // Held keeps a bit for each

}  // namespace

void Loader::shop(const FileReader& reader, const YamlNode& root) {
  const std::size_t before = problems.size();
  const Record record(reader, root, shop_fields(), "shop.yaml", root.line, root.column);
  const YamlNode* setups = record.node("setups");
  const YamlNode* equipment = record.node("equipment");
  const bool setups_mapped =
      setups && reader.is_mapping(*setups, "set-ups", "setup_id: {minutes: ..., what: ...}");
  const bool equipment_mapped =
      equipment && reader.is_mapping(*equipment, "equipment", "thing_id: {what: ..., have: yes}");
  if (problems.size() != before) broken.insert("shop.yaml");
  costs(reader, record);
  if (setups_mapped)
    for (const YamlMember& member : setups->members) {
      if (!fresh(reader, member, "set-up", setup_by_id_, static_cast<int>(base.setups.size())))
        continue;
      const Record row(reader, member.value, setup_fields(), "set-up '" + member.key + "'",
                       member.line, member.column);
      Setup made{member.key, row.text("what"), row.number("minutes"), -1, row.yes("beside")};
      if (row.has("after")) set_up_after(reader, row.word("after"), made);
      const auto beside = std::count_if(base.setups.begin(), base.setups.end(),
                                        [](const Setup& s) { return s.beside; });
      if (made.beside && beside >= kMostBeside)
        reader.fault(member.line, member.column, "more than 32 set-ups are beside others",
                     "fewer of them");
      base.setups.push_back(std::move(made));
    }
  if (equipment_mapped)
    for (const YamlMember& member : equipment->members) {
      if (!fresh(reader, member, "equipment", equipment_by_id_,
                 static_cast<int>(base.equipment.size())))
        continue;
      const Record row(reader, member.value, equipment_fields(), "equipment '" + member.key + "'",
                       member.line, member.column);
      base.equipment.push_back({member.key, row.text("what"), row.yes("have")});
    }
}

// Named before it is used: so no set-up can stand on itself.
void Loader::set_up_after(const FileReader& reader, const Word& word, Setup& made) {
  made.after = known(reader, word, "set-up above it", setup_by_id_, true);
  if (made.after == static_cast<int>(base.setups.size())) {
    reader.fault(word, "set-up '" + made.id + "' stands on itself", "another set-up, above it");
    made.after = -1;
  }
  if (made.after >= 0 && (made.beside || base.setups[static_cast<std::size_t>(made.after)].beside))
    reader.fault(word, "a set-up that stays beside others is built on none, and none on it",
                 "either 'after' or 'beside'");
}

void Loader::costs(const FileReader& reader, const Record& record) {
  base.handing_on_minutes = record.number("handing_on_minutes", base.handing_on_minutes);
  const YamlNode* parts = record.node("parts_minutes");
  if (!parts || !reader.is_mapping(*parts, "minutes", "{small: 5, medium: 20, large: 60}")) return;
  const Record row(reader, *parts, parts_fields(), "parts_minutes", parts->line, parts->column);
  base.parts_minutes = {row.number("none"), row.number("small"), row.number("medium"),
                        row.number("large")};
}

void Loader::checks(const FileReader& reader, const YamlNode& root) {
  for (const YamlMember& member : root.members) check(reader, member);
}

void Loader::check(const FileReader& reader, const YamlMember& member) {
  if (!fresh_vertex(reader, member, "check", base.check_by_id,
                    static_cast<int>(base.checks.size())))
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
  if (record.given("moves") && !record.has("moves")) path_sound_ = false;
  made.minutes = record.number("minutes");
  const std::vector<Word> learns = record.words("learns");
  for (const Word& word : learns) {
    const int fact = known_fact(reader, word);
    const bool known_before =
        std::find(made.learns.begin(), made.learns.end(), fact) != made.learns.end();
    if (fact >= 0 && !known_before) made.learns.push_back(fact);
  }
  if (record.has("setup"))
    made.setup = known(reader, record.word("setup"), "set-up", setup_by_id_, whole("shop.yaml"));
  for (const Word& word : record.words("equipment")) {
    const int thing = known(reader, word, "equipment", equipment_by_id_, whole("shop.yaml"));
    if (thing >= 0) made.equipment.push_back(thing);
  }
  if (const YamlNode* node = record.node("asked_if")) made.asked_if = condition(reader, *node);
  if (const YamlNode* node = record.node("confirms"))
    confirms(reader, *node, learns.size() == made.learns.size() && !learns.empty(), made);
  base.checks.push_back(std::move(made));
}

void Loader::confirms(const FileReader& reader, const YamlNode& node, bool learns_known,
                      Check& made) {
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
      if (!learns_known) continue;
      reader.fault(member.value,
                   "'" + made.id + "' learns several facts, and which shows '" + member.key +
                       "' is not said",
                   "cause: {fact: answer}");
      continue;
    }
    made.confirms.emplace_back(cause, std::move(verdict));
  }
}

// Checks, gates and ends are named side by side in edges.
bool Loader::fresh_vertex(const FileReader& reader, const YamlMember& member, std::string_view kind,
                          Ids& ids, int index) {
  const bool taken = base.check_by_id.count(member.key) + gate_by_id_.count(member.key) +
                         end_by_id_.count(member.key) >
                     0;
  if (taken)
    reader.fault(member.line, member.column,
                 "a check, a gate or an end is named '" + member.key + "' already", "another id");
  if (member.key == "start")
    reader.fault(member.line, member.column, "'start' is a reserved name", "another id");
  const bool made = !taken && fresh(reader, member, kind, ids, index);
  if (!made || member.key == "start") path_sound_ = false;
  return made;
}

void Loader::path(const FileReader& reader, const YamlNode& root) {
  const Record record(reader, root, path_fields(), "path.yaml", root.line, root.column);
  gates_and_ends(reader, record);
  const YamlNode* edges = record.node("edges");
  const bool listed = edges && edges->kind == YamlNode::Kind::sequence && !edges->items.empty();
  if (edges && !listed)
    reader.fault(*edges, "'edges' needs a list", "- {from: start, to: ask_speed}");
  if (!listed) path_sound_ = false;
  if (!listed) return;
  for (const YamlNode& item : edges->items) {
    edge(reader, item);
    if (base.edges.size() <= kMostEdges) continue;
    path_sound_ = false;
    return reader.fault(item, "the path has more than " + std::to_string(kMostEdges) + " edges",
                        "shorter lists of from and to");
  }
}

void Loader::gates_and_ends(const FileReader& reader, const Record& record) {
  const YamlNode* gates = record.node("gates");
  const YamlNode* ends = record.node("ends");
  const std::size_t before = problems.size();
  const bool gates_mapped =
      gates &&
      reader.is_mapping(*gates, "gates", "gate_id: {guards: moves, asks: [...], what: ...}");
  const bool ends_mapped = ends && reader.is_mapping(*ends, "ends", "end_id: {what: ...}");
  if (ends_mapped && ends->members.empty())
    reader.fault(*ends, "the path has no ends", "end_id: {what: ...}");
  if (!gates || !ends || problems.size() != before) broken.insert("path.yaml");
  if (gates_mapped)
    for (const YamlMember& member : gates->members) {
      if (!fresh_vertex(reader, member, "gate", gate_by_id_, static_cast<int>(base.gates.size())))
        continue;
      const Record row(reader, member.value, gate_fields(), "gate '" + member.key + "'",
                       member.line, member.column);
      if (!row.has("guards")) path_sound_ = false;
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
  if (ends_mapped)
    for (const YamlMember& member : ends->members) {
      if (!fresh_vertex(reader, member, "end", end_by_id_, static_cast<int>(base.ends.size())))
        continue;
      const Record row(reader, member.value, end_fields(), "end '" + member.key + "'", member.line,
                       member.column);
      base.ends.push_back({member.key, row.text("what"), reader.place(member.line, member.column)});
    }
}

int Loader::vertex(const FileReader& reader, const Word& word, bool as_source) {
  if (as_source && word.text == "start") return 0;
  const auto check = base.check_by_id.find(word.text);
  if (check != base.check_by_id.end()) return base.vertex_of_check(check->second);
  const auto gate = gate_by_id_.find(word.text);
  if (gate != gate_by_id_.end()) return base.vertex_of_gate(gate->second);
  const auto end = end_by_id_.find(word.text);
  if (end != end_by_id_.end() && !as_source) return base.vertex_of_end(end->second);
  if (end != end_by_id_.end()) {
    reader.fault(word, "nothing follows the end '" + word.text + "'", "a check, a gate or start");
  } else if (word.text == "start") {
    reader.fault(word, "nothing leads back to the start", "a check, a gate or an end");
  } else if (whole("checks.yaml") && whole("path.yaml")) {
    std::vector<std::string> names;
    if (as_source) names.push_back("start");
    for (const auto* ids : {&base.check_by_id, &gate_by_id_, &end_by_id_})
      for (const std::string& id : sorted_ids(*ids))
        if (!as_source || ids != &end_by_id_) names.push_back(id);
    reader.unknown(word, as_source ? "check or gate" : "check, gate or end", names);
  }
  return -1;
}

void Loader::edge(const FileReader& reader, const YamlNode& node) {
  const std::size_t before = problems.size();
  const Record record(reader, node, edge_fields(), "edge", node.line, node.column);
  PathEdge made;
  made.place = reader.place(node.line, node.column);
  const YamlNode* when = record.node("when");
  const bool word = when && when->kind == YamlNode::Kind::scalar;
  made.passed = word && when->scalar == "passed";
  if (word && !made.passed)
    reader.unknown(Word{when->scalar, when->line, when->column}, "word", {"passed"},
                   "for 'when' of an edge");
  std::vector<int> sources, targets;
  for (const Word& from : record.words("from")) {
    sources.push_back(vertex(reader, from, true));
    if (made.passed && sources.back() >= 0 && gate_by_id_.count(from.text) == 0)
      reader.fault(from, "only a gate can be passed, not '" + from.text + "'", "a gate");
  }
  for (const Word& to : record.words("to")) targets.push_back(vertex(reader, to, false));
  if (problems.size() != before) path_sound_ = false;
  if (when && !word) made.when = condition(reader, *when);
  for (const int from : sources)
    for (const int to : targets) {
      made.from = from;
      made.to = to;
      if (from >= 0 && to >= 0 && base.edges.size() <= kMostEdges) base.edges.push_back(made);
    }
}

}  // namespace perrev
