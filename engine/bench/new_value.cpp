#include "engine/bench/new_value.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "engine/bench/yaml_write.h"
#include "engine/knowledge/fields.h"
#include "engine/knowledge/source_text.h"
#include "engine/knowledge/yaml_parse.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

constexpr const char* kPair = "name: value";

std::vector<std::string> at_commas(const std::string& text) {
  std::vector<std::string> out;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find(',', at), text.size());
    const std::string part(trimmed(std::string_view(text).substr(at, end - at)));
    if (!part.empty()) out.push_back(part);
    at = end + 1;
  }
  return out;
}

// "name: value" at its first colon.
std::optional<std::pair<std::string, std::string>> pair_of(const std::string& text) {
  const std::size_t colon = text.find(':');
  if (colon == std::string::npos) return std::nullopt;
  const std::string_view view = text;
  std::pair<std::string, std::string> out{trimmed(view.substr(0, colon)),
                                          trimmed(view.substr(colon + 1))};
  if (out.first.empty() || out.second.empty()) return std::nullopt;
  return out;
}

std::optional<Problem> not_clean(const std::string& text) {
  const Problems problems = check_text("", text);
  if (!problems.empty()) return problem(problems.front().what, problems.front().right);
  if (text.find('\n') != std::string::npos)
    return problem("the text goes over more than one line", "one line");
  return std::nullopt;
}

std::optional<Problem> unknown_word(const std::string& word, const std::vector<KnownWord>& known) {
  if (known.empty()) return std::nullopt;
  std::vector<std::string> ids;
  for (const KnownWord& each : known) {
    if (each.id == word) return std::nullopt;
    ids.push_back(each.id);
  }
  return problem("there is no " + perrev::quoted(word) + " here",
                 near_or(word, ids, ids.size() <= 12 ? joined(ids) : "? lists them"));
}

// Answers, or ranges of a number, as a condition names them.
Result<YamlNode> answers_said(const RuleBase& base, const std::string& fact,
                              const std::string& said) {
  const int index = base.fact_index(fact);
  if (index < 0) {
    std::vector<std::string> ids;
    for (const Fact& each : base.facts) ids.push_back(each.id);
    return problem("no fact is called " + perrev::quoted(fact),
                   near_or(fact, ids, "a fact; ? lists them"));
  }
  const Fact& of = base.facts[static_cast<std::size_t>(index)];
  const std::vector<std::string> parts = at_commas(said);
  if (!of.answers.empty()) {
    std::vector<KnownWord> known;
    for (const Answer& answer : of.answers) known.push_back({answer.id, answer.label});
    for (const std::string& part : parts)
      if (auto wrong = unknown_word(part, known)) return *wrong;
  }
  return parts.size() == 1 ? scalar_node(parts.front()) : list_node(parts);
}

bool is_bracketed(const std::string& said) {
  const std::string_view text = trimmed(said);
  return !text.empty() && (text.front() == '{' || text.front() == '[');
}

Result<YamlNode> as_written(const std::string& said) {
  auto tree = parse_yaml("", said);
  if (!tree) return problem(tree.error().front().what, tree.error().front().right);
  return std::move(tree).value();
}

bool is_condition(const Field& field) {
  return field.shape.of == "condition" || field.shape.of == "edge_condition" ||
         field.shape.of == "needs";
}
bool is_mapping(const Field& field) {
  return is_condition(field) || field.shape.of == "answers" || field.shape.of == "base_rates" ||
         field.shape.of == "effects" || field.shape.of == "verdicts";
}

// One "name: value" of a mapping.
Result<YamlNode> value_said(const Field& field, const std::pair<std::string, std::string>& pair,
                            const RuleBase& base) {
  if (is_condition(field)) return answers_said(base, pair.first, pair.second);
  if (auto wrong = unknown_word(pair.first, known_words(field, base))) return *wrong;
  if (field.shape.of == "effects") {
    std::vector<KnownWord> strengths;
    for (const NumberWord& each : base.strengths) strengths.push_back({each.word, {}});
    const Field& limits = *field_of(strengths_fields(), "strengths");
    const auto number = parse_decimal(pair.second);
    const bool fits = number && *number > limits.low && *number <= limits.high;
    if (auto wrong = unknown_word(pair.second, strengths); wrong && !fits) return *wrong;
  }
  if (field.shape.of != "verdicts") return scalar_node(pair.second);
  if (is_bracketed(pair.second)) return as_written(pair.second);
  if (pair.second == "good" || pair.second == "bad") return scalar_node(pair.second);
  const auto test = pair_of(pair.second);
  if (!test) return problem(perrev::quoted(pair.second) + " is no condition", "fact: answer");
  auto answers = answers_said(base, test->first, test->second);
  if (!answers) return answers.error();
  YamlNode out;
  put(out, test->first, std::move(answers).value());
  return out;
}

