#include <algorithm>
#include <utility>

#include "engine/knowledge/loader.h"
#include "engine/knowledge/source_text.h"

namespace perrev {

namespace {

std::vector<std::string> answer_ids(const Fact& fact) {
  std::vector<std::string> ids;
  for (const Answer& answer : fact.answers) ids.push_back(answer.id);
  return ids;
}

}  // namespace

int Loader::known(const FileReader& reader, const Word& word, std::string_view kind, const Ids& ids,
                  bool complete) {
  const auto found = ids.find(word.text);
  if (found != ids.end()) return found->second;
  if (complete) reader.unknown(word, kind, sorted_ids(ids));
  return -1;
}

int Loader::known_fact(const FileReader& reader, const Word& word) {
  const int index = known(reader, word, "fact", base.fact_by_id, whole("facts.yaml"));
  return doubtful_.count(index) > 0 ? -1 : index;
}

int Loader::known_cause(const FileReader& reader, const Word& word) {
  return known(reader, word, "cause", base.cause_by_id, whole("causes/"));
}

bool Loader::fresh(const FileReader& reader, const YamlMember& member, std::string_view kind,
                   Ids& ids, int index) {
  const Word word{member.key, member.line, member.column};
  if (!is_id(member.key)) {
    reader.fault(word, "'" + short_text(member.key) + "' is no id for a " + std::string(kind),
                 "a-z, 0-9 and _, beginning with a letter");
    return false;
  }
  return ids.emplace(member.key, index).second;
}

void Loader::twice(const FileReader& reader, const Word& word, std::string_view kind,
                   const Place& first) {
  reader.fault(word, std::string(kind) + " '" + word.text + "' is defined twice",
               "first in " + first.file + " line " + std::to_string(first.line) + "; keep one");
}

AnswerSet Loader::answer_set(const FileReader& reader, const std::vector<Word>& words,
                             const Fact& of) {
  AnswerSet set = 0;
  for (const Word& word : words) {
    const int index = answer_index(of, word.text);
    if (index < 0)
      reader.unknown(word, "answer", answer_ids(of), "of '" + of.id + "'");
    else
      set |= AnswerSet{1} << index;
  }
  return set;
}

bool Loader::names_answers(const FileReader& reader, const YamlMember& member) {
  if (member.value.kind != YamlNode::Kind::sequence || !member.value.items.empty()) return true;
  reader.fault(member.value, "no answer of '" + short_text(member.key) + "' is named",
               "an answer, or a list of answers");
  return false;
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
  if (!names_answers(reader, member) || index < 0 || words.empty()) return {};
  const Fact& of = base.facts[static_cast<std::size_t>(index)];
  if (of.kind == FactKind::text) {
    reader.fault(member.line, member.column,
                 "'" + of.id + "' is text and cannot stand in a condition",
                 "a fact of another kind");
    return {};
  }
  if (of.kind == FactKind::number && of.answers.empty()) return number_is(reader, of, words);
  if (of.kind != FactKind::several)
    return Condition::test(of.first_variable, answer_set(reader, words, of));
  std::vector<Condition> ticked;
  for (const Word& word : words) {
    const int answer = answer_index(of, word.text);
    if (answer < 0)
      reader.unknown(word, "answer", answer_ids(of), "of '" + of.id + "'");
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
      reader.fault(word, "'" + of.id + "' can never lie in " + short_text(word.text),
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
