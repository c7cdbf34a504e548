// The schemas against what they are made from: the tables that loading goes by, and a rule base.
// That a validator agrees with the loader is seen by tests/page/schema.test.mjs.
#include "engine/bench/schema.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "engine/knowledge/rule_files.h"
#include "tests/engine/knowledge/small_base.h"

using namespace perrev;
using perrev::small::SmallBase;
using Json = nlohmann::json;

namespace {

std::map<std::string, Json> read_schemas(const RuleBase& base) {
  std::map<std::string, Json> out;
  for (const SchemaFile& file : schemas_of(base)) out[file.name] = Json::parse(file.text);
  return out;
}

void each_node(const Json& json, const std::function<void(const Json&)>& visit) {
  visit(json);
  if (json.is_structured())
    for (const auto& item : json.items()) each_node(item.value(), visit);
}

// What a schema says is the record of a table: below lists, mappings by id, or the whole.
const Json& record_of(const Json& schema, Shape::Many many) {
  return many == Shape::Many::list    ? schema["items"]
         : many == Shape::Many::by_id ? schema["additionalProperties"]
                                      : schema;
}

// Every field of the table, and of the tables in it, with its words and whether it must be there.
void follows(const Json& record, const FieldTable& table) {
  CHECK(record["additionalProperties"] == false);
  CHECK(record["properties"].size() == table.size());
  std::set<std::string> required;
  for (const Field& field : table) {
    const std::string key(field.key);
    CAPTURE(key);
    REQUIRE(record["properties"].contains(key));
    const Json& property = record["properties"][key];
    CHECK(property["description"] == field.doc);
    CHECK(property.size() > 1);
    if (field.required) required.insert(key);
    if (field.shape.fields) follows(record_of(property, field.shape.many), field.shape.fields());
  }
  std::set<std::string> said;
  if (record.contains("required"))
    for (const Json& key : record["required"]) said.insert(key.get<std::string>());
  CHECK(said == required);
}

std::set<std::string> keys_of(const Json& json) {
  std::set<std::string> keys;
  for (const auto& item : json.items()) keys.insert(item.key());
  return keys;
}

}  // namespace

TEST_CASE("each kind of rule file has a schema that follows its table") {
  const auto schemas = read_schemas(SmallBase().loaded());
  CHECK(schemas.size() == rule_files().size() + 1);
  for (const RuleFile& file : rule_files()) {
    const std::string name = std::string(file.stem()) + ".schema.json";
    CAPTURE(name);
    REQUIRE(schemas.count(name) == 1);
    const Json& schema = schemas.at(name);
    CHECK(schema["$schema"] == "http://json-schema.org/draft-07/schema#");
    follows(record_of(schema, file.shape.many), file.shape.fields());
  }
}

TEST_CASE("what schemas refer to is there, and what is there is referred to") {
  const auto schemas = read_schemas(SmallBase().loaded());
  const std::string here = "#/definitions/", names = "names.schema.json";
  std::set<std::string> used;
  for (const auto& [name, schema] : schemas)
    each_node(schema, [&, inside = name == names](const Json& json) {
      if (!json.is_object() || !json.contains("$ref")) return;
      const std::string to = json["$ref"];
      const std::string from = (inside ? "" : names) + here;
      CHECK(to.substr(0, from.size()) == from);
      used.insert(to.substr(from.size()));
    });
  const std::set<std::string> defined = keys_of(schemas.at(names)["definitions"]);
  for (const std::string& each : used) CHECK_MESSAGE(defined.count(each) == 1, each);
  for (const std::string& each : defined) CHECK_MESSAGE(used.count(each) == 1, each);
}

TEST_CASE("the names are those of the rule base") {
  const RuleBase base = SmallBase().loaded();
  const auto schemas = read_schemas(base);
  const Json& names = schemas.at("names.schema.json")["definitions"];
  std::set<std::string> tested = {"not", "any", "all"};
  for (const Fact& fact : base.facts)
    if (fact.kind != FactKind::text) tested.insert(fact.id);
  CHECK(keys_of(names["condition"]["properties"]) == tested);
  std::set<std::string> spoken_of = {"nothing_left"};
  for (const Cause& cause : base.causes) spoken_of.insert(cause.id);
  for (const Family& family : base.families) spoken_of.insert(family.id);
  CHECK(keys_of(names["effects"]["properties"]) == spoken_of);
  CHECK(names["strength"]["anyOf"][0]["enum"] == Json::array({"hint", "some", "strong"}));
  CHECK(names["answers_of_felt_at"]["enum"] == Json::array({"steering_wheel", "seat"}));
  CHECK(names["answers_of_felt_at"]["enumDescriptions"] ==
        Json::array({"In the steering wheel", "In the seat"}));
  CHECK(names["setup"]["enum"] == Json::array({"car_raised"}));
  CHECK(names["edge_start"]["enum"] ==
        Json::array({"start", "ask_customer", "look_at_nuts", "drive", "gauge_on_rim",
                     "shake_shaft", "safe_to_move"}));
  const Json& needed = names["needs"]["properties"];
  for (const char* no : {"worst_speed", "shaft_play", "words"}) CHECK(!needed.contains(no));
  CHECK(needed.contains("felt_at"));
}

TEST_CASE("only the names change with the rule base") {
  const auto before = read_schemas(SmallBase().loaded());
  SmallBase changed;
  changed.change("facts.yaml", "Does it hum?", "Does it whine?");
  for (const auto& [name, schema] : read_schemas(changed.loaded()))
    CHECK((schema == before.at(name)) == (name != "names.schema.json"));
}
