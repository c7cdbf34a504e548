#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/knowledge/fields.h"
#include "engine/knowledge/loader.h"

namespace perrev {

namespace {

constexpr double kLeastOrder = 0.1, kMostOrder = 100.0;

bool is_mapping(const FileReader& reader, const YamlNode& root, const std::string& example) {
  if (root.kind == YamlNode::Kind::mapping) return true;
  reader.fault(root, "expected a mapping", example);
  return false;
}

}  // namespace

void Loader::strengths(const FileReader& reader, const YamlNode& root) {
  const Record record(reader, root, strengths_fields(), "strengths.yaml", root.line, root.column);
  if (const YamlNode* node = record.node("strengths"))
    for (const YamlMember& member : node->members) {
      const auto ratio = parse_decimal(member.value.scalar);
      if (!ratio || *ratio <= 1.0 || *ratio > 10000.0)
        reader.fault(member.value, "strength '" + member.key + "' is no odds ratio",
                     "a number above 1");
      else
        strengths_.push_back({member.key, *ratio});
    }
  if (const YamlNode* node = record.node("usual_words"))
    for (const YamlMember& member : node->members) {
      const auto usual = parse_decimal(member.value.scalar);
      if (!usual || *usual <= 0.0 || *usual > 1000.0)
        reader.fault(member.value, "'" + member.key + "' is no rate per thousand",
                     "a number above 0");
      else
        usual_words_[member.key] = *usual;
    }
  if (const YamlNode* node = record.node("shares")) {
    const Record shares(reader, *node, shares_fields(), "shares", node->line, node->column);
    base.shares.not_listed = shares.number("not_listed", base.shares.not_listed);
    base.shares.pairs = shares.number("pairs", base.shares.pairs);
  }
  base.likely_from = record.number("likely_from", base.likely_from);
}

void Loader::families(const FileReader& reader, const YamlNode& root) {
  if (!is_mapping(reader, root, "family_id: {name: ...}")) return;
  for (const YamlMember& member : root.members) {
    if (!fresh(reader, member, "family", family_by_id_, static_cast<int>(base.families.size())))
      continue;
    const Record record(reader, member.value, family_fields(), "family '" + member.key + "'",
                        member.line, member.column);
    base.families.push_back({member.key, record.text("name")});
  }
}

void Loader::causes(const FileReader& reader, const YamlNode& root) {
  if (!is_mapping(reader, root, "cause_id: {name: ..., family: ...}")) return;
  for (const YamlMember& member : root.members) cause(reader, member);
}

void Loader::cause(const FileReader& reader, const YamlMember& member) {
  if (member.key == "not_listed" || member.key == "nothing_left")
    return reader.fault(member.line, member.column, "'" + member.key + "' is a reserved name",
                        "another id");
  if (!fresh(reader, member, "cause", base.cause_by_id, static_cast<int>(base.causes.size())))
    return;
  const Record record(reader, member.value, cause_fields(), "cause '" + member.key + "'",
                      member.line, member.column);
  Cause made;
  made.id = member.key;
  made.place = reader.place(member.line, member.column);
  made.name = record.text("name");
  made.proof = record.text("proof");
  made.caution = record.text("caution");
  if (record.has("family"))
    made.family = known(reader, record.word("family"), "family", family_by_id_, others_complete);
  if (record.has("usual")) {
    const Word usual = record.word("usual");
    const auto word = usual_words_.find(usual.text);
    const auto value = word != usual_words_.end() ? std::optional<double>(word->second)
                                                  : parse_decimal(usual.text);
    if (!value || *value <= 0.0 || *value > 1000.0)
      reader.fault(usual, "'usual' of cause '" + made.id + "' is no rate per thousand",
                   "a number above 0, or a word of strengths.yaml");
    else
      made.usual = *value;
  }
  const std::string shown = record.text("shown_by");
  made.shown_by = shown == "road"     ? ShownBy::road
                  : shown == "repair" ? ShownBy::repair
                                      : ShownBy::bay;
  if (const YamlNode* node = record.node("shakes")) cause_shakes(reader, *node, made);
  base.causes.push_back(std::move(made));
}

void Loader::cause_shakes(const FileReader& reader, const YamlNode& node, Cause& made) {
  if (node.kind != YamlNode::Kind::sequence || node.items.empty())
    return reader.fault(node, "'shakes' needs a list", "[{source: tire, order: 1}]");
  double given = 0.0;
  std::size_t open = 0;
  for (const YamlNode& item : node.items) {
    const Record record(reader, item, shake_fields(), "shake of '" + made.id + "'", item.line,
                        item.column);
    Shake shake;
    shake.source = record.text("source");
    const std::string order = record.text("order");
    if (order == "firing" || order == "half_firing") {
      shake.kind = order == "firing" ? Shake::Kind::firing : Shake::Kind::half_firing;
    } else if (!order.empty()) {
      const auto dots = order.find("..");
      const auto low = parse_decimal(order.substr(0, dots));
      const auto high = dots == std::string::npos ? low : parse_decimal(order.substr(dots + 2));
      if (!low || !high || *low < kLeastOrder || *high > kMostOrder || *low > *high)
        reader.fault(record.word("order"), "'" + order.substr(0, 40) + "' is no order",
                     "a number from 0.1 to 100, firing, half_firing, or a range as 6..20");
      else
        shake.low_order = *low, shake.high_order = *high;
    }
    shake.share = record.number("share", 0.0);
    given += shake.share;
    if (shake.share <= 0.0) ++open;
    made.shakes.push_back(std::move(shake));
  }
  if (given > 1.0 + 1e-9 || (open > 0 && given >= 1.0) ||
      (open == 0 && std::abs(given - 1.0) > 1e-6))
    reader.fault(node, "shares of '" + made.id + "' sum to " + show_number(given), "they sum to 1");
  for (Shake& shake : made.shakes)
    if (shake.share <= 0.0) shake.share = (1.0 - given) / static_cast<double>(open);
}

void Loader::repairs(const FileReader& reader, const YamlNode& root) {
  if (!is_mapping(reader, root, "repair_id: {what: ..., cures: [...]}")) return;
  for (const YamlMember& member : root.members) {
    if (!fresh(reader, member, "repair", base.repair_by_id, static_cast<int>(base.repairs.size())))
      continue;
    const Record record(reader, member.value, repair_fields(), "repair '" + member.key + "'",
                        member.line, member.column);
    Repair made;
    made.id = member.key;
    made.place = reader.place(member.line, member.column);
    made.what = record.text("what");
    made.proof = record.text("proof");
    made.caution = record.text("caution");
    made.parts = record.text("parts");
    made.minutes = record.number("minutes");
    for (const Word& word : record.words("cures")) {
      const int cured = known_cause(reader, word);
      if (cured >= 0) made.cures.push_back(cured);
    }
    std::sort(made.cures.begin(), made.cures.end());
    base.repairs.push_back(std::move(made));
  }
}

void Loader::cause_links(const FileReader& reader, const YamlNode& root) {
  for (const YamlMember& member : root.members) {
    const int index = base.cause_index(member.key);
    if (index < 0 || member.value.kind != YamlNode::Kind::mapping) continue;
    Cause& made = base.causes[static_cast<std::size_t>(index)];
    if (const YamlNode* node = member.value.find("needs")) cause_needs(reader, *node, made);
    if (const YamlNode* node = member.value.find("not_with"))
      for (const Word& word : reader.words(*node)) {
        const int other = known_cause(reader, word);
        if (other == index)
          reader.fault(word, "a cause is never paired with itself", "another cause");
        if (other < 0 || other == index) continue;
        made.not_with.push_back(other);
        base.causes[static_cast<std::size_t>(other)].not_with.push_back(index);
      }
    const YamlNode* node = member.value.find("repair");
    if (!node || node->kind != YamlNode::Kind::scalar) continue;
    const Word word{node->scalar, node->line, node->column};
    made.repair = known(reader, word, "repair", base.repair_by_id, others_complete);
    if (made.repair < 0) continue;
    const std::vector<int>& cures = base.repairs[static_cast<std::size_t>(made.repair)].cures;
    if (causes_complete && !std::binary_search(cures.begin(), cures.end(), index))
      reader.fault(word, "repair '" + word.text + "' does not cure '" + made.id + "'",
                   "add it to 'cures' in repairs.yaml");
  }
}

void Loader::cause_needs(const FileReader& reader, const YamlNode& node, Cause& made) {
  if (node.kind != YamlNode::Kind::mapping)
    return reader.fault(node, "'needs' of '" + made.id + "' is no mapping", "fact: answer");
  for (const YamlMember& member : node.members) {
    const int index = known_fact(reader, Word{member.key, member.line, member.column});
    if (index < 0) continue;
    const Fact& fact = base.facts[static_cast<std::size_t>(index)];
    const std::vector<Word> words = reader.words(member.value);
    if (fact.per != Per::vehicle_case ||
        (fact.kind != FactKind::one && fact.kind != FactKind::yesno &&
         fact.kind != FactKind::several) ||
        (fact.kind == FactKind::several && words.size() != 1)) {
      reader.fault(member.line, member.column, "'" + fact.id + "' cannot be needed",
                   "a fact per case of kind one or yesno, or a single answer of several");
      continue;
    }
    const AnswerSet answers = answer_set(reader, words, fact);
    if (answers == 0) continue;
    if (fact.kind == FactKind::several)
      made.needs.emplace_back(fact.first_variable + answer_index(fact, words.front().text),
                              AnswerSet{2});
    else
      made.needs.emplace_back(fact.first_variable, answers);
  }
  std::sort(made.needs.begin(), made.needs.end());
}

}  // namespace perrev
