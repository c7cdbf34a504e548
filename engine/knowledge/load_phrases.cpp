#include <algorithm>
#include <utility>

#include "engine/knowledge/fields.h"
#include "engine/knowledge/loader.h"
#include "engine/knowledge/source_text.h"

namespace perrev {

namespace {

constexpr std::size_t kLongestSaying = 12;  // words
constexpr std::size_t kMostSayings = 10000;
constexpr const char* kWordLists[] = {"same", "small", "negates", "turns"};

using Number = Meaning::Number;

int count(const Saying& saying, int word) {
  return static_cast<int>(std::count(saying.words.begin(), saying.words.end(), word));
}

// What a no to it says: the other answer of a yes/no, or the one that says no to all. A stop is not
// cleared by a no to one of its answers, nor is a tick of several a no to the rest.
void add_opposite(const RuleBase& base, const Meaning& meaning, std::vector<Meaning>& out) {
  const Fact& of = base.facts[static_cast<std::size_t>(meaning.fact)];
  if (of.stop || (of.kind != FactKind::yesno && of.kind != FactKind::one)) return;
  Meaning made;
  made.fact = meaning.fact;
  for (const char* id : {"no", "no_change", "none", "nothing"})
    if (made.values.empty() && answer_index(of, id) >= 0) made.values = {id};
  if (of.kind == FactKind::yesno && meaning.values.front() == "no") made.values = {"yes"};
  if (!made.values.empty() && made.values != meaning.values) out.push_back(std::move(made));
}

}  // namespace

// Word lists first, wherever they stand: phrases are read by them.
void Loader::phrases(const FileReader& reader, const YamlNode& root) {
  std::vector<Record> records;
  std::vector<bool> keys_known;
  for (const YamlNode& item : root.items) {
    const std::size_t before = problems.size();
    records.emplace_back(reader, item, phrase_fields(), "phrase", item.line, item.column);
    keys_known.push_back(problems.size() == before);
  }
  for (const Record& record : records) phrase_words(reader, record);
  for (std::size_t i = 0; i < records.size(); ++i) {
    const YamlNode& item = root.items[i];
    const auto list = std::count_if(std::begin(kWordLists), std::end(kWordLists),
                                    [&](const char* key) { return records[i].given(key); });
    if (list > 0 && item.members.size() > 1)
      reader.fault(item, "a list of words stands alone",
                   "same, small, negates, turns: one an item");
    else if (list == 0)
      phrase(reader, records[i], keys_known[i], item);
  }
  for (std::size_t i = 0; i < base.phrases.sayings.size(); ++i)
    base.phrases.by_first[base.phrases.sayings[i].words.front()].push_back(static_cast<int>(i));
}

void Loader::phrase_words(const FileReader& reader, const Record& record) {
  Vocabulary& vocabulary = base.phrases.vocabulary;
  for (const char* key : kWordLists) {
    int first = Vocabulary::kUnknown;
    for (const Word& word : record.words(key)) {
      const std::vector<TextWord> cut = split_words(word.text);
      if (cut.size() != 1 || cut[0].kind != TextWord::Kind::word) {
        reader.fault(word, "'" + short_text(word.text) + "' is not one word",
                     "a single word; for more of them use says");
        continue;
      }
      const std::string& stem = cut[0].stem;
      const bool same = std::string_view(key) == "same";
      const bool known = vocabulary.exactly(stem) != Vocabulary::kUnknown;
      if (known && (!same || first == Vocabulary::kUnknown || vocabulary.exactly(stem) != first)) {
        reader.fault(word, "'" + short_text(word.text) + "' stands in a list of words already",
                     "each word in one list; endings as -s, -ing, -ed make no other word");
        continue;
      }
      if (!same || first == Vocabulary::kUnknown)
        first = vocabulary.add(stem);
      else
        vocabulary.add_as(stem, first);
      vocabulary.set_role(first, same                                 ? Vocabulary::Role::plain
                                 : std::string_view(key) == "small"   ? Vocabulary::Role::small
                                 : std::string_view(key) == "negates" ? Vocabulary::Role::negating
                                                                      : Vocabulary::Role::turning);
    }
  }
}

void Loader::phrase(const FileReader& reader, const Record& record, bool keys_known,
                    const YamlNode& node) {
  if (node.kind != YamlNode::Kind::mapping) return;  // told by the record
  const int index = static_cast<int>(base.phrases.phrases.size());
  if (keys_known && !record.given("says"))
    reader.fault(node, "phrase has no 'says'", "what customers say, one or several ways");
  if (keys_known && !record.given("means") && !record.given("not"))
    reader.fault(node, "phrase means nothing", "means: {fact: answer}");
  std::vector<Saying> said;
  for (const char* key : {"says", "unless"})
    for (const Word& word : record.words(key)) {
      Saying made;
      made.phrase = index;
      made.unless = std::string_view(key) == "unless";
      if (!saying(reader, word, made)) continue;
      if (!made.unless) {
        const auto fresh = said_at_.emplace(made.words, word.line);
        if (!fresh.second)
          reader.fault(word, "'" + short_text(word.text) + "' stands here twice",
                       "first in line " + std::to_string(fresh.first->second) +
                           "; keep one (small words and endings do not tell them apart)");
      }
      said.push_back(std::move(made));
    }
  Phrase made;
  if (const YamlNode* means = record.node("means")) made.means = meanings(reader, *means, &said);
  if (const YamlNode* negated = record.node("not"))
    made.negated = meanings(reader, *negated, nullptr);
  else if (!record.given("not"))
    for (const Meaning& meaning : made.means) add_opposite(base, meaning, made.negated);
  base.phrases.phrases.push_back(std::move(made));
  for (Saying& each : said) base.phrases.sayings.push_back(std::move(each));
  if (base.phrases.sayings.size() > kMostSayings && !said.empty())
    reader.fault(node, "there are more than 10000 ways to say something", "fewer phrases");
}

// The words that count, with the places of numbers; false where it will not do.
bool Loader::saying(const FileReader& reader, const Word& word, Saying& made) {
  std::string_view left = word.text;
  const auto add = [&](std::string_view part) {
    for (const TextWord& each : split_words(part)) {
      if (each.kind == TextWord::Kind::number) {
        reader.fault(word, "'" + short_text(word.text) + "' has a number", "{speed} or {rpm}");
        return false;
      }
      if (each.kind != TextWord::Kind::word) continue;
      const int number = base.phrases.vocabulary.add(each.stem);
      if (base.phrases.vocabulary.role(number) != Vocabulary::Role::small)
        made.words.push_back(number);
    }
    return true;
  };
  while (!left.empty()) {
    const std::size_t open = left.find('{');
    if (!add(left.substr(0, open))) return false;
    if (open == std::string_view::npos) break;
    const std::size_t close = left.find('}', open);
    const std::string name(left.substr(
        open + 1, close == std::string_view::npos ? std::string_view::npos : close - open - 1));
    if (name != "speed" && name != "rpm") {
      reader.unknown(Word{name, word.line, word.column}, "place of a number", {"speed", "rpm"});
      return false;
    }
    if (close == std::string_view::npos) {
      reader.fault(word, "'" + short_text(word.text) + "' has no }", "{speed} or {rpm}");
      return false;
    }
    made.words.push_back(name == "speed" ? Saying::kSpeed : Saying::kRpm);
    left.remove_prefix(close + 1);
  }
  if (made.words.empty() || made.words.size() > kLongestSaying) {
    reader.fault(word,
                 "'" + short_text(word.text) + "' has " +
                     (made.words.empty() ? "only small words" : "more than 12 words"),
                 "one to twelve words that count");
    return false;
  }
  return true;
}

std::vector<Meaning> Loader::meanings(const FileReader& reader, const YamlNode& node,
                                      const std::vector<Saying>* said) {
  std::vector<Meaning> out;
  if (!reader.is_mapping(node, "facts and answers", "{fact: answer}")) return out;
  if (node.members.empty()) reader.fault(node, "no fact is named", "{fact: answer}");
  for (const YamlMember& member : node.members) {
    Meaning made;
    if (meaning(reader, member, said, made)) out.push_back(std::move(made));
  }
  return out;
}

bool Loader::meaning(const FileReader& reader, const YamlMember& member,
                     const std::vector<Saying>* said, Meaning& made) {
  made.fact = known_fact(reader, Word{member.key, member.line, member.column});
  const std::vector<Word> words = reader.words(member.value);
  if (!names_answers(reader, member) || made.fact < 0 || words.empty()) return false;
  const Fact& of = base.facts[static_cast<std::size_t>(made.fact)];
  if (of.kind == FactKind::text || of.per != Per::vehicle_case) {
    reader.fault(member.line, member.column, "no phrase can speak of '" + of.id + "'",
                 "a fact per case that is no text");
    return false;
  }
  if (of.kind != FactKind::several && words.size() > 1) {
    reader.fault(member.value, "'" + of.id + "' takes one answer", "a single one");
    return false;
  }
  if (of.kind == FactKind::number) return number_meant(reader, words[0], of, said, made);
  AnswerSet set = 0;
  for (const Word& word : words) {
    const AnswerSet one = answer_set(reader, {word}, of);
    if (one != 0 && (set & one) != 0)
      reader.fault(word, "'" + short_text(word.text) + "' stands here twice", "each answer once");
    if (one != 0) made.values.push_back(word.text);
    set |= one;
  }
  const auto alone = [&](const char* id) {
    const int answer = answer_index(of, id);
    return answer >= 0 && ((set >> answer) & 1u) != 0;
  };
  if (words.size() > 1 && (alone("nothing") || alone("none")))
    reader.fault(member.value, "'nothing' or 'none' of '" + of.id + "' stands beside others",
                 "either it alone, or the others");
  return !made.values.empty();
}

bool Loader::number_meant(const FileReader& reader, const Word& word, const Fact& of,
                          const std::vector<Saying>* said, Meaning& made) {
  const std::string& text = word.text;
  made.number = text == "speed" || text == "first speed" ? Number::first_speed
                : text == "second speed"                 ? Number::second_speed
                : text == "rpm"                          ? Number::rpm
                                                         : Number::none;
  if (made.number == Number::none) {
    const auto value = parse_quantity(text, of.unit);
    if (!value) {
      reader.fault(word, "'" + of.id + "': " + value.error().what,
                   "speed, first speed, second speed, rpm, or a value: " + value.error().right);
      return false;
    }
    if (*value < of.low || *value > of.high)
      reader.fault(
          word, "'" + short_text(text) + "' lies outside what '" + of.id + "' can be",
          "from " + show(of.low, of.unit, Units::us) + " to " + show(of.high, of.unit, Units::us));
    made.values = {text};
    return true;
  }
  const bool rpm = made.number == Number::rpm;
  if (of.unit != (rpm ? Dimension::frequency : Dimension::speed)) {
    reader.fault(word, "'" + of.id + "' is not " + (rpm ? "an engine speed" : "a speed"),
                 "a fact with that unit");
    return false;
  }
  if (!said) {
    reader.fault(word, "what is negated has no number", "an answer");
    return false;
  }
  const int need = made.number == Number::second_speed ? 2 : 1;
  const bool all_have = std::all_of(said->begin(), said->end(), [&](const Saying& each) {
    return each.unless || count(each, rpm ? Saying::kRpm : Saying::kSpeed) >= need;
  });
  if (all_have) return true;
  reader.fault(word, "'" + text + "' is not in every way it is said",
               rpm         ? "{rpm} in each of says"
               : need == 1 ? "{speed} in each of says"
                           : "{speed} twice in each of says");
  return false;
}

}  // namespace perrev
