// The rule base for one who shows it: what can be asked, done and found, in words.
#include "engine/knowledge/computed.h"
#include "src/answers/asked.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {

const char* word_of(Moves moves) {
  switch (moves) {
    case Moves::no:
      return "no";
    case Moves::yes:
      return "yes";
    case Moves::wheels_spin:
      return "wheels_spin";
  }
  return "";
}

const char* word_of(Per per) {
  switch (per) {
    case Per::vehicle_case:
      return "case";
    case Per::wheel:
      return "wheel";
    case Per::axle:
      return "axle";
    case Per::shaft:
      return "shaft";
  }
  return "";
}

Json json_of(const Fact& fact, Units units) {
  Json answers = Json::array(), asked_at = Json::array();
  for (const Answer& answer : fact.answers)
    answers.push_back({{"id", answer.id}, {"label", answer.label}});
  for (const Asker asker : fact.asked_at) asked_at.push_back(name_of(asker));
  const bool number = fact.kind == FactKind::number;
  return {{"id", fact.id},
          {"ask", fact.ask},
          {"how", fact.how},
          {"kind", name_of(fact.kind)},
          {"answers", answers},
          {"unit", number ? Json(fact.asked_unit(units)) : Json(nullptr)},
          {"dimension", number ? Json(name_of(fact.unit)) : Json(nullptr)},
          {"per", word_of(fact.per)},
          {"places", places_of(fact.per)},
          {"asked_at", asked_at},
          {"lasts", fact.lasts_with_vehicle ? "vehicle" : "round"},
          {"stop", fact.stop.has_value()},
          {"limit", fact.limit >= 0}};
}

Json json_of(const RuleBase& base, const Cause& cause) {
  return {
      {"id", cause.id},
      {"name", cause.name},
      {"family", base.families[static_cast<std::size_t>(cause.family)].id},
      {"repair", base.repairs[static_cast<std::size_t>(cause.repair)].id},
      {"proof", cause.proof},
      {"caution", cause.caution},
      {"felt_computed", fault_of(base, static_cast<int>(&cause - base.causes.data())) != nullptr}};
}

Json json_of(const RuleBase& base, const Check& check) {
  Json learns = Json::array(), equipment = Json::array();
  for (const int fact : check.learns)
    learns.push_back(base.facts[static_cast<std::size_t>(fact)].id);
  for (const int one : check.equipment)
    equipment.push_back(base.equipment[static_cast<std::size_t>(one)].what);
  return {
      {"id", check.id},
      {"what", check.what},
      {"how", check.how},
      {"caution", check.caution},
      {"by", name_of(check.by)},
      {"minutes", check.minutes},
      {"learns", learns},
      {"equipment", equipment},
      {"setup", check.setup < 0 ? Json(nullptr)
                                : Json(base.setups[static_cast<std::size_t>(check.setup)].what)},
      {"moves", word_of(check.moves)}};
}

Json json_of(const RuleBase& base, const Repair& repair) {
  Json cures = Json::array();
  for (const int cause : repair.cures)
    cures.push_back(base.causes[static_cast<std::size_t>(cause)].id);
  return {{"id", repair.id},       {"what", repair.what},       {"minutes", repair.minutes},
          {"proof", repair.proof}, {"caution", repair.caution}, {"cures", cures}};
}

}  // namespace

Answered catalogue_answer(const Asked& asked) {
  const RuleBase& base = asked.base;
  Json out = {{"rules_digest", base.digest}};
  for (const char* part : {"facts", "causes", "checks", "repairs", "families"})
    out[part] = Json::array();
  for (const Fact& fact : base.facts) out["facts"].push_back(json_of(fact, asked.units()));
  for (const Cause& cause : base.causes) out["causes"].push_back(json_of(base, cause));
  for (const Check& check : base.checks) out["checks"].push_back(json_of(base, check));
  for (const Repair& repair : base.repairs) out["repairs"].push_back(json_of(base, repair));
  for (const Family& family : base.families)
    out["families"].push_back({{"id", family.id}, {"name", family.name}});
  return out;
}

}  // namespace perrev
