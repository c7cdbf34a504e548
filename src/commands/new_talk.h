// Asking a trainer about a new thing, one question after the other, on standard input.
#pragma once

#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "engine/bench/new_question.h"
#include "engine/bench/new_value.h"

namespace perrev {

class NewTalk {
 public:
  explicit NewTalk(std::ostream& out) : out_(out) {}

  // Standard input ended: nothing is to be written.
  bool left() const { return left_; }

  // Asks what is due and not in `fields` yet; false when the person left.
  bool ask(NewKind kind, YamlNode& fields, const RuleBase& base);

  // A single question of its own. `otherwise` is taken for an empty line; nothing when the person
  // left.
  std::optional<std::string> line(const std::string& question, const std::string& otherwise = {});
  bool yes(const std::string& question, bool otherwise);
  // An id that none of `taken` is.
  std::optional<std::string> id(const std::string& question, const std::string& otherwise,
                                const std::vector<std::string>& taken);

 private:
  enum class Reply { said, nothing, back, left };

  std::optional<std::string> typed();
  Reply ask_one(NewKind kind, const NewQuestion& question, YamlNode& fields, const RuleBase& base);
  void show(const NewQuestion& question, const Field& field, const std::vector<KnownWord>& known,
            const RuleBase& base);
  void help(const NewQuestion& question, const Field& field, const std::vector<KnownWord>& known,
            const std::string& part);

  std::ostream& out_;
  bool left_ = false;
};

// Why the id cannot be taken, if it cannot.
std::optional<Problem> wrong_id(const std::string& id, const std::vector<std::string>& taken);

// What is needed and not there, in the order of the questions.
std::vector<NewQuestion> missing_of(NewKind kind, const YamlNode& fields);
// With what the format needs and a question has an answer for where nothing was said; in the order
// in which it is written.
YamlNode completed(NewKind kind, const YamlNode& fields);

}  // namespace perrev
