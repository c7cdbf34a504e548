#include "engine/knowledge/record.h"

#include <algorithm>
#include <set>
#include <utility>

#include "engine/knowledge/source_text.h"
#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

std::vector<std::string> words_of(const std::vector<FieldChoice>& choices) {
  std::vector<std::string> words;
  for (const FieldChoice& choice : choices) words.emplace_back(choice.word);
  return words;
}

}  // namespace

const Field* field_of(const FieldTable& table, std::string_view key) {
  const auto found = std::find_if(table.begin(), table.end(),
                                  [&](const Field& field) { return field.key == key; });
  return found == table.end() ? nullptr : &*found;
}

bool is_id(std::string_view text) {
  if (text.empty() || text.size() > 64 || text[0] < 'a' || text[0] > 'z') return false;
  return std::all_of(text.begin(), text.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
  });
}

void FileReader::fault(int line, int column, std::string what, std::string right) const {
  if (problems_->size() < kMostProblems)
    problems_->push_back(
        Problem{{shown_, line, column, {}}, std::move(what), std::move(right), {}});
}

std::optional<std::string> FileReader::unknown(const Word& word, std::string_view kind,
                                               const std::vector<std::string>& known,
                                               std::string_view of) const {
  constexpr std::size_t kFewEnoughToList = 16, kEnoughProblems = 200;  // the latter keeps it cheap
  std::optional<std::string> near;
  if (problems_->size() < kEnoughProblems) near = nearest(word.text, known);
  std::string right;
  if (near)
    right = "did you mean '" + *near + "'?";
  else if (!known.empty() && known.size() <= kFewEnoughToList)
    right = "known: " + joined(std::vector<std::string>(known.begin(), known.end()));
  fault(word,
        "unknown " + std::string(kind) + " '" + short_text(word.text) + "'" +
            (of.empty() ? "" : " " + std::string(of)),
        right);
  return near;
}

bool FileReader::is_mapping(const YamlNode& node, std::string_view what,
                            std::string_view example) const {
  if (node.kind == YamlNode::Kind::mapping) return true;
  fault(node, "expected a mapping of " + std::string(what), std::string(example));
  return false;
}

std::vector<Word> FileReader::words(const YamlNode& node) const {
  std::vector<Word> out;
  const auto add = [&](const YamlNode& item) {
    if (item.kind != YamlNode::Kind::scalar)
      fault(item, "expected a word here", "a word, or a list of words in [ ]");
    else
      out.push_back(Word{item.scalar, item.line, item.column});
  };
  if (node.kind == YamlNode::Kind::sequence) {
    for (const YamlNode& item : node.items) add(item);
  } else {
    add(node);
  }
  return out;
}

Record::Record(const FileReader& reader, const YamlNode& node, const FieldTable& table,
               std::string subject, int line, int column)
    : reader_(reader), node_(node), subject_(std::move(subject)) {
  std::vector<std::string> keys;
  for (const Field& field : table) keys.emplace_back(field.key);
  if (node.kind != YamlNode::Kind::mapping) {
    reader_.fault(line, column, subject_ + " must be a mapping",
                  "key: value, with " + joined(std::vector<std::string>(keys.begin(), keys.end())));
    return;
  }
  std::vector<std::string> meant;
  for (const YamlMember& member : node.members) {
    if (const Field* field = field_of(table, member.key)) {
      if (acceptable(*field, member)) fields_[field->key] = &member.value;
    } else if (auto near = reader_.unknown(Word{member.key, member.line, member.column}, "key",
                                           keys, "of " + subject_)) {
      meant.push_back(*near);
    }
  }
  for (const Field& field : table)
    if (field.required && node.find(field.key) == nullptr &&
        std::find(meant.begin(), meant.end(), field.key) == meant.end())
      reader_.fault(line, column, subject_ + " has no '" + std::string(field.key) + "'",
                    std::string(field.doc));
}

bool Record::acceptable(const Field& field, const YamlMember& member) const {
  const YamlNode& node = member.value;
  const std::string named = "'" + member.key + "' of " + subject_;
  if (node.kind == YamlNode::Kind::null) {
    reader_.fault(member.line, member.column, named + " is empty", std::string(field.doc));
    return false;
  }
  if (field.type == FieldType::node || field.type == FieldType::rates) return true;
  const bool list = field.type == FieldType::ids || field.type == FieldType::choices ||
                    field.type == FieldType::words;
  if (node.kind != YamlNode::Kind::scalar && !(list && node.kind == YamlNode::Kind::sequence)) {
    reader_.fault(node,
                  named + " is not " + (list ? "a word or a list of words" : "a single value"),
                  std::string(field.doc));
    return false;
  }
  if (node.kind == YamlNode::Kind::sequence && node.items.empty()) {
    reader_.fault(node, named + " is an empty list", std::string(field.doc));
    return false;
  }
  const auto words = reader_.words(node);
  bool good = true;
  std::set<std::string_view> seen;
  for (const Word& word : words)
    if (!seen.insert(word.text).second)
      reader_.fault(word, named + " names '" + short_text(word.text) + "' twice", "each once");
  const auto refuse = [&](const Word& word, const std::string& right) {
    reader_.fault(word, named + ": '" + short_text(word.text) + "' will not do", right);
    good = false;
  };
  for (const Word& word : words) {
    switch (field.type) {
      case FieldType::text:
      case FieldType::words:
        if (word.text.find_first_not_of(" \t\n") == std::string::npos)
          refuse(word, std::string(field.doc));
        break;
      case FieldType::id:
      case FieldType::ids:
        if (!is_id(word.text)) refuse(word, "an id: a-z, 0-9 and _, beginning with a letter");
        break;
      case FieldType::number: {
        const auto value = parse_decimal(word.text);
        if (!value || *value < field.low || *value > field.high)
          refuse(word, "a plain number from " + show_number(field.low) + " to " +
                           show_number(field.high));
        break;
      }
      case FieldType::yes_no:
        if (word.text != "yes" && word.text != "no") refuse(word, "yes or no");
        break;
      case FieldType::choice:
      case FieldType::choices:
        if (std::none_of(field.choices.begin(), field.choices.end(),
                         [&](const FieldChoice& choice) { return choice.word == word.text; })) {
          reader_.unknown(word, "word", words_of(field.choices), "for " + named);
          good = false;
        }
        break;
      case FieldType::rates:
      case FieldType::node:
        break;
    }
  }
  return good && words.size() == (node.kind == YamlNode::Kind::sequence ? node.items.size() : 1u);
}

std::string Record::text(std::string_view key) const { return word(key).text; }

Word Record::word(std::string_view key) const {
  const YamlNode* found = node(key);
  return found ? Word{found->scalar, found->line, found->column} : Word{};
}

std::vector<Word> Record::words(std::string_view key) const {
  const YamlNode* found = node(key);
  return found ? reader_.words(*found) : std::vector<Word>{};
}

double Record::number(std::string_view key, double otherwise) const {
  const YamlNode* found = node(key);
  return found ? parse_decimal(found->scalar).value_or(otherwise) : otherwise;
}

const YamlNode* Record::node(std::string_view key) const {
  const auto found = fields_.find(key);
  return found == fields_.end() ? nullptr : found->second;
}

}  // namespace perrev
