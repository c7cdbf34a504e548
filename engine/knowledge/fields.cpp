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
constexpr bool kMust = true;
constexpr bool kMay = false;

}  // namespace

const FieldTable& fact_fields() {
  static const FieldTable table = {
      {"ask", kText, kMust, "the question in plain words"},
      {"how", kText, kMay, "help for the person who must answer"},
      {"kind",
       kChoice,
       kMust,
       "one, several, yesno, number or text",
       {"one", "several", "yesno", "number", "text"}},
      {"answers", kNode, kMay, "answer: words shown, for kind one and several"},
      {"unit",
       kChoice,
       kMay,
       "the dimension of a number",
       {"count", "ratio", "speed", "length", "frequency", "mass", "force", "pressure", "time",
        "angle", "temperature_difference", "moment"}},
      {"range", kText, kMay, "the values a number may have, as 0..200 km/h"},
      {"base", kNode, kMay, "how often a complaint whose cause is not listed answers so"},
      {"asked_at", kChoices, kMust, "write_up, road, bay", {"write_up", "road", "bay"}},
      {"together",
       kChoice,
       kMay,
       "how two causes at once answer: any or either",
       {"any", "either"}},
      {"per", kChoice, kMay, "case, wheel, axle or shaft", {"case", "wheel", "axle", "shaft"}},
      {"lasts", kChoice, kMay, "round or vehicle", {"round", "vehicle"}},
      {"asked_if", kNode, kMay, "a condition: not asked where it is known to be false"},
      {"after_repair", kYesNo, kMay, "yes: asked only once a repair was done"},
      {"clear", kIds, kMay, "the answers that let a gate pass"},
      {"stop", kNode, kMay, "answers that stop every drive, with reason, caution and cleared_by"},
  };
  return table;
}

const FieldTable& stop_fields() {
  static const FieldTable table = {
      {"answers", kIds, kMust, "the answers that stop"},
      {"reason", kText, kMust, "why the vehicle must not move"},
      {"caution", kText, kMust, "what to do instead, in plain words"},
      {"cleared_by", kId, kMust, "the bay fact whose clear answer lifts the stop"},
  };
  return table;
}

const FieldTable& limit_fields() {
  static const FieldTable table = {
      {"better", kChoice, kMust, "which side is good: lower or higher", {"lower", "higher"}},
      {"class_by", kId, kMay, "a fact of kind one whose answer picks the class"},
      {"classes", kNode, kMust, "class: {good:, bad:, origin:}"},
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
      {"strengths", kNode, kMust, "word: odds ratio above 1"},
      {"usual_words", kNode, kMay, "word: causes per thousand complaints"},
      {"shares", kNode, kMust, "not_listed: and pairs:, parts of all complaints"},
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
      {"family", kId, kMust, "a family of families.yaml"},
      {"usual", kText, kMust, "per thousand complaints, or a word of strengths.yaml"},
      {"shakes", kNode, kMay, "a list of {source:, order:}"},
      {"needs", kNode, kMay, "fact: answers without which the cause cannot exist"},
      {"not_with", kIds, kMay, "causes it is never paired with"},
      {"repair", kId, kMust, "a repair of repairs.yaml"},
      {"proof", kText, kMust, "how one knows that it is cured"},
      {"caution", kText, kMay, "what can hurt somebody"},
      {"shown_by", kChoice, kMust, "bay, road or repair", {"bay", "road", "repair"}},
  };
  return table;
}

const FieldTable& shake_fields() {
  static const FieldTable table = {
      {"source",
       kChoice,
       kMust,
       "a rotating part",
       {"tire", "driveshaft", "front_driveshaft", "engine", "motor_rotor", "accessory"}},
      {"order", kText, kMust, "a number, firing, half_firing, or a range as 6..20"},
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
       {"none", "small", "medium", "large"}},
      {"cures", kIds, kMust, "the causes it cures"},
      {"proof", kText, kMust, "how one knows that it worked"},
      {"caution", kText, kMay, "what can hurt somebody"},
  };
  return table;
}

const FieldTable& rule_fields() {
  static const FieldTable table = {
      {"rule", kId, kMust, "the rule's id"},
      {"when", kNode, kMust, "a condition on facts"},
      {"for", kNode, kMay, "cause or family: strength"},
      {"against", kNode, kMay, "cause or family: strength"},
      {"because", kText, kMust, "the reason in a plain sentence"},
      {"origin", kText, kMust, "a citation, common practice, or from memory"},
  };
  return table;
}

const FieldTable& check_fields() {
  static const FieldTable table = {
      {"what", kText, kMust, "what is done, in plain words"},
      {"by", kChoice, kMust, "write_up, road or bay", {"write_up", "road", "bay"}},
      {"learns", kIds, kMust, "the facts it gives"},
      {"minutes", kNumber, kMust, "minutes for one person", {}, 0.01, 10000.0},
      {"setup", kId, kMay, "a set-up of shop.yaml"},
      {"equipment", kIds, kMay, "equipment of shop.yaml"},
      {"moves", kChoice, kMay, "no, yes or wheels_spin", {"no", "yes", "wheels_spin"}},
      {"confirms", kNode, kMay, "cause: the condition that is its verdict"},
      {"asked_if", kNode, kMay, "a condition: not offered where it is known to be false"},
      {"how", kText, kMay, "help for the person who does it"},
      {"caution", kText, kMay, "what can hurt somebody"},
  };
  return table;
}

const FieldTable& shop_fields() {
  static const FieldTable table = {
      {"setups", kNode, kMust, "set-up: {minutes:, what:}"},
      {"equipment", kNode, kMust, "equipment: {what:, have:}"},
      {"parts_minutes", kNode, kMay, "what parts cost: {none:, small:, medium:, large:}"},
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
      {"after", kId, kMay, "the set-up it is built on, whose minutes come before its own"},
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
      {"gates", kNode, kMust, "gate: {guards:, asks:, what:}"},
      {"ends", kNode, kMust, "end: {what:}"},
      {"edges", kNode, kMust, "a list of {from:, to:, when:}"},
  };
  return table;
}

const FieldTable& gate_fields() {
  static const FieldTable table = {
      {"guards", kChoices, kMust, "moves, wheels_spin or both", {"moves", "wheels_spin"}},
      {"asks", kIds, kMust, "facts that must be clear"},
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
      {"from", kIds, kMust, "checks, gates or start"},
      {"to", kIds, kMust, "checks, gates or ends"},
      {"when", kNode, kMay, "a condition, or passed for a gate"},
  };
  return table;
}

const FieldTable& chart_fields() {
  static const FieldTable table = {
      {"check", kIds, kMay, "checks, in the order in which they are done"},
      {"repair", kId, kMay, "a repair of repairs.yaml"},
      {"when", kNode, kMay, "a condition: passed over unless it is known to be true"},
  };
  return table;
}

const FieldTable& phrase_fields() {
  static const FieldTable table = {
      {"says", kWords, kMay, "what customers say, one or several ways"},
      {"means", kNode, kMay, "fact: answer"},
      {"not", kNode, kMay, "fact: answer, when it is said with a no"},
      {"unless", kWords, kMay, "words in the same sentence that silence it"},
      {"same", kWords, kMay, "words that mean the same"},
      {"small", kWords, kMay, "words that are passed over"},
      {"negates", kWords, kMay, "words that say no"},
      {"turns", kWords, kMay, "words at which a no ends"},
  };
  return table;
}

}  // namespace perrev
