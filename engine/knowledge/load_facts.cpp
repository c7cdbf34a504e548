#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/knowledge/fields.h"
#include "engine/knowledge/loader.h"
#include "engine/knowledge/source_text.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

constexpr double kSumTolerance = 1e-6;
constexpr double kLeastRise = 1e-6;  // of a cumulative base: a band's share never rounds to 0
constexpr AnswerSet kTold = AnswerSet{1} << 63;  // in place of a `clear` that was refused
constexpr std::size_t kMostAnswers = 40;         // one answer is one bit of an AnswerSet

std::string named(std::string_view kind, const std::string& id) {
  return std::string(kind) + " '" + short_text(id) + "'";
}

bool is_reserved(const std::string& id) { return id == "not" || id == "any" || id == "all"; }

}  // namespace

void Loader::limited_facts(const FileReader&, const YamlNode& root) {
  for (const YamlMember& member : root.members) limited_.insert(member.key);
}

void Loader::facts(const FileReader& reader, const YamlNode& root) {
  for (const YamlMember& member : root.members) fact(reader, member);
}

void Loader::fact(const FileReader& reader, const YamlMember& member) {
  const int index = static_cast<int>(base.facts.size());
  if (is_reserved(member.key))
    reader.fault(member.line, member.column, "'" + member.key + "' is a word of conditions",
                 "another id");
  if (!fresh(reader, member, "fact", base.fact_by_id, index)) return;
  const Record record(reader, member.value, fact_fields(), named("fact", member.key), member.line,
                      member.column);
  Fact made;
  made.id = member.key;
  made.place = reader.place(member.line, member.column);
  made.ask = record.text("ask");
  made.how = record.text("how");
  const std::string kind = record.text("kind");
  made.kind = kind == "one"       ? FactKind::one
              : kind == "several" ? FactKind::several
              : kind == "number"  ? FactKind::number
              : kind == "text"    ? FactKind::text
                                  : FactKind::yesno;
  for (const Word& word : record.words("asked_at"))
    made.asked_at.push_back(word.text == "bay"    ? Asker::bay
                            : word.text == "road" ? Asker::road
                                                  : Asker::write_up);
  const std::string per = record.text("per");
  made.per = per == "wheel"   ? Per::wheel
             : per == "axle"  ? Per::axle
             : per == "shaft" ? Per::shaft
                              : Per::vehicle_case;
  made.lasts_with_vehicle = record.text("lasts") == "vehicle";
  made.after_repair = record.yes("after_repair");
  made.together_any = record.text("together") == "any";
  const std::size_t before = problems.size();
  if (!record.has("kind")) {
    doubtful_.insert(index);
    made.kind = FactKind::text;
  } else if (fact_answers(reader, record, made)) {
    if (made.together_any && (made.kind == FactKind::one || made.answers.empty()))
      reader.fault(record.word("together"), "'any' needs a yes/no",
                   "kind yesno or several, or a number with a limit");
    fact_base(reader, record, problems.size() == before, made);
    fact_clear(reader, record, made);
  } else {
    doubtful_.insert(index);
  }
  base.facts.push_back(std::move(made));
}

void Loader::fact_clear(const FileReader& reader, const Record& record, Fact& made) {
  if (!record.given("clear")) return;
  if (record.has("clear") && made.kind != FactKind::one && made.kind != FactKind::yesno)
    reader.fault(*record.node("clear"), named("fact", made.id) + " can have no 'clear'",
                 "only facts of kind one or yesno");
  else if (record.has("clear"))
    made.clear = answer_set(reader, record.words("clear"), made);
  if (made.clear == 0) made.clear = kTold;
}

