#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/knowledge/computed.h"
#include "engine/knowledge/fields.h"
#include "engine/knowledge/loader.h"
#include "engine/knowledge/source_text.h"

namespace perrev {

namespace {

constexpr double kLeastOrder = 0.1, kMostOrder = 100.0;
constexpr double kMostSetAside = 0.9;  // of all complaints, for not_listed and pairs

std::vector<std::string> words_of(const std::vector<NumberWord>& known) {
  std::vector<std::string> words;
  for (const NumberWord& each : known) words.push_back(each.word);
  std::sort(words.begin(), words.end());
  return words;
}

bool is_reserved(const std::string& id) { return id == "not_listed" || id == "nothing_left"; }

// Words and numbers from `strengths.yaml`. A refused number still makes its word known.
std::vector<NumberWord> number_words(const FileReader& reader, const Record& record,
                                     std::string_view key, const std::string& what) {
  std::vector<NumberWord> words;
  const YamlNode* node = record.node(key);
  if (!node || !reader.is_mapping(*node, "words and numbers", "strong: 8")) return words;
  const Field& field = *field_of(strengths_fields(), key);
  for (const YamlMember& member : node->members) {
    const auto number = parse_decimal(member.value.scalar);
    const bool good = number && *number > field.low && *number <= field.high;
    if (!is_id(member.key))
      reader.fault(member.line, member.column, "'" + short_text(member.key) + "' is no word",
                   "a-z, 0-9 and _, beginning with a letter");
    if (!good)
      reader.fault(
          member.value, "'" + short_text(member.key) + "' is no " + what,
          "a number above " + show_number(field.low) + ", at most " + show_number(field.high));
    words.push_back({member.key, good ? *number : field.low + 1.0});
  }
  return words;
}

}  // namespace

void Loader::strengths(const FileReader& reader, const YamlNode& root) {
  const Record record(reader, root, strengths_fields(), "strengths.yaml", root.line, root.column);
  base.strengths = number_words(reader, record, "strengths", "odds ratio");
  base.usual_words = number_words(reader, record, "usual_words", "rate per thousand");
  if (base.strengths.empty()) broken.insert("strengths.yaml");  // every strength would be unknown
  if (const YamlNode* node = record.node("shares")) {
    const Record shares(reader, *node, shares_fields(), "shares", node->line, node->column);
    base.shares.not_listed = shares.number("not_listed", base.shares.not_listed);
    base.shares.pairs = shares.number("pairs", base.shares.pairs);
    if (base.shares.not_listed + base.shares.pairs > kMostSetAside)
      reader.fault(*node, "'not_listed' and 'pairs' leave too little for single causes",
                   "at most " + show_number(kMostSetAside) + " together");
  }
  base.likely_from = record.number("likely_from", base.likely_from);
}

void Loader::families(const FileReader& reader, const YamlNode& root) {
  for (const YamlMember& member : root.members) {
    if (is_reserved(member.key)) {
      reader.fault(member.line, member.column, "'" + member.key + "' is a reserved name",
                   "another id");
      continue;
    }
    if (!fresh(reader, member, "family", family_by_id_, static_cast<int>(base.families.size())))
      continue;
    const Record record(reader, member.value, family_fields(), "family '" + member.key + "'",
                        member.line, member.column);
    base.families.push_back({member.key, record.text("name"), record.yes("needs_caution")});
  }
}

void Loader::causes(const FileReader& reader, const YamlNode& root) {
  for (const YamlMember& member : root.members) cause(reader, member);
}

void Loader::cause(const FileReader& reader, const YamlMember& member) {
  if (is_reserved(member.key))
    reader.fault(member.line, member.column, "'" + member.key + "' is a reserved name",
                 "another id");
  if (const int earlier = base.cause_index(member.key); earlier >= 0)
    return twice(reader, Word{member.key, member.line, member.column}, "cause",
                 base.causes[static_cast<std::size_t>(earlier)].place);
  if (family_by_id_.count(member.key) > 0)
    reader.fault(member.line, member.column, "'" + member.key + "' is the name of a family already",
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
    made.family =
        known(reader, record.word("family"), "family", family_by_id_, whole("families.yaml"));
  if (record.has("usual")) {
    const Word usual = record.word("usual");
    const auto word = std::find_if(base.usual_words.begin(), base.usual_words.end(),
                                   [&](const NumberWord& w) { return w.word == usual.text; });
    const auto value = word != base.usual_words.end() ? std::optional<double>(word->number)
                                                      : parse_decimal(usual.text);
    if (value && *value > 0.0 && *value <= kMostUsual)
      made.usual = *value;
    else if (value || !is_id(usual.text))
      reader.fault(usual, "'usual' of cause '" + made.id + "' is no rate per thousand",
                   "a number above 0, or a word of strengths.yaml");
    else if (whole("strengths.yaml"))
      reader.unknown(usual, "word", words_of(base.usual_words),
                     "for 'usual' of cause '" + made.id + "'");
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
        reader.fault(record.word("order"), "'" + short_text(order) + "' is no order",
                     "a number from 0.1 to 100, firing, half_firing, or a range as 6..20");
      else
        shake.low_order = *low, shake.high_order = *high;
    }
    shake.share = record.number("share", 0.0);
    given += shake.share;
    if (shake.share <= 0.0) ++open;
    made.shakes.push_back(std::move(shake));
  }
  if (open > 0 && given >= 1.0)
    reader.fault(node, "shares of '" + made.id + "' leave nothing for shakes without one",
                 "shares that sum to less than 1, or a share for each");
  if (open == 0 && std::abs(given - 1.0) > 1e-6)
    reader.fault(node, "shares of '" + made.id + "' sum to " + show_number(given),
                 "they must sum to 1");
  for (Shake& shake : made.shakes)
    if (shake.share <= 0.0) shake.share = (1.0 - given) / static_cast<double>(open);
}

void Loader::repairs(const FileReader& reader, const YamlNode& root) {
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
    const std::string parts = record.text("parts");
    made.parts = parts == "small"    ? Parts::small
                 : parts == "medium" ? Parts::medium
                 : parts == "large"  ? Parts::large
                                     : Parts::none;
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
    const Place here = reader.place(member.line, member.column);
    if (made.place.file != here.file || made.place.line != here.line) continue;  // defined twice
    Problems told;                                                               // by cause()
    const FileReader quiet(reader.shown(), &told);
    const Record record(quiet, member.value, cause_fields(), "", 0, 0);
    if (const YamlNode* node = record.node("needs")) cause_needs(reader, *node, made);
    for (const Word& word : record.words("not_with")) {
      const int other = known_cause(reader, word);
      if (other == index)
        reader.fault(word, "a cause is never paired with itself", "another cause");
      if (other < 0 || other == index) continue;
      made.not_with.push_back(other);
      base.causes[static_cast<std::size_t>(other)].not_with.push_back(index);
    }
    if (!record.has("repair")) continue;
    const Word word = record.word("repair");
    made.repair = known(reader, word, "repair", base.repair_by_id, whole("repairs.yaml"));
    if (made.repair < 0) continue;
    const Repair& repair = base.repairs[static_cast<std::size_t>(made.repair)];
    if (whole("causes/") && !repair.cures.empty() &&
        !std::binary_search(repair.cures.begin(), repair.cures.end(), index))
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
    if (!names_answers(reader, member)) continue;
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
    const int cause = base.cause_index(made.id);
    if (computation_of(base, index, cause))
      reader.fault(member.line, member.column, told_computed(index, 0, cause), "leave it out here");
    if (fact.kind == FactKind::several)
      made.needs.emplace_back(fact.first_variable + answer_index(fact, words.front().text),
                              AnswerSet{2});
    else
      made.needs.emplace_back(fact.first_variable, answers);
  }
  std::sort(made.needs.begin(), made.needs.end());
}

}  // namespace perrev
