#include "engine/bench/schema.h"

#include "engine/bench/schema_parts.h"
#include "engine/json_text.h"
#include "engine/knowledge/fields.h"
#include "engine/knowledge/rule_files.h"

namespace perrev {

Json described(std::string_view words, Json schema) {
  Json out = {{"description", words}};
  if (schema.contains("$ref")) return out["allOf"] = Json::array({std::move(schema)}), out;
  out.update(schema);
  return out;
}

Json one_or_list(const Json& item) {
  const Json list = {{"type", "array"}, {"items", item}, {"minItems", 1}, {"uniqueItems", true}};
  return {{"anyOf", Json::array({item, list})}};
}

Json schema_head(const std::string& title) {
  return {{"$schema", "http://json-schema.org/draft-07/schema#"},
          {"$comment",
           "Made by 'perrev rules schema'. Draft-07 is what every YAML language server knows."},
          {"title", title}};
}

namespace {

Json named(std::string_view definition) {
  return {{"$ref", kNamesFile + std::string("#/definitions/") + std::string(definition)}};
}

Json record(const FieldTable& table);

// Without what it is called and how many there are.
Json single(const Shape& shape) { return shape.fields ? record(shape.fields()) : named(shape.of); }

Json shaped(const Shape& shape) {
  Json item = single(shape);
  if (shape.many == Shape::Many::list) return {{"type", "array"}, {"items", item}};
  if (shape.many == Shape::Many::one) return item;
  Json out = {{"type", "object"}, {"additionalProperties", item}};
  if (shape.keys.empty())
    out["propertyNames"] = named("id");
  else
    out["allOf"] = Json::array({named(shape.keys)});
  return out;
}

Json choice(const Field& field) {
  Json out = {{"enum", Json::array()}, {"enumDescriptions", Json::array()}};
  for (const FieldChoice& each : field.choices) {
    out["enum"].push_back(each.word);
    out["enumDescriptions"].push_back(each.doc);
  }
  return out;
}

Json typed(const Field& field) {
  const Shape& shape = field.shape;
  const std::string_view names = shape.of.empty() ? "id" : shape.of;
  switch (field.type) {
    case FieldType::text:
      return named(shape.of.empty() ? "text" : shape.of);
    case FieldType::words:
      return one_or_list(named("text"));
    case FieldType::id:
      return named(names);
    case FieldType::ids:
      return one_or_list(named(names));
    case FieldType::number:
      return {{"type", "number"}, {"minimum", field.low}, {"maximum", field.high}};
    case FieldType::yes_no:
      return {{"enum", Json::array({"yes", "no"})}};
    case FieldType::choice:
      return choice(field);
    case FieldType::choices:
      return one_or_list(choice(field));
    case FieldType::rates:
      return {{"type", "object"},
              {"propertyNames", named("id")},
              {"additionalProperties",
               {{"type", "number"}, {"exclusiveMinimum", field.low}, {"maximum", field.high}}}};
    case FieldType::node:
      return shaped(shape);
  }
  return {};
}

Json needed(std::initializer_list<const char*> keys) {
  Json out = Json::object();
  out["required"] = std::vector<std::string>(keys.begin(), keys.end());
  return out;
}

// Where `kind` is one of these, the keys must stand there; elsewhere those of `only` must not.
Json for_kinds(std::initializer_list<const char*> kinds, const Json& then, bool only) {
  Json any = Json::object();
  any["properties"]["kind"]["enum"] = std::vector<std::string>(kinds.begin(), kinds.end());
  any["required"] = Json::array({"kind"});
  Json out = {{"if", any}, {"then", then}};
  if (only) out["else"]["not"] = then;
  return out;
}

// What the loader asks of a mapping as a whole, by code of its own (load_facts.cpp, load_rules.cpp,
// load_chart.cpp, load_phrases.cpp).
void add_as_a_whole(const FieldTable& table, Json& out) {
  if (&table == &fact_fields())
    out["allOf"] =
        Json::array({for_kinds({"one", "several"}, needed({"answers"}), true),
                     for_kinds({"one", "several", "yesno", "number"}, needed({"base"}), true),
                     for_kinds({"number"}, needed({"unit", "range"}), false)});
  if (&table == &rule_fields()) out["anyOf"] = Json::array({needed({"for"}), needed({"against"})});
  if (&table == &chart_fields())
    out["oneOf"] = Json::array({needed({"check"}), needed({"repair"})});
  if (&table == &phrase_fields()) {
    Json list = Json::array();
    for (const char* key : {"same", "small", "negates", "turns"}) list.push_back(needed({key}));
    out["if"]["anyOf"] = list;
    out["then"]["maxProperties"] = 1;
    out["else"]["anyOf"] = Json::array({needed({"says", "means"}), needed({"says", "not"})});
  }
}

Json record(const FieldTable& table) {
  Json properties = Json::object(), required = Json::array();
  for (const Field& field : table) {
    const std::string key(field.key);
    properties[key] = described(field.doc, typed(field));
    if (field.required) required.push_back(key);
  }
  Json out = {{"type", "object"}, {"additionalProperties", false}, {"properties", properties}};
  if (!required.empty()) out["required"] = required;
  add_as_a_whole(table, out);
  return out;
}

}  // namespace

std::vector<SchemaFile> schemas_of(const RuleBase& base) {
  std::vector<SchemaFile> out;
  const auto add = [&](const std::string& name, Json head, const Json& rest) {
    head.update(rest);
    out.push_back({name, indented_json(head) + "\n"});
  };
  for (const RuleFile& file : rule_files())
    add(std::string(file.stem()) + ".schema.json",
        schema_head(std::string(file.holds) + " of a rule base: " + std::string(file.name)),
        shaped(file.shape));
  add(kNamesFile, schema_head("names of a rule base"), {{"definitions", name_definitions(base)}});
  return out;
}

}  // namespace perrev