bool Loader::fact_answers(const FileReader& reader, const Record& record, Fact& made) {
  const YamlNode* answers = record.node("answers");
  const bool listed = made.kind == FactKind::one || made.kind == FactKind::several;
  if (made.kind == FactKind::yesno) made.answers = {{"no", "no"}, {"yes", "yes"}};
  // A single rate says that the number has a limit, even if limits.yaml does not name it.
  const YamlNode* rate = record.node("base");
  const bool single = rate && rate->kind == YamlNode::Kind::scalar;
  if (made.kind == FactKind::number && (single || limited_.count(made.id) > 0))
    made.answers = {{"good", "within its limit"}, {"bad", "out of its limit"}};
  if (!listed) {
    if (answers)
      reader.fault(*answers,
                   "a fact of kind " + std::string(name_of(made.kind)) + " has no 'answers'",
                   "leave it out");
    return made.kind != FactKind::number || fact_number(reader, record, made);
  }
  if (!answers || answers->kind != YamlNode::Kind::mapping || answers->members.empty()) {
    reader.fault(made.place.line, made.place.column, named("fact", made.id) + " needs 'answers'",
                 "answers: {answer_id: Words shown, ...}");
    return false;
  }
  if (answers->members.size() > kMostAnswers) {
    reader.fault(*answers, named("fact", made.id) + " has more than 40 answers", "fewer answers");
    return false;
  }
  for (const YamlMember& answer : answers->members) {
    if (!is_id(answer.key) || answer.key == "unsure" || answer.key == "unknown")
      reader.fault(answer.line, answer.column,
                   "'" + short_text(answer.key) + "' will not do as an answer",
                   "a-z, 0-9 and _, beginning with a letter; unsure is always there by itself");
    if (answer.value.kind != YamlNode::Kind::scalar || answer.value.scalar.empty())
      reader.fault(answer.line, answer.column, named("answer", answer.key) + " has no words",
                   "answer_id: Words shown");
    made.answers.push_back({answer.key, answer.value.scalar});
  }
  return true;
}

bool Loader::fact_number(const FileReader& reader, const Record& record, Fact& made) {
  const auto unit = dimension_named(record.text("unit"));
  if (!unit || !record.has("range")) {
    if (!record.given("unit") || !record.given("range"))
      reader.fault(made.place.line, made.place.column,
                   named("fact", made.id) + " needs 'unit' and 'range'",
                   "unit: speed, range: 0..200 km/h");
    return false;
  }
  made.unit = *unit;
  const auto range = parse_quantity_range(record.text("range"), made.unit);
  if (!range) {
    reader.fault(record.word("range"), range.error().what, range.error().right);
    return false;
  }
  made.low = (*range).low;
  made.high = (*range).high;
  const std::string written = record.text("range");
  const std::string own(trimmed(written.substr(written.find_last_of("0123456789.") + 1)));
  const std::string_view usual = usual_unit(made.unit, Units::us);
  if (usual == usual_unit(made.unit, Units::metric) && own != usual) made.own_unit = own;
  if (std::isfinite(made.low) && std::isfinite(made.high)) return true;
  reader.fault(record.word("range"), "a range needs both ends", "0..200 km/h");
  return false;
}

namespace {

bool base_rate(const FileReader& reader, const YamlNode& node, double& out) {
  if (node.kind != YamlNode::Kind::scalar) {
    reader.fault(node, "expected a single base rate here", "for example 0.05");
    return false;
  }
  const auto read = parse_decimal(node.scalar);
  if (!read || *read <= 0.0 || *read >= 1.0) {
    reader.fault(node, "a base rate lies between 0 and 1, both excluded", "for example 0.05");
    return false;
  }
  out = *read;
  return true;
}

}  // namespace

void Loader::fact_base(const FileReader& reader, const Record& record, bool answers_sound,
                       Fact& made) {
  const YamlNode* node = record.node("base");
  if (made.kind == FactKind::text) {
    if (node) reader.fault(*node, "text is never evidence and has no 'base'", "leave it out");
    return;
  }
  std::vector<double> rates(made.answers.size(), 0.5);
  if (!node) {
    if (!record.given("base"))
      reader.fault(made.place.line, made.place.column, named("fact", made.id) + " has no 'base'",
                   "how often a complaint whose cause is not listed answers so");
  } else if (made.kind == FactKind::number && made.answers.empty()) {
    number_base(reader, record, made);
  } else if (made.kind == FactKind::yesno || made.kind == FactKind::number) {
    base_rate(reader, *node, rates[1]);
    rates[0] = 1.0 - rates[1];
  } else if (node->kind != YamlNode::Kind::mapping) {
    reader.fault(*node, "'base' of " + named("fact", made.id) + " needs a rate for each answer",
                 "{answer_id: 0.3, ...}");
  } else {
    answer_rates(reader, *node, answers_sound, made, rates);
  }
  made.first_variable = static_cast<int>(base.variables.size());
  made.variable_count = made.kind == FactKind::several ? static_cast<int>(rates.size()) : 1;
  add_variables(made, rates);
}

