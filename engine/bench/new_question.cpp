#include "engine/bench/new_question.h"

#include <string>

namespace perrev {

namespace {

constexpr bool kNeeded = true, kOneALine = true;
constexpr std::string_view kConditionHelp =
    "A fact and its answer, as felt_at: seat. Commas between answers mean any of them; several "
    "lines must hold together. Speeds have a unit: worst_speed: 55..75 mph.";

const std::vector<NewQuestion>& of_fact() {
  static const std::vector<NewQuestion> questions = {
      {"ask",
       "How is it asked?",
       "One plain question, as you would say it to a customer.",
       {},
       kNeeded},
      {"kind", "How is it answered?", {}, "yesno"},
      {"answers",
       "Which answers are there?",
       "A short name, a colon, and the words shown, as torn: It is torn.",
       {},
       kNeeded,
       kOneALine},
      {"unit", "What is measured?", {}, {}, kNeeded},
      {"range", "Between which values can it lie?", "As 0..200 km/h.", {}, kNeeded},
      {"base",
       "How often does a vehicle with some other fault answer so?",
       "Of a hundred vehicles with another fault 4 answer yes: 0.04. With several answers a line "
       "each, as torn: 0.04; where only one of them can be given they sum to 1. Of a number how "
       "many lie below, as 40 km/h: 0.05.",
       {},
       kNeeded,
       kOneALine},
      {"asked_at", "Where can it be asked or seen?", {}, {}, kNeeded},
      {"per", "Is it read once for the vehicle, or at each wheel, axle or shaft?", {}, "case"},
      {"lasts", "Can a repair change it?", {}, "round"},
      {"together", "How do two faults at once answer it?", {}, "either"},
      {"asked_if",
       "Is it asked only where something else is known?",
       kConditionHelp,
       {},
       false,
       kOneALine},
      {"how", "What helps the person who must answer?"},
  };
  return questions;
}

const std::vector<NewQuestion>& of_cause() {
  static const std::vector<NewQuestion> questions = {
      {"name", "What is wrong, in plain words?", {}, {}, kNeeded},
      {"family", "Which part of the vehicle is it in?", {}, {}, kNeeded},
      {"usual",
       "Of a thousand complaints, how many have it as the main cause?",
       "A number, or a word: frequent 40, common 20, now_and_then 8, rare 3, very_rare 1, "
       "hardly_ever 0.2, unless strengths.yaml says otherwise.",
       {},
       kNeeded},
      {"shakes",
       "Which turning part does it shake with, and how many times a turn?",
       "As tire: 1 or engine: 2. Leave it out where it follows nothing that turns.",
       {},
       false,
       kOneALine},
      {"needs",
       "What must a vehicle have for it to exist?",
       "A fact and its answers, as powertrain: engine, hybrid.",
       {},
       false,
       kOneALine},
      {"repair", "Which repair cures it? A new name makes a new one.", {}, {}, kNeeded},
      {"proof", "How does one know that it is cured?", {}, {}, kNeeded},
      {"caution", "What can hurt somebody?"},
      {"shown_by", "What shows it for certain?", {}, "bay"},
  };
  return questions;
}

const std::vector<NewQuestion>& of_repair() {
  static const std::vector<NewQuestion> questions = {
      {"what", "The new repair: what is done?", {}, {}, kNeeded},
      {"minutes", "How many minutes does it take one person?", {}, {}, kNeeded},
      {"parts", "How large are the parts that it needs?", {}, {}, kNeeded},
      {"proof", "How does one know that the repair worked?", {}, {}, kNeeded},
      {"caution", "What can hurt somebody during the repair?"},
  };
  return questions;
}

const std::vector<NewQuestion>& of_rule() {
  static const std::vector<NewQuestion> questions = {
      {"when", "When does it speak?", kConditionHelp, {}, kNeeded, kOneALine},
      {"for",
       "Which causes does it speak for, and how strongly?",
       "A cause or a family and a strength, as loose_shields: strong.",
       {},
       false,
       kOneALine},
      {"against",
       "Which causes does it speak against, and how strongly?",
       "A rule for one answer already speaks against the other answers: do not say it twice.",
       {},
       false,
       kOneALine},
      {"because",
       "Why? One plain sentence.",
       "It is what the customer and the technician read.",
       {},
       kNeeded},
      {"origin",
       "Where does that come from?",
       "common practice, from memory, or what was published where.",
       {},
       kNeeded},
  };
  return questions;
}

const std::vector<NewQuestion>& of_check() {
  static const std::vector<NewQuestion> questions = {
      {"what", "What is done?", {}, {}, kNeeded},
      {"by", "Where is it done?", {}, {}, kNeeded},
      {"learns", "Which facts does it give?", "One or more, with commas.", {}, kNeeded},
      {"minutes", "How many minutes does it take one person, without the set-up?", {}, {}, kNeeded},
      {"setup", "Which set-up does it need?"},
      {"equipment", "Which equipment does it need?"},
      {"moves", "Does the vehicle move, or do its wheels spin?", {}, "no"},
      {"confirms",
       "Which cause does it show for certain, and by which answer?",
       "As my_cause: exhaust_hanger: torn.",
       {},
       false,
       kOneALine},
      {"asked_if",
       "Is it offered only where something else is known?",
       kConditionHelp,
       {},
       false,
       kOneALine},
      {"how", "What helps the person who does it?"},
      {"caution", "What can hurt somebody?"},
  };
  return questions;
}

const std::vector<NewQuestion>& of_edge() {
  static const std::vector<NewQuestion> questions = {
      {"from", "After which checks is it offered?",
       "Names of checks, gates, or start for at once. What moves the vehicle or spins a wheel "
       "comes after the gate that guards it.",
       "start"},
      {"when", "Is it offered only on some condition?", kConditionHelp, {}, false, kOneALine},
  };
  return questions;
}

std::string said(const YamlNode& fields, std::string_view key) {
  const YamlNode* node = fields.find(key);
  return node ? node->scalar : std::string();
}

}  // namespace

const std::vector<NewQuestion>& questions_of(NewKind kind) {
  switch (kind) {
    case NewKind::fact:
      return of_fact();
    case NewKind::cause:
      return of_cause();
    case NewKind::repair:
    case NewKind::curing:
      return of_repair();
    case NewKind::rule:
      return of_rule();
    case NewKind::check:
      return of_check();
    case NewKind::edge:
      break;
  }
  return of_edge();
}

bool is_due(NewKind kind, const NewQuestion& question, const YamlNode& fields) {
  if (kind != NewKind::fact) return true;
  const std::string fact_kind = said(fields, "kind");
  const std::string_view key = question.key;
  if (key == "answers") return fact_kind == "one" || fact_kind == "several";
  if (key == "unit" || key == "range") return fact_kind == "number";
  if (key == "base") return fact_kind != "text";
  if (key == "together") return fact_kind == "yesno" || fact_kind == "several";
  return true;
}

}  // namespace perrev
