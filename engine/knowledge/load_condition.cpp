#include <algorithm>
#include <utility>

#include "engine/knowledge/loader.h"

namespace perrev {

namespace {

std::vector<std::string> answer_ids(const Fact& fact) {
  std::vector<std::string> ids;
  for (const Answer& answer : fact.answers) ids.push_back(answer.id);
  return ids;
}

std::vector<std::string> keys_of(const std::map<std::string, int, std::less<>>& ids) {
  std::vector<std::string> keys;
  for (const auto& entry : ids) keys.push_back(entry.first);
  return keys;
}

}  // namespace

int Loader::known(const FileReader& reader, const Word& word, std::string_view kind,
                  const std::map<std::string, int, std::less<>>& ids, bool complete) {
  const auto found = ids.find(word.text);
  if (found != ids.end()) return found->second;
  if (complete) reader.unknown(word, kind, keys_of(ids));
  return -1;
}

int Loader::known_fact(const FileReader& reader, const Word& word) {
  return known(reader, word, "fact", base.fact_by_id, facts_complete);
}

int Loader::known_cause(const FileReader& reader, const Word& word) {
  return known(reader, word, "cause", base.cause_by_id, causes_complete);
}

bool Loader::fresh(const FileReader& reader, const YamlMember& member, std::string_view kind,
                   std::map<std::string, int, std::less<>>& ids, int index) {
  const Word word{member.key, member.line, member.column};
  if (!is_id(member.key)) {
    reader.fault(word, "'" + member.key.substr(0, 60) + "' is no id for a " + std::string(kind),
                 "a-z, 0-9 and _, beginning with a letter");
    return false;
  }
  if (!ids.emplace(member.key, index).second) {
    reader.fault(word, std::string(kind) + " '" + member.key + "' is defined twice", "keep one");
    return false;
  }
  return true;
}

AnswerSet Loader::answer_set(const FileReader& reader, const std::vector<Word>& words,
                             const Fact& of) {
  AnswerSet set = 0;
  for (const Word& word : words) {
    const int index = answer_index(of, word.text);
    if (index < 0)
      reader.unknown(word, "answer of '" + of.id + "'", answer_ids(of));
    else
      set |= AnswerSet{1} << index;
  }
  return set;
}

Condition Loader::condition(const FileReader& reader, const YamlNode& node) {
  if (node.kind != YamlNode::Kind::mapping || node.members.empty()) {
    reader.fault(node, "expected a condition", "fact: answer, or not:, any:, all:");
    return {};
  }
  std::vector<Condition> parts;
  for (const YamlMember& member : node.members) {
    if (member.key == "not") {
      parts.push_back(Condition::of(Condition::Kind::negation, {condition(reader, member.value)}));
    } else if (member.key == "any" || member.key == "all") {
      if (member.value.kind != YamlNode::Kind::sequence || member.value.items.empty()) {
        reader.fault(member.value, "'" + member.key + "' needs a list of conditions",
                     member.key + ": [{fact: answer}, {fact: answer}]");
        continue;
      }
      std::vector<Condition> inner;
      for (const YamlNode& item : member.value.items) inner.push_back(condition(reader, item));
      parts.push_back(Condition::of(
          member.key == "any" ? Condition::Kind::any : Condition::Kind::all, std::move(inner)));
    } else {
      parts.push_back(fact_is(reader, member));
    }
  }
  if (parts.size() == 1) return std::move(parts.front());
  return Condition::of(Condition::Kind::all, std::move(parts));
}

Condition Loader::fact_is(const FileReader& reader, const YamlMember& member) {
  const int index = known_fact(reader, Word{member.key, member.line, member.column});
  const std::vector<Word> words = reader.words(member.value);
  if (index < 0 || words.empty()) return {};
  const Fact& of = base.facts[static_cast<std::size_t>(index)];
  if (of.kind == FactKind::text) {
    reader.fault(member.line, member.column,
                 "'" + of.id + "' is text and cannot stand in a condition",
                 "a fact of another kind");
    return {};
  }
  if (of.kind == FactKind::number && of.limit < 0) return number_is(reader, of, words);
  if (of.kind != FactKind::several)
    return Condition::test(of.first_variable, answer_set(reader, words, of));
  std::vector<Condition> ticked;
  for (const Word& word : words) {
    const int answer = answer_index(of, word.text);
    if (answer < 0)
      reader.unknown(word, "answer of '" + of.id + "'", answer_ids(of));
    else
      ticked.push_back(Condition::test(of.first_variable + answer, AnswerSet{2}));
  }
  if (ticked.size() == 1) return std::move(ticked.front());
  return Condition::of(Condition::Kind::any, std::move(ticked));
}

Condition Loader::number_is(const FileReader& reader, const Fact& of,
                            const std::vector<Word>& words) {
  std::vector<Condition> parts;
  for (const Word& word : words) {
    const auto range = parse_quantity_range(word.text, of.unit);
    if (!range) {
      reader.fault(word, "'" + of.id + "': " + range.error().what, range.error().right);
      continue;
    }
    if ((*range).high <= of.low || (*range).low >= of.high) {
      reader.fault(word, "'" + of.id + "' can never lie in " + word.text,
                   "a range within " + show(of.low, of.unit, Units::metric) + " to " +
                       show(of.high, of.unit, Units::metric));
      continue;
    }
    Condition leaf = Condition::test(of.first_variable, 0);
    leaf.low = (*range).low;
    leaf.high = (*range).high;
    parts.push_back(std::move(leaf));
  }
  if (parts.size() == 1) return std::move(parts.front());
  return Condition::of(Condition::Kind::any, std::move(parts));
}

}  // namespace perrev