void Loader::answer_rates(const FileReader& reader, const YamlNode& node, bool answers_sound,
                          const Fact& made, std::vector<double>& rates) {
  const std::string subject = "'base' of " + named("fact", made.id);
  std::vector<bool> given(rates.size(), false);
  bool good = answers_sound;
  for (const YamlMember& member : node.members) {
    const AnswerSet set = answer_set(reader, {Word{member.key, member.line, member.column}}, made);
    good = good && set != 0;
    for (std::size_t i = 0; i < rates.size(); ++i)
      if ((set >> i) & 1u) {
        good = base_rate(reader, member.value, rates[i]) && good;
        given[i] = true;
      }
  }
  double sum = 0.0;
  for (std::size_t i = 0; i < rates.size(); ++i) {
    if (good && !given[i]) {
      reader.fault(node, subject + " lacks '" + made.answers[i].id + "'", "a rate for each answer");
      good = false;
    }
    sum += rates[i];
  }
  if (made.kind != FactKind::one) return;
  if (good && std::abs(sum - 1.0) > kSumTolerance)
    reader.fault(node, subject + " sums to " + show_number(sum),
                 "rates of one answer out of many sum to 1");
  for (double& r : rates) r /= sum;
}

void Loader::number_base(const FileReader& reader, const Record& record, Fact& made) {
  const YamlNode& node = *record.node("base");
  if (node.kind != YamlNode::Kind::mapping) {
    reader.fault(node, "'base' of a number is cumulative", "{40 km/h: 0.05, 70 km/h: 0.15, ...}");
    return;
  }
  made.cumulative.emplace_back(made.low, 0.0);
  for (const YamlMember& member : node.members) {
    const auto at = parse_quantity(member.key, made.unit);
    const auto share = parse_decimal(member.value.scalar);
    if (!at) {
      reader.fault(member.line, member.column, at.error().what, at.error().right);
    } else if (!share) {
      reader.fault(member.value, "expected the share of answers below " + short_text(member.key),
                   "for example 0.15");
    } else if (*at <= made.cumulative.back().first || *at >= made.high ||
               *share < made.cumulative.back().second + kLeastRise || *share > 1.0 - kLeastRise) {
      reader.fault(member.line, member.column, "cumulative base rates must rise within the range",
                   "values and shares both growing, shares above 0 and below 1");
    } else {
      made.cumulative.emplace_back(*at, *share);
    }
  }
  made.cumulative.emplace_back(made.high, 1.0);
}

void Loader::add_variables(const Fact& made, const std::vector<double>& base_rates) {
  for (int i = 0; i < made.variable_count; ++i) {
    Variable variable;
    variable.fact = static_cast<int>(base.facts.size());
    variable.per = made.per;
    variable.lasts_with_vehicle = made.lasts_with_vehicle;
    variable.together_any = made.together_any;
    variable.base = base_rates;
    if (made.kind == FactKind::several) {
      const double ticked = base_rates[static_cast<std::size_t>(i)];
      variable.answer = i;
      variable.base = {1.0 - ticked, ticked};
    }
    base.variables.push_back(std::move(variable));
  }
}

void Loader::fact_conditions(const FileReader& reader, const YamlNode& root) {
  for (const YamlMember& member : root.members) {
    const int index = base.fact_index(member.key);
    if (index < 0 || member.value.kind != YamlNode::Kind::mapping) continue;
    Fact& made = base.facts[static_cast<std::size_t>(index)];
    const auto given = [&](const char* key) {  // an empty one was told about before
      const YamlNode* node = member.value.find(key);
      return node && node->kind != YamlNode::Kind::null ? node : nullptr;
    };
    if (const YamlNode* node = given("asked_if")) made.asked_if = condition(reader, *node);
    const YamlNode* stop = given("stop");
    if (stop && doubtful_.count(index) == 0) fact_stop(reader, *stop, made);
  }
}

void Loader::fact_stop(const FileReader& reader, const YamlNode& node, Fact& made) {
  const Record record(reader, node, stop_fields(), "stop of '" + made.id + "'", node.line,
                      node.column);
  if (made.kind != FactKind::one && made.kind != FactKind::yesno)
    return reader.fault(node, named("fact", made.id) + " cannot stop",
                        "only facts of kind one or yesno");
  StopRule stop;
  stop.answers = answer_set(reader, record.words("answers"), made);
  stop.reason = record.text("reason");
  stop.caution = record.text("caution");
  if (record.has("cleared_by")) {
    stop.cleared_by = known_fact(reader, record.word("cleared_by"));
    if (stop.cleared_by >= 0) {
      const Fact& clearing = base.facts[static_cast<std::size_t>(stop.cleared_by)];
      if (clearing.clear == 0 || clearing.per != Per::vehicle_case ||
          (!clearing.asked_at.empty() && !clearing.is_asked_at(Asker::bay)))
        reader.fault(record.word("cleared_by"), "'" + clearing.id + "' cannot lift a stop",
                     "a fact per case, asked in the bay, that has 'clear'");
    }
  }
  if ((stop.answers & made.clear) != 0)
    reader.fault(node, "an answer of '" + made.id + "' both stops and is clear",
                 "one or the other");
  made.stop = std::move(stop);
}

