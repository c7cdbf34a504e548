#include "src/commands/new_talk.h"

#include <algorithm>
#include <iostream>

#include "engine/bench/yaml_write.h"
#include "engine/quantity/text.h"
#include "src/answers/words.h"
#include "src/commands/common.h"

namespace perrev {

namespace {

constexpr std::size_t kShownAtOnce = 14;

std::string sentence(const Problem& p) { return p.what + (p.right.empty() ? "" : "; " + p.right); }

bool must_be(const Field& field, const NewQuestion& question) {
  return question.needed || (field.required && question.otherwise.empty());
}

// Of a word that is none of those known.
std::optional<std::string> near_name(const std::string& word, const std::vector<KnownWord>& known) {
  std::vector<std::string> ids;
  for (const KnownWord& each : known) {
    if (each.id == word) return std::nullopt;
    ids.push_back(each.id);
  }
  return nearest(word, ids);
}

// The word of a number that was typed.
std::string by_number(const std::string& typed, const std::vector<KnownWord>& known) {
  const bool digits =
      !typed.empty() && typed.size() < 4 && std::all_of(typed.begin(), typed.end(), is_digit);
  if (!digits || known.size() > kShownAtOnce) return typed;
  const std::size_t number = static_cast<std::size_t>(std::stoi(typed));
  return number >= 1 && number <= known.size() ? known[number - 1].id : typed;
}

// Numbers stand for words wherever the field is one of the words shown, or a list of them.
std::string numbers_read(const Field& field, const std::string& typed,
                         const std::vector<KnownWord>& known) {
  if (field.type == FieldType::text || field.type == FieldType::number ||
      field.type == FieldType::node)
    return typed;
  std::string out;
  for (std::size_t at = 0; at <= typed.size();) {
    const std::size_t end = std::min(typed.find(',', at), typed.size());
    const std::string part(trimmed(std::string_view(typed).substr(at, end - at)));
    out += (out.empty() ? "" : ", ") + by_number(part, known);
    at = end + 1;
  }
  return out;
}

}  // namespace

std::optional<Problem> wrong_id(const std::string& id, const std::vector<std::string>& taken) {
  if (!is_id(id) || id == "back")
    return problem(perrev::quoted(id) + " is no id",
                   "small letters, digits and _, as loose_exhaust_hanger");
  if (std::find(taken.begin(), taken.end(), id) != taken.end())
    return problem(perrev::quoted(id) + " is there already", "another name");
  return std::nullopt;
}

std::vector<NewQuestion> missing_of(NewKind kind, const YamlNode& fields) {
  std::vector<NewQuestion> out;
  for (const NewQuestion& question : questions_of(kind)) {
    const Field* field = field_of(fields_of(kind), question.key);
    if (!fields.find(question.key) && is_due(kind, question, fields) && must_be(*field, question))
      out.push_back(question);
  }
  if (kind == NewKind::rule && !fields.find("for") && !fields.find("against"))
    for (const NewQuestion& question : questions_of(kind))
      if (question.key == "for") out.push_back(question);
  return out;
}

YamlNode completed(NewKind kind, const YamlNode& fields) {
  YamlNode out;
  out.kind = YamlNode::Kind::mapping;
  const auto add = [&](const Field& field) {
    const std::string key(field.key);
    if (const YamlNode* said = fields.find(key)) return put(out, key, *said);
    for (const NewQuestion& question : questions_of(kind))
      if (question.key == key && field.required && !question.otherwise.empty())
        put(out, key, scalar_node(std::string(question.otherwise)));
  };
  const auto is_last = [&](const Field& field) {
    return kind == NewKind::fact && field.key == "how";
  };
  for (const Field& field : fields_of(kind))
    if (!is_last(field)) add(field);
  for (const Field& field : fields_of(kind))
    if (is_last(field)) add(field);
  return out;
}

std::optional<std::string> NewTalk::typed() {
  out_ << "> " << std::flush;
  const std::optional<std::string> text = left_ ? std::nullopt : typed_line(std::cin);
  left_ = !text;
  if (text) return std::string(trimmed(*text));
  out_ << "\n";
  return std::nullopt;
}

void NewTalk::show(const NewQuestion& question, const Field& field,
                   const std::vector<KnownWord>& known, const RuleBase& base) {
  out_ << "\n" << wrapped(std::string(question.ask), 0, 0);
  if (!known.empty() && known.size() <= kShownAtOnce)
    for (std::size_t i = 0; i < known.size(); ++i)
      out_ << wrapped(std::to_string(i + 1) + "  " + known[i].id +
                          (known[i].words.empty() ? "" : ": " + known[i].words),
                      4, 7);
  if (field.shape.of == "effects") {
    std::vector<std::string> words;
    for (const NumberWord& each : base.strengths) words.push_back(each.word);
    out_ << wrapped("Strengths: " + joined(words), 4, 4);
  }
  if (question.one_a_line) out_ << wrapped(std::string(question.help), 4, 4);
  std::string hint = question.one_a_line ? "one a line, an empty line ends" : "";
  if (!must_be(field, question))
    hint += (hint.empty() ? "" : "; ") + std::string("Enter: ") +
            (question.otherwise.empty() ? "leave it out" : std::string(question.otherwise));
  if (!known.empty() && known.size() > kShownAtOnce)
    hint += (hint.empty() ? "" : "; ") + std::string("? lists names, ? brake those with brake");
  if (!hint.empty()) out_ << wrapped("(" + hint + ")", 4, 4);
}

void NewTalk::help(const NewQuestion& question, const Field& field,
                   const std::vector<KnownWord>& known, const std::string& part) {
  if (part.empty()) {
    if (!question.help.empty() && !question.one_a_line)
      out_ << wrapped(std::string(question.help), 4, 4);
    out_ << wrapped(
        "In the file it is `" + std::string(field.key) + "`: " + std::string(field.doc) + ".", 4,
        4);
  }
  if (part.empty() && known.size() <= kShownAtOnce) return;
  if (part.empty()) {
    std::vector<std::string> ids;
    for (const KnownWord& word : known) ids.push_back(word.id);
    out_ << wrapped(joined(ids), 4, 4);
    return;
  }
  std::size_t found = 0;
  for (const KnownWord& word : known) {
    if (lower_case(word.id + " " + word.words).find(lower_case(part)) == std::string::npos)
      continue;
    ++found;
    out_ << wrapped(word.id + (word.words.empty() ? "" : ": " + word.words), 4, 8);
  }
  if (found == 0) out_ << wrapped("Nothing there has it.", 4, 4);
}

NewTalk::Reply NewTalk::ask_one(NewKind kind, const NewQuestion& question, YamlNode& fields,
                                const RuleBase& base) {
  const Field& field = *field_of(fields_of(kind), question.key);
  const bool makes_repair = kind == NewKind::cause && question.key == "repair";
  const std::vector<KnownWord> known = known_words(field, base);
  show(question, field, known, base);
  std::vector<std::string> lines;
  std::string doubted;  // a new name that is near to one that is there
  const auto keep = [&]() -> std::optional<Problem> {
    if (makes_repair && is_id(lines.front())) {
      if (const auto near = near_name(lines.front(), known); near && doubted != lines.front()) {
        doubted = lines.front();
        return problem("no repair is called " + perrev::quoted(doubted) + " yet",
                       "did you mean '" + *near + "'? The same once more makes a new one");
      }
      put(fields, std::string(question.key), scalar_node(lines.front()));
      return std::nullopt;
    }
    auto read = read_field(field, lines, base);
    if (!read) return read.error();
    put(fields, std::string(question.key), std::move(read).value());
    return std::nullopt;
  };
  for (;;) {
    const auto text = typed();
    if (!text) return Reply::left;
    if (*text == "back") return Reply::back;
    if (text->empty()) {
      if (!lines.empty()) return keep() ? Reply::nothing : Reply::said;
      if (!must_be(field, question)) return Reply::nothing;
      out_ << wrapped("It cannot be left out; ? tells more, back goes back.", 4, 4);
      continue;
    }
    if (text->front() == '?' || *text == "help") {
      help(question, field, known,
           text->front() == '?' ? std::string(trimmed(std::string_view(*text).substr(1)))
                                : std::string());
      continue;
    }
    lines.push_back(numbers_read(field, *text, known));
    const auto read = read_field(field, lines, base);
    const bool is_whole = !question.one_a_line || (read && read->kind != YamlNode::Kind::mapping &&
                                                   read->kind != YamlNode::Kind::sequence);
    const std::optional<Problem> wrong = is_whole ? keep()
                                         : read   ? std::nullopt
                                                  : std::optional<Problem>(read.error());
    if (wrong) {
      out_ << wrapped(sentence(*wrong), 4, 4);
      lines.pop_back();
    } else if (is_whole) {
      return Reply::said;
    }
  }
}

bool NewTalk::ask(NewKind kind, YamlNode& fields, const RuleBase& base) {
  const std::vector<NewQuestion>& questions = questions_of(kind);
  fields.kind = YamlNode::Kind::mapping;
  std::vector<std::size_t> asked;  // to go back to
  for (std::size_t i = 0;;) {
    if (i == questions.size()) {
      if (kind != NewKind::rule || fields.find("for") || fields.find("against")) return true;
      out_ << wrapped("It speaks neither for nor against anything yet.", 4, 4);
      for (i = 0; questions[i].key != "for";) ++i;
      while (!asked.empty() && asked.back() >= i) asked.pop_back();
    }
    const NewQuestion& question = questions[i];
    if (fields.find(question.key) || !is_due(kind, question, completed(kind, fields))) {
      ++i;
      continue;
    }
    switch (ask_one(kind, question, fields, base)) {
      case Reply::left:
        return false;
      case Reply::said:
      case Reply::nothing:
        asked.push_back(i++);
        break;
      case Reply::back:
        if (asked.empty()) {
          out_ << wrapped("There is no question to go back to.", 4, 4);
          break;
        }
        i = asked.back();
        asked.pop_back();
        fields.members.erase(
            std::remove_if(fields.members.begin(), fields.members.end(),
                           [&](const YamlMember& m) { return m.key == questions[i].key; }),
            fields.members.end());
    }
  }
}

std::optional<std::string> NewTalk::line(const std::string& question,
                                         const std::string& otherwise) {
  out_ << "\n" << wrapped(question, 0, 0);
  if (!otherwise.empty()) out_ << wrapped("(Enter: " + otherwise + ")", 4, 4);
  auto text = typed();
  if (text && text->empty()) return otherwise;
  return text;
}

bool NewTalk::yes(const std::string& question, bool otherwise) {
  for (;;) {
    const auto text = line(question, otherwise ? "yes" : "no");
    if (!text) return false;
    const std::string word = lower_case(*text);
    if (word == "y" || word == "yes") return true;
    if (word == "n" || word == "no") return false;
    out_ << wrapped("yes or no", 4, 4);
  }
}

std::optional<std::string> NewTalk::id(const std::string& question, const std::string& otherwise,
                                       const std::vector<std::string>& taken) {
  for (;;) {
    auto text = line(question, otherwise);
    if (!text) return text;
    if (*text == "?") {
      out_ << wrapped("The name that rules and cases use for it; people see other words.", 4, 4);
      continue;
    }
    const auto wrong = wrong_id(*text, taken);
    if (!wrong) return text;
    out_ << wrapped(sentence(*wrong), 4, 4);
  }
}

}  // namespace perrev
