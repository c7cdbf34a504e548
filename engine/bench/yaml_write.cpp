#include "engine/bench/yaml_write.h"

#include <algorithm>
#include <utility>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

bool is_any_of(const std::string& word, std::initializer_list<const char*> words) {
  return std::any_of(words.begin(), words.end(), [&](const char* each) { return word == each; });
}

// What YAML 1.1 or 1.2 may take for a number, a date or a time: digits and what stands in them.
bool looks_like_number(const std::string& text) {
  if (text.empty() || text.find("..") != std::string::npos) return false;
  const std::string low = lower_case(text);
  if (is_any_of(low, {".nan", ".inf", "+.inf", "-.inf"})) return true;
  return std::any_of(low.begin(), low.end(), is_digit) &&
         low.find_first_not_of("0123456789abcdefox._+-: tz") == std::string::npos;
}

bool means_something_else(const std::string& text, Spelling spelling) {
  const std::string low = lower_case(text);
  if (is_any_of(low, {"null", "~", "true", "false"})) return true;
  return spelling == Spelling::prose &&
         (is_any_of(low, {"yes", "no", "on", "off", "y", "n"}) || looks_like_number(text));
}

bool is_letter_or_digit(char c) {
  return is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

// Fewer texts than YAML would take: what begins with a letter or a digit and holds no sign of it.
bool may_be_plain(const std::string& text, bool in_brackets) {
  if (text.empty() || !is_letter_or_digit(text.front()) || text.back() == ' ' || text.back() == ':')
    return false;
  if (text.find('\t') != std::string::npos || text.find(": ") != std::string::npos ||
      text.find(" #") != std::string::npos)
    return false;
  return !in_brackets || (text.find_first_of(",[]{}?:\"'") == std::string::npos &&
                          text.find("..") == std::string::npos);
}

std::string in_quotes(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    if (c == '\t')
      out += "\\t";
    else
      out += c;
  }
  return out + "\"";
}

}  // namespace

std::string yaml_scalar(const std::string& text, Spelling spelling, bool in_brackets) {
  return may_be_plain(text, in_brackets) && !means_something_else(text, spelling) ? text
                                                                                  : in_quotes(text);
}

std::string yaml_value(const YamlNode& value, Spelling spelling) {
  const auto inside = [&](const YamlNode& node) {
    return node.kind == YamlNode::Kind::scalar ? yaml_scalar(node.scalar, spelling, true)
                                               : yaml_value(node, spelling);
  };
  std::string out;
  switch (value.kind) {
    case YamlNode::Kind::null:
      return "null";
    case YamlNode::Kind::scalar:
      return yaml_scalar(value.scalar, spelling);
    case YamlNode::Kind::sequence:
      for (const YamlNode& item : value.items) out += (out.empty() ? "" : ", ") + inside(item);
      return "[" + out + "]";
    case YamlNode::Kind::mapping:
      for (const YamlMember& member : value.members)
        out +=
            (out.empty() ? "" : ", ") +
            yaml_scalar(member.key,
                        looks_like_number(member.key) ? Spelling::prose : Spelling::format, true) +
            ": " + inside(member.value);
      return "{" + out + "}";
  }
  return out;
}

YamlNode scalar_node(std::string text) {
  YamlNode out;
  out.kind = YamlNode::Kind::scalar;
  out.scalar = std::move(text);
  return out;
}

YamlNode list_node(const std::vector<std::string>& items) {
  YamlNode out;
  out.kind = YamlNode::Kind::sequence;
  for (const std::string& item : items) out.items.push_back(scalar_node(item));
  return out;
}

void put(YamlNode& mapping, std::string key, YamlNode value) {
  mapping.kind = YamlNode::Kind::mapping;
  mapping.members.push_back({std::move(key), 0, 0, std::move(value)});
}

bool same_value(const YamlNode& a, const YamlNode& b) {
  return a.kind == b.kind && a.scalar == b.scalar && a.items.size() == b.items.size() &&
         a.members.size() == b.members.size() &&
         std::equal(a.items.begin(), a.items.end(), b.items.begin(), same_value) &&
         std::equal(a.members.begin(), a.members.end(), b.members.begin(),
                    [](const YamlMember& x, const YamlMember& y) {
                      return x.key == y.key && same_value(x.value, y.value);
                    });
}

}  // namespace perrev
