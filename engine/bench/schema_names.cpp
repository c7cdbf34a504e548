#include <utility>
#include <vector>

#include "engine/bench/schema_parts.h"
#include "engine/knowledge/rule_base.h"

namespace perrev {

namespace {

Json named(const std::string& definition) { return {{"$ref", "#/definitions/" + definition}}; }

Json keys(const Json& properties) {
  return {{"type", "object"}, {"additionalProperties", false}, {"properties", properties}};
}

// Words with what they mean. A schema that nothing fits, where there are none.
class Words {
 public:
  void add(const std::string& word, const std::string& doc) {
    words_.push_back(word);
    docs_.push_back(doc);
  }
  template <class List, class Doc>
  Words& add_each(const List& list, const Doc& doc) {
    for (const auto& each : list) add(each.id, doc(each));
    return *this;
  }

  Json choice() const {
    if (words_.empty()) return {{"not", Json::object()}};
    return {{"enum", words_}, {"enumDescriptions", docs_}};
  }
  // The words as keys of a mapping, each with what fits `value`.
  Json keys_of(const Json& value) const {
    Json properties = Json::object();
    for (std::size_t i = 0; i < words_.size(); ++i)
      properties[words_[i]] = described(docs_[i], value);
    return keys(properties);
  }

 private:
  std::vector<std::string> words_, docs_;
};

std::string asked(const Fact& fact) {
  if (fact.kind != FactKind::number) return fact.ask;
  const auto range = [&](Units units) {
    return show(fact.low, fact.unit, units) + " to " + show(fact.high, fact.unit, units);
  };
  const std::string us = range(Units::us), metric = range(Units::metric);
  return fact.ask + " (" + (us == metric ? us : us + ", " + metric) + ")";
}

// A number with its unit, where it has one, or a range of them.
Json quantity(Dimension unit) {
  const bool bare = unit == Dimension::count || unit == Dimension::ratio;
  if (bare) return {{"type", Json::array({"string", "number"})}, {"pattern", "[0-9]"}};
  return {{"type", "string"}, {"pattern", "[0-9].*[^0-9. ]"}};
}

Json choice_of(const std::vector<Answer>& answers) {
  Words words;
  for (const Answer& answer : answers) words.add(answer.id, answer.label);
  return words.choice();
}

// A single answer of the fact, or a single range of it.
Json answer_of(const Fact& fact) {
  if (fact.answers.empty()) return quantity(fact.unit);
  if (fact.kind == FactKind::yesno) return named("yes_no");
  if (fact.kind == FactKind::number) return named("good_bad");
  return named("answers_of_" + fact.id);
}

// What a customer's words give: the numbers in them, too.
Json meaning_of(const Fact& fact) {
  if (fact.kind == FactKind::several) return one_or_list(answer_of(fact));
  if (fact.kind != FactKind::number) return answer_of(fact);
  const Json said = {{"enum", Json::array({"speed", "first speed", "second speed", "rpm"})}};
  const bool moves = fact.unit == Dimension::speed || fact.unit == Dimension::frequency;
  if (!moves) return quantity(fact.unit);
  return {{"anyOf", Json::array({said, quantity(fact.unit)})}};
}

// Facts as keys of a mapping.
Json fact_keys(const RuleBase& base, bool (*fits)(const Fact&), Json (*value)(const Fact&)) {
  Json properties = Json::object();
  for (const Fact& fact : base.facts)
    if (fits(fact)) properties[fact.id] = described(asked(fact), value(fact));
  return keys(properties);
}

Json at_least_one(Json mapping) {
  mapping["minProperties"] = 1;
  return mapping;
}

bool can_be_tested(const Fact& fact) { return fact.kind != FactKind::text; }
bool can_be_said(const Fact& fact) {
  return fact.kind != FactKind::text && fact.per == Per::vehicle_case;
}
bool can_be_needed(const Fact& fact) { return can_be_said(fact) && fact.kind != FactKind::number; }
Json test_of(const Fact& fact) { return one_or_list(answer_of(fact)); }
Json need_of(const Fact& fact) {
  return fact.kind == FactKind::several ? answer_of(fact) : test_of(fact);
}

Json condition(const RuleBase& base) {
  Json out = fact_keys(base, can_be_tested, test_of);
  const Json inner = named("condition");
  const Json several = {{"type", "array"}, {"items", inner}, {"minItems", 1}};
  out["properties"]["not"] = described("The condition does not hold.", inner);
  out["properties"]["any"] = described("At least one of them holds.", several);
  out["properties"]["all"] = described("Each of them holds.", several);
  return at_least_one(std::move(out));
}

// Shapes that are the same in every rule base.
Json plain_definitions() {
  const Json text = {{"type", Json::array({"string", "number"})}, {"pattern", "\\S"}};
  const Json id = {{"type", "string"}, {"pattern", "^[a-z][a-z0-9_]{0,63}$"}};
  const Json rate = {{"type", "number"}, {"exclusiveMinimum", 0}, {"exclusiveMaximum", 1}};
  const Json order = {{"type", "number"}, {"minimum", 0.1}, {"maximum", 100}};
  const Json firing = {{"enum", Json::array({"firing", "half_firing"})}};
  const Json range = {{"type", "string"}, {"pattern", "^[0-9.]+\\.\\.[0-9.]+$"}};
  const Json finding = {{"type", Json::array({"string", "number"})}};
  return {{"id", id},
          {"text", text},
          {"yes_no", {{"enum", Json::array({"yes", "no"})}}},
          {"good_bad",
           {{"enum", Json::array({"good", "bad"})},
            {"enumDescriptions", Json::array({"within its limit", "out of its limit"})}}},
          {"order", {{"anyOf", Json::array({order, firing, range})}}},
          {"answers",
           {{"type", "object"},
            {"minProperties", 1},
            {"maxProperties", 40},
            {"propertyNames", named("id")},
            {"additionalProperties", named("text")}}},
          {"base_rates",
           {{"anyOf", Json::array({rate, {{"type", "object"}, {"additionalProperties", rate}}})}}},
          {"edge_condition", {{"anyOf", Json::array({{{"const", "passed"}}, named("condition")})}}},
          {"verdict", {{"anyOf", Json::array({named("condition"), one_or_list(finding)})}}}};
}

void add_answers(const RuleBase& base, Json& out) {
  for (const Fact& fact : base.facts)
    if (fact.kind == FactKind::one || fact.kind == FactKind::several)
      out["answers_of_" + fact.id] = choice_of(fact.answers);
}

Words number_words(const std::vector<NumberWord>& words, const std::string& of) {
  Words out;
  for (const NumberWord& each : words) out.add(each.word, show_number(each.number) + of);
  return out;
}

// What physics.yaml may name: kinds of vehicle, places where a vibration is felt, causes with a
// part that turns.
void add_physics_keys(const RuleBase& base, Json& out) {
  Words bodies, places, faults;
  if (const int kinds = base.fact_index("vehicle_kind"); kinds >= 0)
    bodies.add_each(base.facts[static_cast<std::size_t>(kinds)].answers,
                    [](const Answer& answer) { return answer.label; });
  if (const int felt = base.fact_index("felt_at"); felt >= 0)
    for (const Answer& answer : base.facts[static_cast<std::size_t>(felt)].answers)
      for (int place = 0; place < kFeltPlaces; ++place)
        if (name_of(static_cast<FeltPlace>(place)) == answer.id)
          places.add(answer.id, answer.label);
  for (const Cause& cause : base.causes)
    if (!cause.shakes.empty()) faults.add(cause.id, cause.name);
  out["vehicle_kind_keys"] = bodies.keys_of(Json::object());
  out["felt_place_keys"] = places.keys_of(Json::object());
  out["turning_cause_keys"] = faults.keys_of(Json::object());
}

}  // namespace

Json name_definitions(const RuleBase& base) {
  const auto what = [](const auto& each) { return each.what; };
  const auto name = [](const auto& each) { return each.name; };
  const std::string vertex_start = "Where every path begins.";
  Words facts, numbers, causes, named_by_rules, starts, ends;
  facts.add_each(base.facts, asked);
  for (const Fact& fact : base.facts)
    if (fact.kind == FactKind::number) numbers.add(fact.id, asked(fact));
  causes.add_each(base.causes, name);
  named_by_rules.add_each(base.causes, name);
  named_by_rules.add_each(base.families,
                          [](const Family& f) { return "Every cause of the family: " + f.name; });
  named_by_rules.add("nothing_left", "After a repair nothing is wrong any more.");
  starts.add("start", vertex_start);
  starts.add_each(base.checks, what).add_each(base.gates, what);
  ends.add_each(base.checks, what).add_each(base.gates, what).add_each(base.ends, what);

  Json out = plain_definitions();
  out["fact"] = facts.choice();
  out["number_keys"] = numbers.keys_of(Json::object());
  out["cause"] = causes.choice();
  out["family"] = Words().add_each(base.families, name).choice();
  out["repair"] = Words().add_each(base.repairs, what).choice();
  out["check"] = Words().add_each(base.checks, what).choice();
  out["setup"] = Words().add_each(base.setups, what).choice();
  out["equipment"] = Words().add_each(base.equipment, what).choice();
  out["edge_start"] = starts.choice();
  out["edge_end"] = ends.choice();
  const Json ratio = {{"type", "number"}, {"exclusiveMinimum", 1}, {"maximum", 10000}};
  out["strength"]["anyOf"] =
      Json::array({number_words(base.strengths, " times the odds").choice(), ratio});
  const Json rate = {{"type", "number"}, {"exclusiveMinimum", 0}, {"maximum", 1000}};
  out["usual"]["anyOf"] =
      Json::array({rate, number_words(base.usual_words, " in a thousand complaints").choice()});
  out["effects"] = at_least_one(named_by_rules.keys_of(named("strength")));
  out["verdicts"] = causes.keys_of(named("verdict"));
  out["condition"] = condition(base);
  out["needs"] = fact_keys(base, can_be_needed, need_of);
  out["meanings"] = at_least_one(fact_keys(base, can_be_said, meaning_of));
  add_answers(base, out);
  add_physics_keys(base, out);
  return out;
}

}  // namespace perrev
