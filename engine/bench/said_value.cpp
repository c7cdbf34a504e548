#include "engine/bench/said_value.h"

#include <algorithm>
#include <cstdio>
#include <utility>

#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

struct Words {
  std::string meant, shown;
  bool several = false;  // parts, which stand in brackets within others
};

std::string exact(double value) {
  char text[40];
  std::snprintf(text, sizeof text, "%.12g", value);
  return text;
}

Words in_line(const YamlNode& node);

std::vector<Words> each_in_line(const std::vector<YamlNode>& items) {
  std::vector<Words> out;
  for (const YamlNode& item : items) out.push_back(in_line(item));
  std::sort(out.begin(), out.end(),
            [](const Words& a, const Words& b) { return a.meant < b.meant; });
  return out;
}

Words glued(const std::vector<Words>& parts, const std::string& meant, const std::string& shown) {
  Words out;
  for (const Words& part : parts) {
    out.meant += (out.meant.empty() ? "" : meant) + part.meant;
    out.shown += (out.shown.empty() ? "" : shown) + part.shown;
  }
  out.several = parts.size() == 1 ? parts[0].several : parts.size() > 1;
  return out;
}

Words in_line(const YamlNode& node) {
  if (node.kind == YamlNode::Kind::sequence) return glued(each_in_line(node.items), "|", " or ");
  if (node.kind != YamlNode::Kind::mapping)
    return {meant_by(node.scalar), with_plain_blanks(node.scalar), false};
  std::vector<Words> parts;
  for (const YamlMember& member : node.members) {
    const Words value = in_line(member.value);
    parts.push_back({member.key + "=" + value.meant, member.key + " " + value.shown, false});
  }
  std::sort(parts.begin(), parts.end(),
            [](const Words& a, const Words& b) { return a.meant < b.meant; });
  return glued(parts, ",", ", ");
}

class ConditionWords {
 public:
  explicit ConditionWords(const RuleBase& base) : base_(base) {}

  Words all_of(const YamlNode& node) const {
    if (node.kind != YamlNode::Kind::mapping) return in_line(node);
    std::vector<Words> parts;
    for (const YamlMember& member : node.members) parts.push_back(part(member));
    return together(std::move(parts), " & ", ", and ");
  }

 private:
  Words part(const YamlMember& member) const {
    if (member.key == "not") {
      const Words inner = all_of(member.value);
      return {"not(" + inner.meant + ")", "not (" + inner.shown + ")", false};
    }
    if (member.key == "any" || member.key == "all") {
      std::vector<Words> parts;
      for (const YamlNode& item : member.value.items) parts.push_back(all_of(item));
      return member.key == "any" ? together(std::move(parts), " | ", ", or ")
                                 : together(std::move(parts), " & ", ", and ");
    }
    return answers(member);
  }

  Words answers(const YamlMember& member) const {
    const int fact = base_.fact_index(member.key);
    const std::vector<YamlNode> one = {member.value};
    const bool list = member.value.kind == YamlNode::Kind::sequence;
    std::vector<Words> parts = each_in_line(list ? member.value.items : one);
    for (Words& part : parts) {
      if (fact < 0) continue;
      const Fact& of = base_.facts[static_cast<std::size_t>(fact)];
      const int answer = answer_index(of, part.meant);
      if (answer >= 0 && of.kind != FactKind::number)
        part.shown = of.answers[static_cast<std::size_t>(answer)].label;
    }
    const Words any = glued(parts, "|", " or ");
    return {member.key + "=" + any.meant, spaced(member.key) + ": " + any.shown, false};
  }

  static Words together(std::vector<Words> parts, const char* meant, const char* shown) {
    std::sort(parts.begin(), parts.end(),
              [](const Words& a, const Words& b) { return a.meant < b.meant; });
    if (parts.size() > 1)
      for (Words& part : parts)
        if (part.several) {
          part.meant = "(" + part.meant + ")";
          part.shown = "(" + part.shown + ")";
        }
    return glued(parts, meant, shown);
  }

  const RuleBase& base_;
};

}  // namespace

std::string meant_by(std::string_view raw) {
  std::string text = with_plain_blanks(raw);
  if (const auto number = parse_decimal(text)) return exact(*number);
  if (text.empty() || (!is_digit(text[0]) && text[0] != '.' && text[0] != '-')) return text;
  for (const std::string& name : dimension_names()) {
    const Dimension due = *dimension_named(name);
    if (const auto value = parse_quantity(text, due)) return name + " " + exact(*value);
    if (const auto range = parse_quantity_range(text, due))
      return name + " " + exact(range->low) + ".." + exact(range->high);
  }
  return text;
}

Said said_list(const YamlNode& node) {
  Said out;
  out.is_list = node.kind == YamlNode::Kind::sequence;
  std::vector<Words> all;
  if (out.is_list)
    all = each_in_line(node.items);
  else
    all.push_back(in_line(node));
  for (Words& one : all) {
    out.meant.push_back(std::move(one.meant));
    out.shown.push_back(std::move(one.shown));
  }
  return out;
}

Said said_condition(const RuleBase& base, const YamlNode& node) {
  Words words = ConditionWords(base).all_of(node);
  return {{std::move(words.shown)}, {std::move(words.meant)}, false};
}

}  // namespace perrev