void Loader::limits(const FileReader& reader, const YamlNode& root) {
  const std::size_t before = problems.size();
  for (const YamlMember& member : root.members) {
    const Word word{member.key, member.line, member.column};
    const Record record(reader, member.value, limit_fields(), named("limit", member.key),
                        member.line, member.column);
    const int index = known_fact(reader, word);
    if (index < 0) continue;
    Fact& fact = base.facts[static_cast<std::size_t>(index)];
    if (fact.kind != FactKind::number) {
      reader.fault(word, "'" + member.key + "' is not a number and can have no limit",
                   "a fact of kind number");
      continue;
    }
    Limit made;
    made.fact = index;
    made.lower_is_better = record.text("better") == "lower";
    bool classes_known = !record.given("class_by");
    if (record.has("class_by")) {
      made.class_by = known_fact(reader, record.word("class_by"));
      if (made.class_by >= 0) {
        const Fact& by = base.facts[static_cast<std::size_t>(made.class_by)];
        classes_known = by.kind == FactKind::one && by.per == Per::vehicle_case;
        if (!classes_known)
          reader.fault(record.word("class_by"), "'" + by.id + "' cannot pick a class",
                       "a fact of kind one, per case");
      }
    }
    const YamlNode* classes = record.node("classes");
    if (classes &&
        reader.is_mapping(*classes, "classes", "all: {good: ..., bad: ..., origin: ...}"))
      limit_classes(reader, *classes, record.has("better"), classes_known, made);
    fact.limit = static_cast<int>(base.limits.size());
    base.limits.push_back(std::move(made));
  }
  const bool sound = problems.size() == before;  // else a limit may be missed for its wrong name
  for (std::size_t f = 0; f < base.facts.size(); ++f) {
    const Fact& fact = base.facts[f];
    if (fact.kind != FactKind::number || fact.answers.empty() || fact.limit >= 0) continue;
    doubtful_.insert(static_cast<int>(f));
    if (sound)
      problems.push_back(Problem{fact.place,
                                 named("fact", fact.id) + " has a single base rate but no limit",
                                 "a limit in limits.yaml, or cumulative base rates",
                                 {}});
  }
}

void Loader::limit_classes(const FileReader& reader, const YamlNode& node, bool side_known,
                           bool classes_known, Limit& made) {
  const Fact& fact = base.facts[static_cast<std::size_t>(made.fact)];
  std::vector<std::string> due = {"all"};
  if (classes_known && made.class_by >= 0) {
    due = {"other"};
    for (const Answer& answer : base.facts[static_cast<std::size_t>(made.class_by)].answers)
      due.push_back(answer.id);
  }
  for (const YamlMember& row : node.members) {
    const Word name{row.key, row.line, row.column};
    if (classes_known && std::find(due.begin(), due.end(), row.key) == due.end())
      reader.unknown(name, "class", due, "of " + named("limit", fact.id));
    const Record values(reader, row.value, limit_class_fields(), named("class", row.key), row.line,
                        row.column);
    const auto good = parse_quantity(values.text("good"), fact.unit);
    const auto bad = parse_quantity(values.text("bad"), fact.unit);
    if (!good && values.has("good"))
      reader.fault(values.word("good"), good.error().what, good.error().right);
    if (!bad && values.has("bad"))
      reader.fault(values.word("bad"), bad.error().what, bad.error().right);
    if (good && bad && side_known && (made.lower_is_better ? *good > *bad : *good < *bad))
      reader.fault(name, "the good edge of '" + fact.id + "' lies beyond the bad one",
                   made.lower_is_better ? "good at or below bad" : "good at or above bad");
    made.classes.push_back({row.key, good ? *good : 0.0, bad ? *bad : 0.0, values.text("origin")});
  }
  if (!classes_known || node.find("other") || node.find("all")) return;
  for (const std::string& name : due)
    if (name != "other" && node.find(name) == nullptr)
      return reader.fault(node, named("limit", fact.id) + " has no class '" + name + "'",
                          made.class_by < 0 ? "one class named all, as there is no class_by"
                                            : "a class for each answer, or other");
}

}  // namespace perrev
