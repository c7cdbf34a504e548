#include "engine/bench/rule_things.h"

#include <algorithm>
#include <cstdio>

#include "engine/bench/said_value.h"
#include "engine/knowledge/fields.h"
#include "engine/knowledge/rule_files.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

using Many = Shape::Many;

// "fact" of "facts".
std::string single(std::string_view many) {
  std::string out(many);
  if (out.size() > 3 && out.substr(out.size() - 3) == "ies")
    return out.substr(0, out.size() - 3) + "y";
  if (out.back() == 's') out.pop_back();
  return spaced(out);
}

std::string below(const std::string& name, const std::string& key) {
  return name.empty() ? key : name + " " + key;
}

class ThingReader {
 public:
  explicit ThingReader(const RuleBase& base) : base_(base) {}

  void file(const RuleFile& kind, const YamlNode& root) {
    const FieldTable& table = kind.shape.fields();
    const std::string each = single(kind.holds);
    if (kind.shape.many == Many::by_id)
      by_id(each, root, table);
    else if (kind.is_list())
      list(each, root, table);
    else
      settings(root, table);
  }

  // Edges from one place to another are one thing, whose ways are listed.
  std::vector<RuleThing> take() {
    for (auto& edge : edges_) out_.push_back(std::move(edge.second));
    return std::move(out_);
  }

 private:
  void by_id(const std::string& kind, const YamlNode& node, const FieldTable& table) {
    for (const YamlMember& member : node.members) {
      RuleThing& made = thing(kind, member.key);
      record(member.value, table, made);
    }
  }

  void settings(const YamlNode& root, const FieldTable& table) {
    for (const Field& field : table) {
      const YamlNode* node = root.find(field.key);
      if (!node) continue;
      const std::string each = single(field.key);
      if (field.shape.fields && field.shape.many == Many::by_id) {
        by_id(each, *node, field.shape.fields());
      } else if (field.shape.fields && field.shape.many == Many::list) {
        list(each, *node, field.shape.fields());
      } else if (field.type == FieldType::rates) {
        for (const YamlMember& member : node->members)
          put(thing(each, member.key), 0, "", said_list(member.value));
      } else {
        RuleThing& made = thing("setting", std::string(field.key));
        value(field, *node, 0, "", made);
      }
    }
  }

  void list(const std::string& kind, const YamlNode& node, const FieldTable& table) {
    const bool chart = &table == &chart_fields();
    std::string before;
    for (const YamlNode& item : node.items) {
      if (&table == &edge_fields()) {
        edge(kind, item);
        continue;
      }
      RuleThing& made = thing(kind, "");
      record(item, table, made);
      if (made.id.empty() && !made.values.empty()) {
        made.has_id = false;
        made.id = &table == &felt_path_fields()
                      ? item.find("from")->scalar + " to " + item.find("to")->scalar
                      : joined(made.values.begin()->second.shown);
      }
      if (chart && !before.empty()) put(made, table.size(), "after", {{before}, {before}, false});
      before = made.id;
    }
  }

  void edge(const std::string& kind, const YamlNode& node) {
    const YamlNode* when = node.find("when");
    const Said said = when && when->kind == YamlNode::Kind::mapping ? said_condition(base_, *when)
                      : when ? Said{{when->scalar}, {when->scalar}, false}
                             : Said{{"always"}, {"always"}, false};
    for (const std::string& from : said_list(*node.find("from")).shown)
      for (const std::string& to : said_list(*node.find("to")).shown) {
        RuleThing& made = edges_[from + " to " + to];
        made.kind = kind;
        made.id = from + " to " + to;
        RuleValue& ways = made.values[{0, "when"}];
        ways.name = "when";
        const auto at = std::lower_bound(ways.meant.begin(), ways.meant.end(), said.meant[0]);
        if (at != ways.meant.end() && *at == said.meant[0]) continue;
        ways.shown.insert(ways.shown.begin() + (at - ways.meant.begin()), said.shown[0]);
        ways.meant.insert(at, said.meant[0]);
        ways.is_list = ways.meant.size() > 1;
      }
  }

  RuleThing& thing(const std::string& kind, const std::string& id) {
    out_.push_back({kind, id, true, {}, {}});
    return out_.back();
  }

  void record(const YamlNode& node, const FieldTable& table, RuleThing& made,
              const std::string& name = {}) {
    for (std::size_t i = 0; i < table.size(); ++i) {
      const Field& field = table[i];
      const YamlNode* is = node.find(field.key);
      if (!is) continue;
      const bool top = name.empty();
      if (top && made.id.empty() && field.type == FieldType::id && field.required) {
        made.id = is->scalar;
        continue;
      }
      if (top && made.title.empty() && field.type == FieldType::text && field.required &&
          field.shape.of.empty())
        made.title = with_plain_blanks(is->scalar);
      value(field, *is, top ? i : nested_, below(name, std::string(field.key)), made);
    }
  }

  void value(const Field& field, const YamlNode& node, std::size_t order, const std::string& name,
             RuleThing& made) {
    const Shape& shape = field.shape;
    if (shape.fields && shape.many != Many::list) {
      nested_ = order;
      if (shape.many == Many::one) return record(node, shape.fields(), made, name);
      for (const YamlMember& member : node.members)
        record(member.value, shape.fields(), made, below(name, member.key));
    } else if (shape.of == "condition") {
      put(made, order, name, said_condition(base_, node));
    } else {
      plain(node, order, name, made);
    }
  }

  void plain(const YamlNode& node, std::size_t order, const std::string& name, RuleThing& made) {
    if (node.kind != YamlNode::Kind::mapping) return put(made, order, name, said_list(node));
    for (const YamlMember& member : node.members) {
      const bool finding = member.value.kind == YamlNode::Kind::mapping;
      put(made, order, below(name, member.key),
          finding ? said_condition(base_, member.value) : said_list(member.value),
          below(name, meant_by(member.key)));
    }
  }

  static void put(RuleThing& made, std::size_t order, const std::string& name, Said said,
                  const std::string& key = {}) {
    made.values[{order, key.empty() ? name : key}] = {name, said.is_list, std::move(said.shown),
                                                      std::move(said.meant)};
  }

  const RuleBase& base_;
  std::size_t nested_ = 0;
  std::vector<RuleThing> out_;
  std::map<std::string, RuleThing> edges_;
};

}  // namespace

std::vector<RuleThing> things_of(const RuleBase& base, const std::vector<ParsedFile>& files) {
  ThingReader reader(base);
  for (const ParsedFile& file : files)
    if (const RuleFile* kind = rule_file(file.source.name); kind && file.tree.ok())
      reader.file(*kind, *file.tree);
  return reader.take();
}

}  // namespace perrev
