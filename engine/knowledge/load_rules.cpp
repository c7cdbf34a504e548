#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "engine/knowledge/computed.h"
#include "engine/knowledge/fields.h"
#include "engine/knowledge/loader.h"
#include "engine/knowledge/source_text.h"

namespace perrev {

namespace {

// The line where a condition reads the fact; 0 where it does not.
int line_of_fact(const YamlNode& condition, const std::string& fact) {
  for (const YamlMember& member : condition.members) {
    if (member.key == fact) return member.line;
    if (const int line = line_of_fact(member.value, fact)) return line;
  }
  for (const YamlNode& item : condition.items)
    if (const int line = line_of_fact(item, fact)) return line;
  return 0;
}

}  // namespace

void Loader::evidence(const FileReader& reader, const YamlNode& root) {
  for (const YamlNode& item : root.items) rule(reader, item);
}

void Loader::rule(const FileReader& reader, const YamlNode& node) {
  const YamlNode* name = node.find("rule");
  const std::string subject = name ? "rule '" + short_text(name->scalar) + "'" : "rule";
  const std::size_t before = problems.size();
  const Record record(reader, node, rule_fields(), subject, node.line, node.column);
  const bool well_formed = problems.size() == before;
  Rule made;
  made.id = record.text("rule");
  made.place = reader.place(node.line, node.column);
  const auto fresh_id = rule_by_id_.emplace(made.id, static_cast<int>(base.rules.size()));
  if (!fresh_id.second && !made.id.empty())
    twice(reader, record.word("rule"), "rule",
          base.rules[static_cast<std::size_t>(fresh_id.first->second)].place);
  made.because = record.text("because");
  made.origin = record.text("origin");
  const YamlNode* when = record.node("when");
  if (when) made.when = condition(reader, *when);
  const Speaking speaking{made.id, when, facts_in(base, made.when)};
  std::vector<Named> found(base.causes.size() + 1);
  if (const YamlNode* in_favour = record.node("for"))
    effects(reader, *in_favour, true, speaking, found);
  if (const YamlNode* against = record.node("against"))
    effects(reader, *against, false, speaking, found);
  if (well_formed && !record.has("for") && !record.has("against"))
    reader.fault(node, subject + " says nothing", "for: {cause: strength} or against: {...}");
  for (std::size_t cause = 0; cause < found.size(); ++cause)
    if (!found[cause].strength.empty())
      made.effects.push_back(
          {static_cast<int>(cause), found[cause].log_ratio, found[cause].strength});
  base.rules.push_back(std::move(made));
}

// Within a rule the most particular name wins: `found` keeps how each cause was named.
void Loader::effects(const FileReader& reader, const YamlNode& node, bool in_favour,
                     const Speaking& by, std::vector<Named>& found) {
  if (node.kind != YamlNode::Kind::mapping || node.members.empty())
    return reader.fault(node, "expected causes and strengths", "{cause: strong}");
  for (const YamlMember& member : node.members) {
    const std::optional<double> ratio = odds_ratio(reader, member.value);
    const auto family = family_by_id_.find(member.key);
    const bool itself = family == family_by_id_.end();
    const std::vector<int> meant =
        itself ? named_itself(reader, member) : family_members(reader, member, family->second);
    if (!ratio) continue;
    const double log_ratio = (in_favour ? 1.0 : -1.0) * std::log(*ratio);
    for (const int cause : left_to_rules(reader, member, itself, meant, by)) {
      Named& earlier = found[static_cast<std::size_t>(cause)];
      if (!earlier.strength.empty() && earlier.itself == itself) {
        reader.fault(member.line, member.column,
                     "rule '" + by.rule + "' speaks twice about '" + member.key + "'",
                     "either for or against");
        break;
      }
      if (earlier.strength.empty() || itself) earlier = {member.value.scalar, log_ratio, itself};
    }
  }
}

// Where a computation owns what the rule reads, a family passes the cause over: so it can be named
// without its members.
std::vector<int> Loader::left_to_rules(const FileReader& reader, const YamlMember& member,
                                       bool itself, const std::vector<int>& meant,
                                       const Speaking& by) {
  std::vector<int> left;
  for (const int cause : meant)
    if (computed_fact(by.reads, cause) < 0) left.push_back(cause);
  if (meant.empty() || !left.empty()) return left;
  const int fact = computed_fact(by.reads, meant.front());
  const int line = line_of_fact(*by.when, base.facts[static_cast<std::size_t>(fact)].id);
  reader.fault(member.line, member.column, told_computed(fact, line, meant.front()),
               itself ? "leave it out here" : "as for all of its family; leave it out here");
  return left;
}

std::optional<double> Loader::odds_ratio(const FileReader& reader, const YamlNode& node) {
  for (const NumberWord& known : base.strengths)
    if (known.word == node.scalar) return known.number;
  if (const auto number = parse_decimal(node.scalar)) {
    const Field& field = *field_of(strengths_fields(), "strengths");
    if (*number > field.low && *number <= field.high) return number;
    reader.fault(node, "'" + short_text(node.scalar) + "' is no odds ratio",
                 "a number above " + show_number(field.low) + ", at most " +
                     show_number(field.high) + "; `against` is what speaks against");
  } else if (whole("strengths.yaml")) {
    std::vector<std::string> words;
    for (const NumberWord& known : base.strengths) words.push_back(known.word);
    reader.unknown(Word{node.scalar, node.line, node.column}, "strength", words);
  }
  return std::nullopt;
}

std::vector<int> Loader::family_members(const FileReader& reader, const YamlMember& member,
                                        int family) {
  std::vector<int> meant;
  for (std::size_t c = 0; c < base.causes.size(); ++c)
    if (base.causes[c].family == family) meant.push_back(static_cast<int>(c));
  const auto has_family = [](const Cause& cause) { return cause.family >= 0; };
  if (meant.empty() && whole("causes/") &&
      std::all_of(base.causes.begin(), base.causes.end(), has_family))
    reader.fault(member.line, member.column, "no cause is of the family '" + member.key + "'",
                 "a family with causes");
  return meant;
}

std::vector<int> Loader::named_itself(const FileReader& reader, const YamlMember& member) {
  if (member.key == "nothing_left") return {base.nothing_left()};
  if (const int cause = base.cause_index(member.key); cause >= 0) return {cause};
  if (whole("causes/") && whole("families.yaml")) {
    std::vector<std::string> names = {"nothing_left"};
    for (const auto* ids : {&base.cause_by_id, &family_by_id_})
      for (const std::string& id : sorted_ids(*ids)) names.push_back(id);
    reader.unknown(Word{member.key, member.line, member.column}, "cause or family", names);
  }
  return {};
}

}  // namespace perrev
