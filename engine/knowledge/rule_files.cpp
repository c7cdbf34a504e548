#include "engine/knowledge/rule_files.h"

#include "engine/knowledge/fields.h"

namespace perrev {

const std::vector<RuleFile>& rule_files() {
  using Many = Shape::Many;
  static const std::vector<RuleFile> files = {
      {"strengths.yaml",
       "settings",
       "strengths: {...}, shares: {...}, likely_from: 0.5",
       {{}, strengths_fields}},
      {"families.yaml", "families", "family_id: {name: ...}", {{}, family_fields, Many::by_id}},
      {"facts.yaml", "facts", "fact_id: {ask: ..., kind: ...}", {{}, fact_fields, Many::by_id}},
      {"limits.yaml",
       "limits",
       "fact_id: {better: lower, classes: {...}}",
       {{}, limit_fields, Many::by_id, "number_keys"}},
      {"repairs.yaml",
       "repairs",
       "repair_id: {what: ..., cures: [...]}",
       {{}, repair_fields, Many::by_id}},
      {"shop.yaml", "settings", "setups: {...}, equipment: {...}", {{}, shop_fields}},
      {"checks.yaml",
       "checks",
       "check_id: {what: ..., learns: [...]}",
       {{}, check_fields, Many::by_id}},
      {"path.yaml", "settings", "gates: {...}, ends: {...}, edges: [...]", {{}, path_fields}},
      {kCauses, "causes", "cause_id: {name: ..., family: ...}", {{}, cause_fields, Many::by_id}},
      {kEvidence, "rules", "- rule: rule_id", {{}, rule_fields, Many::list}},
      {"flow_chart.yaml",
       "steps",
       "- check: [check_id, ...]",
       {{}, chart_fields, Many::list},
       true},
      {"phrases.yaml",
       "phrases",
       "- says: [words, ...], means: {fact: answer}",
       {{}, phrase_fields, Many::list},
       true},
      {"physics.yaml",
       "settings",
       "bodies: {...}, road: {...}, people: {...}, paths: [...], faults: {...}",
       {{}, physics_fields},
       true},
  };
  return files;
}

const RuleFile* rule_file(std::string_view name) {
  for (const RuleFile& file : rule_files())
    if (file.is_folder() ? name.substr(0, file.name.size()) == file.name : name == file.name)
      return &file;
  return nullptr;
}

}  // namespace perrev
