// The keys of every rule file: the one declarative truth of the formats in `rules/`.
#pragma once

#include "engine/knowledge/record.h"

namespace perrev {

const FieldTable& fact_fields();
const FieldTable& stop_fields();
const FieldTable& limit_fields();
const FieldTable& limit_class_fields();
const FieldTable& family_fields();
const FieldTable& strengths_fields();
const FieldTable& shares_fields();
const FieldTable& cause_fields();
const FieldTable& shake_fields();
const FieldTable& repair_fields();
const FieldTable& rule_fields();
const FieldTable& check_fields();
const FieldTable& shop_fields();
const FieldTable& parts_fields();
const FieldTable& setup_fields();
const FieldTable& equipment_fields();
const FieldTable& path_fields();
const FieldTable& gate_fields();
const FieldTable& end_fields();
const FieldTable& edge_fields();
const FieldTable& chart_fields();
const FieldTable& phrase_fields();

// physics.yaml
const FieldTable& physics_fields();
const FieldTable& body_fields();
const FieldTable& road_fields();
const FieldTable& people_fields();
const FieldTable& sense_fields();
const FieldTable& felt_path_fields();
const FieldTable& fault_fields();

}  // namespace perrev