Result<YamlNode> mapping_said(const Field& field, const std::vector<std::string>& said,
                              const RuleBase& base) {
  YamlNode out;
  out.kind = YamlNode::Kind::mapping;
  for (const std::string& each : said) {
    const auto pair = pair_of(each);
    if (!pair) {
      if (said.size() == 1 && (field.shape.of == "base_rates" || each == "passed"))
        return scalar_node(each);
      return problem(perrev::quoted(each) + " has no colon", kPair);
    }
    auto value = value_said(field, *pair, base);
    if (!value) return value.error();
    YamlNode* there = nullptr;
    for (YamlMember& member : out.members)
      if (member.key == pair->first) there = &member.value;
    if (!there) {
      put(out, pair->first, std::move(value).value());
    } else if (field.shape.of == "verdicts" && value->members.size() == 1 &&
               !there->find(value->members.front().key)) {
      there->members.push_back(value->members.front());
    } else {
      return problem(perrev::quoted(pair->first) + " is named twice", "each once");
    }
  }
  return out;
}

Result<YamlNode> shakes_said(const Field& field, const std::vector<std::string>& said,
                             const RuleBase& base) {
  YamlNode out;
  out.kind = YamlNode::Kind::sequence;
  for (const std::string& each : said) {
    const auto pair = pair_of(each);
    if (!pair)
      return problem(perrev::quoted(each) + " has no order", "a part and its order, as engine: 2");
    if (auto wrong = unknown_word(pair->first, known_words(field, base))) return *wrong;
    const auto share = pair_of(pair->second);
    YamlNode shake;
    put(shake, "source", scalar_node(pair->first));
    put(shake, "order", scalar_node(share ? share->first : pair->second));
    if (share) put(shake, "share", scalar_node(share->second));
    out.items.push_back(std::move(shake));
  }
  return out;
}

template <class Things, class Words>
std::vector<KnownWord> each_of(const Things& things, const Words& words) {
  std::vector<KnownWord> out;
  for (const auto& thing : things) out.push_back({thing.id, words(thing)});
  return out;
}

}  // namespace

std::vector<KnownWord> known_words(const Field& field, const RuleBase& base) {
  const auto name = [](const auto& thing) { return thing.name; };
  const auto what = [](const auto& thing) { return thing.what; };
  const std::string_view of = field.shape.of;
  std::vector<KnownWord> out;
  for (const FieldChoice& choice : field.choices)
    out.push_back({std::string(choice.word), std::string(choice.doc)});
  if (field.type == FieldType::yes_no) out = {{"yes", {}}, {"no", {}}};
  if (field.key == "shakes")
    for (const FieldChoice& source : field_of(field.shape.fields(), "source")->choices)
      out.push_back({std::string(source.word), std::string(source.doc)});
  if (of == "family") return each_of(base.families, name);
  if (of == "cause" || of == "verdicts") return each_of(base.causes, name);
  if (of == "effects") {
    out = each_of(base.causes, name);
    const std::vector<KnownWord> families = each_of(base.families, name);
    out.insert(out.end(), families.begin(), families.end());
    out.push_back({"nothing_left", "nothing is wrong any more after a repair"});
  }
  if (of == "fact" || is_condition(field))
    return each_of(base.facts, [](const Fact& fact) { return fact.ask; });
  if (of == "setup") return each_of(base.setups, what);
  if (of == "equipment") return each_of(base.equipment, what);
  if (of == "repair") return each_of(base.repairs, what);
  if (of == "edge_start" || of == "edge_end")
    for (int v = 0; v < base.vertex_count(); ++v) {
      const int check = v - 1;
      const bool is_check = check >= 0 && check < static_cast<int>(base.checks.size());
      out.push_back(
          {base.vertex_name(v), is_check ? base.checks[static_cast<std::size_t>(check)].what : ""});
    }
  return out;
}

Result<YamlNode> read_field(const Field& field, const std::vector<std::string>& said,
                            const RuleBase& base) {
  for (const std::string& each : said)
    if (auto wrong = not_clean(each)) return *wrong;
  if (said.empty() || said.front().empty()) return problem("nothing was said", "a value");
  const bool is_text = field.type == FieldType::text && field.shape.of != "order";
  if (!is_text && said.size() == 1 && is_bracketed(said.front())) return as_written(said.front());
  if (is_mapping(field)) return mapping_said(field, said, base);
  if (field.key == "shakes") return shakes_said(field, said, base);
  if (field.type == FieldType::ids || field.type == FieldType::choices) {
    std::vector<std::string> ids;
    for (const std::string& each : said)
      for (const std::string& id : at_commas(each)) ids.push_back(id);
    if (ids.empty()) return problem("nothing was said", "one or more, with commas");
    for (const std::string& id : ids)
      if (auto wrong = unknown_word(id, known_words(field, base))) return *wrong;
    return list_node(ids);
  }
  if (said.size() > 1) return problem("it is said twice", "once");
  if (field.type != FieldType::text)
    if (auto wrong = unknown_word(said.front(), known_words(field, base))) return *wrong;
  if (field.type == FieldType::id && !is_id(said.front()))
    return problem(perrev::quoted(said.front()) + " is no id", "small letters, digits and _");
  return scalar_node(said.front());
}

}  // namespace perrev
