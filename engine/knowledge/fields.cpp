#include "engine/knowledge/fields.h"

namespace perrev {

namespace {

constexpr auto kText = FieldType::text;
constexpr auto kId = FieldType::id;
constexpr auto kIds = FieldType::ids;
constexpr auto kNumber = FieldType::number;
constexpr auto kYesNo = FieldType::yes_no;
constexpr auto kChoice = FieldType::choice;
constexpr auto kChoices = FieldType::choices;
constexpr auto kNode = FieldType::node;
constexpr auto kWords = FieldType::words;
constexpr auto kRates = FieldType::rates;
constexpr bool kMust = true;
constexpr bool kMay = false;

using Many = Shape::Many;

// Ids and text with a meaning, and what is read by own code: `shape` says which.
Field shaped(std::string_view key, FieldType type, bool required, std::string_view doc,
             const Shape& shape) {
  return {key, type, required, doc, {}, 0.0, 1e9, shape};
}
Shape of(std::string_view name) { return {name}; }
Shape one(const FieldTable& (*fields)()) { return {{}, fields}; }
Shape list(const FieldTable& (*fields)()) { return {{}, fields, Many::list}; }
Shape by_id(const FieldTable& (*fields)()) { return {{}, fields, Many::by_id}; }

}  // namespace

const FieldTable& fact_fields() {
  static const FieldTable table = {
      {"ask", kText, kMust, "the question in plain words"},
      {"how", kText, kMay, "help for the person who must answer"},
      {"kind",
       kChoice,
       kMust,
       "one, several, yesno, number or text",
       {{"one", "a single one of its answers"},
        {"several", "any of its answers, each a yes/no of its own"},
        {"yesno", "yes or no"},
        {"number", "a value with its unit"},
        {"text", "free words; never evidence"}}},
      shaped("answers", kNode, kMay, "answer: words shown, for kind one and several",
             of("answers")),
      {"unit",
       kChoice,
       kMay,
       "the dimension of a number",
       {{"count", "a bare number"},
        {"ratio", "a bare number or %"},
        {"speed", "mph, km/h"},
        {"length", "in, mm"},
        {"frequency", "Hz, rpm"},
        {"mass", "oz, g"},
        {"force", "lb, N"},
        {"pressure", "psi, kPa"},
        {"time", "s, min"},
        {"angle", "deg"},
        {"temperature_difference", "degC, degF"},
        {"moment", "imbalance: a mass times a radius"},
        {"torque", "N m, lb ft"}}},
      {"range", kText, kMay, "the values a number may have, as 0..200 km/h"},
      shaped("base", kNode, kMay, "how often a complaint whose cause is not listed answers so",
             of("base_rates")),
      {"asked_at",
       kChoices,
       kMust,
       "write_up, road, bay",
       {{"write_up", "at the counter"}, {"road", "on the road test"}, {"bay", "in the bay"}}},
      {"together",
       kChoice,
       kMay,
       "how two causes at once answer: any or either",
       {{"any", "a yes/no that either fault alone would show"}, {"either", "the mean of both"}}},
      {"per",
       kChoice,
       kMay,
       "case, wheel, axle or shaft",
       {{"case", "one value for the vehicle"},
        {"wheel", "one value a wheel"},
        {"axle", "one value an axle"},
        {"shaft", "one value a shaft"}}},
      {"lasts",
       kChoice,
       kMay,
       "round or vehicle",
       {{"round", "a repair may change it"}, {"vehicle", "a repair does not change it"}}},
      shaped("asked_if", kNode, kMay, "a condition: not asked where it is known to be false",
             of("condition")),
      {"after_repair", kYesNo, kMay, "yes: asked only once a repair was done"},
      {"clear", kIds, kMay, "the answers that let a gate pass"},
      shaped("stop", kNode, kMay,
             "answers that stop every drive, with reason, caution and cleared_by",
             one(stop_fields)),
  };
  return table;
}

const FieldTable& stop_fields() {
  static const FieldTable table = {
      {"answers", kIds, kMust, "the answers that stop"},
      {"reason", kText, kMust, "why the vehicle must not move"},
      {"caution", kText, kMust, "what to do instead, in plain words"},
      shaped("cleared_by", kId, kMust, "the bay fact whose clear answer lifts the stop",
             of("fact")),
  };
  return table;
}

const FieldTable& limit_fields() {
  static const FieldTable table = {
      {"better",
       kChoice,
       kMust,
       "which side is good: lower or higher",
       {{"lower", "a small reading is good"}, {"higher", "a large reading is good"}}},
      shaped("class_by", kId, kMay, "a fact of kind one whose answer picks the class", of("fact")),
      shaped("classes", kNode, kMust, "class: {good:, bad:, origin:}", by_id(limit_class_fields)),
  };
  return table;
}

const FieldTable& limit_class_fields() {
  static const FieldTable table = {
      {"good", kText, kMust, "the good edge with its unit"},
      {"bad", kText, kMust, "the bad edge with its unit"},
      {"origin", kText, kMust, "where the limit comes from"},
  };
  return table;
}

const FieldTable& family_fields() {
  static const FieldTable table = {
      {"name", kText, kMust, "the family in plain words"},
      {"needs_caution", kYesNo, kMay, "yes: each of its causes, or its repair, has a caution"},
  };
  return table;
}

const FieldTable& strengths_fields() {
  static const FieldTable table = {
      {"strengths", kRates, kMust, "word: odds ratio above 1", {}, 1.0, 10000.0},
      {"usual_words", kRates, kMay, "word: causes per thousand complaints", {}, 0.0, 1000.0},
      shaped("shares", kNode, kMust, "not_listed: and pairs:, parts of all complaints",
             one(shares_fields)),
      {"likely_from",
       kNumber,
       kMust,
       "from this probability on a cause is called likely",
       {},
       0.01,
       1.0},
  };
  return table;
}

const FieldTable& shares_fields() {
  static const FieldTable table = {
      {"not_listed", kNumber, kMust, "share of complaints with no listed cause", {}, 0.001, 0.5},
      {"pairs", kNumber, kMust, "share of complaints with two causes", {}, 0.0, 0.5},
  };
  return table;
}

const FieldTable& cause_fields() {
  static const FieldTable table = {
      {"name", kText, kMust, "the cause in plain words"},
      shaped("family", kId, kMust, "a family of families.yaml", of("family")),
      shaped("usual", kText, kMust, "per thousand complaints, or a word of strengths.yaml",
             of("usual")),
      shaped("shakes", kNode, kMay, "a list of {source:, order:}", list(shake_fields)),
      shaped("needs", kNode, kMay, "fact: answers without which the cause cannot exist",
             of("needs")),
      shaped("not_with", kIds, kMay, "causes it is never paired with", of("cause")),
      shaped("repair", kId, kMust, "a repair of repairs.yaml", of("repair")),
      {"proof", kText, kMust, "how one knows that it is cured"},
      {"caution", kText, kMay, "what can hurt somebody"},
      {"shown_by",
       kChoice,
       kMust,
       "bay, road or repair",
       {{"bay", "a bay check shows it directly"},
        {"road", "its manoeuvre shows it"},
        {"repair", "only its repair and the proof show it"}}},
  };
  return table;
}

const FieldTable& shake_fields() {
  static const FieldTable table = {
      {"source",
       kChoice,
       kMust,
       "a rotating part",
       {{"tire", "turns with the wheels"},
        {"driveshaft", "turns with the shaft to the driven axle"},
        {"front_driveshaft", "turns with the shaft to the front axle"},
        {"engine", "turns with the crankshaft"},
        {"motor_rotor", "turns with the rotor of the electric motor"},
        {"accessory", "turns with what a belt drives"}}},
      shaped("order", kText, kMust, "a number, firing, half_firing, or a range as 6..20",
             of("order")),
      {"share",
       kNumber,
       kMay,
       "its part of the probability; the others share the rest",
       {},
       0.001,
       1.0},
  };
  return table;
}

const FieldTable& repair_fields() {
  static const FieldTable table = {
      {"what", kText, kMust, "what is done, in plain words"},
      {"minutes", kNumber, kMust, "minutes for one person", {}, 0.0, 10000.0},
      {"parts",
       kChoice,
       kMust,
       "none, small, medium or large",
       {{"none", "no part is bought"},
        {"small", "weights, bolts and the like"},
        {"medium", "a part of a wheel, a brake or a joint"},
        {"large", "a shaft, a gearbox and the like"}}},
      shaped("cures", kIds, kMust, "the causes it cures", of("cause")),
      {"proof", kText, kMust, "how one knows that it worked"},
      {"caution", kText, kMay, "what can hurt somebody"},
  };
  return table;
}

const FieldTable& rule_fields() {
  static const FieldTable table = {
      {"rule", kId, kMust, "the rule's id"},
      shaped("when", kNode, kMust, "a condition on facts", of("condition")),
      shaped("for", kNode, kMay, "cause or family: strength, a word or how many times",
             of("effects")),
      shaped("against", kNode, kMay, "cause or family: strength, a word or how many times",
             of("effects")),
      {"because", kText, kMust, "the reason in a plain sentence"},
      {"origin", kText, kMust, "a citation, common practice, or from memory"},
  };
  return table;
}

const FieldTable& check_fields() {
  static const FieldTable table = {
      {"what", kText, kMust, "what is done, in plain words"},
      {"by",
       kChoice,
       kMust,
       "write_up, road or bay",
       {{"write_up", "at the counter"}, {"road", "on the road test"}, {"bay", "in the bay"}}},
      shaped("learns", kIds, kMust, "the facts it gives", of("fact")),
      {"minutes", kNumber, kMust, "minutes for one person", {}, 0.01, 10000.0},
      shaped("setup", kId, kMay, "a set-up of shop.yaml", of("setup")),
      shaped("equipment", kIds, kMay, "equipment of shop.yaml", of("equipment")),
      {"moves",
       kChoice,
       kMay,
       "no, yes or wheels_spin",
       {{"no", "the vehicle stands and no wheel turns fast"},
        {"yes", "the vehicle is driven"},
        {"wheels_spin", "wheels are run while it is raised"}}},
      shaped("confirms", kNode, kMay, "cause: the condition that is its verdict", of("verdicts")),
      shaped("asked_if", kNode, kMay, "a condition: not offered where it is known to be false",
             of("condition")),
      {"how", kText, kMay, "help for the person who does it"},
      {"caution", kText, kMay, "what can hurt somebody"},
  };
  return table;
}

const FieldTable& shop_fields() {
  static const FieldTable table = {
      shaped("setups", kNode, kMust, "set-up: {minutes:, what:}", by_id(setup_fields)),
      shaped("equipment", kNode, kMust, "equipment: {what:, have:}", by_id(equipment_fields)),
      shaped("parts_minutes", kNode, kMay, "what parts cost: {none:, small:, medium:, large:}",
             one(parts_fields)),
      {"handing_on_minutes",
       kNumber,
       kMay,
       "what it costs to hand the vehicle on to a specialist, in minutes",
       {},
       1.0,
       10000.0},
  };
  return table;
}

const FieldTable& parts_fields() {
  static const FieldTable table = {
      {"none", kNumber, kMay, "minutes of work that no part is worth", {}, 0.0, 10000.0},
      {"small", kNumber, kMust, "minutes of work that small parts are worth", {}, 0.0, 10000.0},
      {"medium", kNumber, kMust, "minutes of work that medium parts are worth", {}, 0.0, 10000.0},
      {"large", kNumber, kMust, "minutes of work that large parts are worth", {}, 0.0, 10000.0},
  };
  return table;
}

const FieldTable& setup_fields() {
  static const FieldTable table = {
      {"minutes", kNumber, kMust, "minutes to set up", {}, 0.0, 1000.0},
      {"what", kText, kMust, "what stands ready then"},
      shaped("after", kId, kMay, "the set-up it is built on, whose minutes come before its own",
             of("setup")),
      {"beside", kYesNo, kMay, "yes: it stays in place while others come and go"},
  };
  return table;
}

const FieldTable& equipment_fields() {
  static const FieldTable table = {
      {"what", kText, kMust, "the thing in plain words"},
      {"have", kYesNo, kMust, "yes or no"},
  };
  return table;
}

const FieldTable& path_fields() {
  static const FieldTable table = {
      shaped("gates", kNode, kMust, "gate: {guards:, asks:, what:}", by_id(gate_fields)),
      shaped("ends", kNode, kMust, "end: {what:}", by_id(end_fields)),
      shaped("edges", kNode, kMust, "a list of {from:, to:, when:}", list(edge_fields)),
  };
  return table;
}

const FieldTable& gate_fields() {
  static const FieldTable table = {
      {"guards",
       kChoices,
       kMust,
       "moves, wheels_spin or both",
       {{"moves", "checks that drive the vehicle"},
        {"wheels_spin", "checks that run its wheels while it is raised"}}},
      shaped("asks", kIds, kMust, "facts that must be clear", of("fact")),
      {"what", kText, kMust, "what the gate is for"},
  };
  return table;
}

const FieldTable& end_fields() {
  static const FieldTable table = {{"what", kText, kMust, "what it means to end here"}};
  return table;
}

const FieldTable& edge_fields() {
  static const FieldTable table = {
      shaped("from", kIds, kMust, "checks, gates or start", of("edge_start")),
      shaped("to", kIds, kMust, "checks, gates or ends", of("edge_end")),
      shaped("when", kNode, kMay, "a condition, or passed for a gate", of("edge_condition")),
  };
  return table;
}

const FieldTable& chart_fields() {
  static const FieldTable table = {
      shaped("check", kIds, kMay, "checks, in the order in which they are done", of("check")),
      shaped("repair", kId, kMay, "a repair of repairs.yaml", of("repair")),
      shaped("when", kNode, kMay, "a condition: passed over unless it is known to be true",
             of("condition")),
  };
  return table;
}

const FieldTable& phrase_fields() {
  static const FieldTable table = {
      {"says", kWords, kMay, "what customers say, one or several ways"},
      shaped("means", kNode, kMay, "fact: answer", of("meanings")),
      shaped("not", kNode, kMay, "fact: answer, when it is said with a no", of("meanings")),
      {"unless", kWords, kMay, "words in the same sentence that silence it"},
      {"same", kWords, kMay, "words that mean the same"},
      {"small", kWords, kMay, "words that are passed over"},
      {"negates", kWords, kMay, "words that say no"},
      {"turns", kWords, kMay, "words at which a no ends"},
  };
  return table;
}

}  // namespace perrev
