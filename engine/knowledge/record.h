// Reading one YAML mapping by a declarative table of its fields.
//
// The tables in fields.h are the one truth about the keys of rule files: what is read, what is
// refused, what a person is told and what an editor completes (engine/bench/schema.h) all come from
// them. A Record reports unknown keys (with the
// near word), missing keys, values of the wrong type and lists that are empty or name a word twice,
// and gives typed access to the rest; a value that was refused reads as empty, so that one error
// does not make others.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/knowledge/yaml_tree.h"
#include "engine/result.h"

namespace perrev {

enum class FieldType {
  text,     // any scalar that is not empty
  id,       // a-z, 0-9 and _, beginning with a letter
  ids,      // an id or a list of ids
  number,   // a plain decimal within [low, high]
  yes_no,   // yes | no
  choice,   // one of `choices`
  choices,  // one of `choices` or a list of them
  words,    // any scalar that is not empty, or a list of them
  rates,    // word: a plain decimal above `low`, at most `high`; read by code of its own
  node,     // read by code of its own
};

struct Field;
using FieldTable = std::vector<Field>;

// What more is known of a value than its type. The loader has code of its own for all of it; the
// schemas say it to editors.
struct Shape {
  enum class Many { one, list, by_id };

  std::string_view of = {};                 // a name or a form that is defined in schema_names.cpp
  const FieldTable& (*fields)() = nullptr;  // or a mapping by a table
  Many many = Many::one;
  std::string_view keys = {};  // by_id: what the ids name, where they are no new ones
};

struct FieldChoice {
  std::string_view word;
  std::string_view doc;
};

struct Field {
  std::string_view key;
  FieldType type;
  bool required;
  std::string_view doc;
  std::vector<FieldChoice> choices = {};
  double low = 0.0;
  double high = 1e9;
  Shape shape = {};
};

// Null where the table has none of that key.
const Field* field_of(const FieldTable& table, std::string_view key);

// A scalar with its place.
struct Word {
  std::string text;
  int line = 0;
  int column = 0;
};

inline constexpr double kMostUsual = 1000.0;  // per thousand complaints

// More is not told of one rule base: a file of megabytes can be wrong in every word.
inline constexpr std::size_t kMostProblems = 1000;

// Collects what is wrong in one file.
class FileReader {
 public:
  FileReader(std::string shown, Problems* problems)
      : shown_(std::move(shown)), problems_(problems) {}
  // Adds a problem, where there are not kMostProblems yet.
  void fault(int line, int column, std::string what, std::string right = {}) const;
  void fault(const YamlNode& node, std::string what, std::string right = {}) const {
    fault(node.line, node.column, std::move(what), std::move(right));
  }
  void fault(const Word& word, std::string what, std::string right = {}) const {
    fault(word.line, word.column, std::move(what), std::move(right));
  }
  // "unknown <kind> 'x' <of>; did you mean 'y'?"; the near word, if there is one.
  std::optional<std::string> unknown(const Word& word, std::string_view kind,
                                     const std::vector<std::string>& known,
                                     std::string_view of = {}) const;
  // Reports a node that is no mapping: "expected a mapping of <what>; <example>".
  bool is_mapping(const YamlNode& node, std::string_view what, std::string_view example) const;
  Place place(int line, int column) const { return Place{shown_, line, column, {}}; }
  const std::string& shown() const { return shown_; }

  // A scalar or a list of scalars; reports anything else.
  std::vector<Word> words(const YamlNode& node) const;

 private:
  std::string shown_;
  Problems* problems_;
};

class Record {
 public:
  // `subject` is what the mapping describes, for messages: "fact 'felt_at'".
  Record(const FileReader& reader, const YamlNode& node, const FieldTable& table,
         std::string subject, int line, int column);

  bool has(std::string_view key) const { return fields_.count(key) > 0; }
  // It stands there, refused or not.
  bool given(std::string_view key) const { return node_.find(key) != nullptr; }
  std::string text(std::string_view key) const;
  Word word(std::string_view key) const;
  std::vector<Word> words(std::string_view key) const;
  double number(std::string_view key, double otherwise = 0.0) const;
  bool yes(std::string_view key) const { return text(key) == "yes"; }
  const YamlNode* node(std::string_view key) const;

 private:
  bool acceptable(const Field& field, const YamlMember& member) const;

  const FileReader& reader_;
  const YamlNode& node_;
  std::string subject_;
  std::map<std::string_view, const YamlNode*> fields_;
};

bool is_id(std::string_view text);

}  // namespace perrev
