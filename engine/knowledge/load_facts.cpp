#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/knowledge/fields.h"
#include "engine/knowledge/loader.h"

namespace perrev {

namespace {

constexpr double kSumTolerance = 1e-6;
constexpr std::size_t kMostAnswers = 40;  // one answer is one bit of an AnswerSet

std::string named(std::string_view kind, const std::string& id) {
  return std::string(kind) + " '" + id + "'";
}

}  // namespace

void Loader::limited_facts(const YamlNode& root) {
  for (const YamlMember& member : root.members) limited_.insert(member.key);
}

void Loader::facts(const FileReader& reader, const YamlNode& root) {
  if (root.kind != YamlNode::Kind::mapping)
    return reader.fault(root, "expected a mapping of facts", "fact_id: {ask: ..., kind: ...}");
  for (const YamlMember& member : root.members) fact(reader, member);
}

void Loader::fact(const FileReader& reader, const YamlMember& member) {
  if (!fresh(reader, member, "fact", base.fact_by_id, static_cast<int>(base.facts.size()))) return;
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
  made.together_any = record.text("together") == "any";
  fact_answers(reader, record, made);
  if (made.kind == FactKind::number) fact_number(reader, record, made);
  if (made.together_any && made.kind != FactKind::several && made.answers.size() != 2)
    reader.fault(record.word("together"), "'any' needs a fact with two answers",
                 "kind yesno or several, or a number with a limit");
  fact_base(reader, record, made);
  if (record.has("clear")) {
    if (made.kind == FactKind::one || made.kind == FactKind::yesno)
      made.clear = answer_set(reader, record.words("clear"), made);
    else
      reader.fault(record.word("clear"), "only facts of kind one or yesno can be clear");
  }
  base.facts.push_back(std::move(made));
}

void Loader::fact_answers(const FileReader& reader, const Record& record, Fact& made) {
  const YamlNode* answers = record.node("answers");
  const bool listed = made.kind == FactKind::one || made.kind == FactKind::several;
  if (made.kind == FactKind::yesno) made.answers = {{"no", "no"}, {"yes", "yes"}};
  if (made.kind == FactKind::number && limited_.count(made.id) > 0)
    made.answers = {{"good", "within its limit"}, {"bad", "out of its limit"}};
  if (!listed) {
    if (answers)
      reader.fault(*answers,
                   "a fact of kind " + std::string(name_of(made.kind)) + " has no 'answers'",
                   "leave it out");
    return;
  }
  if (!answers || answers->kind != YamlNode::Kind::mapping || answers->members.empty()) {
    reader.fault(made.place.line, made.place.column, named("fact", made.id) + " needs 'answers'",
                 "answers: {answer_id: Words shown, ...}");
    return;
  }
  if (answers->members.size() > kMostAnswers)
    return reader.fault(*answers, named("fact", made.id) + " has more than 40 answers",
                        "fewer answers");
  for (const YamlMember& answer : answers->members) {
    if (!is_id(answer.key) || answer.key == "unsure" || answer.key == "unknown")
      reader.fault(answer.line, answer.column,
                   "'" + answer.key.substr(0, 60) + "' will not do as an answer",
                   "a-z, 0-9 and _, beginning with a letter; unsure is always there by itself");
    if (answer.value.kind != YamlNode::Kind::scalar || answer.value.scalar.empty())
      reader.fault(answer.line, answer.column, "answer '" + answer.key + "' has no words",
                   "answer_id: Words shown");
    made.answers.push_back({answer.key, answer.value.scalar});
  }
}

void Loader::fact_number(const FileReader& reader, const Record& record, Fact& made) {
  const auto unit = dimension_named(record.text("unit"));
  if (!unit || !record.has("range")) {
    reader.fault(made.place.line, made.place.column,
                 named("fact", made.id) + " needs 'unit' and 'range'",
                 "unit: speed, range: 0..200 km/h");
    return;
  }
  made.unit = *unit;
  const auto range = parse_quantity_range(record.text("range"), made.unit);
  if (!range) return reader.fault(record.word("range"), range.error().what, range.error().right);
  if (!std::isfinite((*range).low) || !std::isfinite((*range).high))
    return reader.fault(record.word("range"), "a range needs both ends", "0..200 km/h");
  made.low = (*range).low;
  made.high = (*range).high;
}

void Loader::fact_base(const FileReader& reader, const Record& record, Fact& made) {
  const YamlNode* node = record.node("base");
  if (made.kind == FactKind::text) {
    if (node) reader.fault(*node, "text is never evidence and has no 'base'", "leave it out");
    return;
  }
  std::vector<double> rates(made.answers.size(), 0.5);
  const auto rate = [&](const YamlNode& value, double& out) {
    const auto read =
        value.kind == YamlNode::Kind::scalar ? parse_decimal(value.scalar) : std::nullopt;
    if (!read || *read <= 0.0 || *read >= 1.0)
      reader.fault(value, "a base rate lies between 0 and 1, both excluded", "for example 0.05");
    else
      out = *read;
  };
  if (!node) {
    reader.fault(made.place.line, made.place.column, named("fact", made.id) + " has no 'base'",
                 "how often a complaint whose cause is not listed answers so");
  } else if (made.kind == FactKind::number && made.answers.empty()) {
    number_base(reader, record, made);
  } else if (made.kind == FactKind::yesno || made.kind == FactKind::number) {
    rate(*node, rates[1]);
    rates[0] = 1.0 - rates[1];
  } else if (node->kind != YamlNode::Kind::mapping) {
    reader.fault(*node, "'base' of " + named("fact", made.id) + " needs a rate for each answer",
                 "{answer_id: 0.3, ...}");
  } else {
    std::vector<bool> given(made.answers.size(), false);
    for (const YamlMember& member : node->members) {
      const AnswerSet set =
          answer_set(reader, {Word{member.key, member.line, member.column}}, made);
      for (std::size_t i = 0; i < rates.size(); ++i)
        if ((set >> i) & 1u) {
          rate(member.value, rates[i]);
          given[i] = true;
        }
    }
    double sum = 0.0;
    for (std::size_t i = 0; i < rates.size(); ++i) {
      if (!given[i])
        reader.fault(*node,
                     "'base' of " + named("fact", made.id) + " lacks '" + made.answers[i].id + "'",
                     "a rate for each answer");
      sum += rates[i];
    }
    if (made.kind == FactKind::one) {
      if (std::abs(sum - 1.0) > kSumTolerance)
        reader.fault(*node, "'base' of " + named("fact", made.id) + " sums to " + show_number(sum),
                     "rates of one answer out of many sum to 1");
      for (double& r : rates) r /= sum > 0.0 ? sum : 1.0;
    }
  }
  made.first_variable = static_cast<int>(base.variables.size());
  made.variable_count = made.kind == FactKind::several ? static_cast<int>(rates.size()) : 1;
  add_variables(made, rates);
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
      reader.fault(member.value, "expected the share of answers below " + member.key,
                   "for example 0.15");
    } else if (*at <= made.cumulative.back().first || *share <= made.cumulative.back().second ||
               *at >= made.high || *share >= 1.0) {
      reader.fault(member.line, member.column, "cumulative base rates must rise within the range",
                   "values and shares both growing, shares below 1");
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
    if (const YamlNode* node = member.value.find("asked_if"))
      made.asked_if = condition(reader, *node);
    if (const YamlNode* node = member.value.find("stop")) fact_stop(reader, *node, made);
  }
}

void Loader::fact_stop(const FileReader& reader, const YamlNode& node, Fact& made) {
  const Record record(reader, node, stop_fields(), "stop of '" + made.id + "'", node.line,
                      node.column);
  if (made.kind != FactKind::one && made.kind != FactKind::yesno)
    return reader.fault(node, "only facts of kind one or yesno can stop");
  StopRule stop;
  stop.answers = answer_set(reader, record.words("answers"), made);
  stop.reason = record.text("reason");
  stop.caution = record.text("caution");
  if (record.has("cleared_by")) {
    stop.cleared_by = known_fact(reader, record.word("cleared_by"));
    if (stop.cleared_by >= 0) {
      const Fact& clearing = base.facts[static_cast<std::size_t>(stop.cleared_by)];
      if (clearing.clear == 0 || !clearing.is_asked_at(Asker::bay))
        reader.fault(record.word("cleared_by"), "'" + clearing.id + "' cannot lift a stop",
                     "a fact asked in the bay that has 'clear'");
    }
  }
  if ((stop.answers & made.clear) != 0)
    reader.fault(node, "an answer of '" + made.id + "' both stops and is clear",
                 "one or the other");
  made.stop = std::move(stop);
}

void Loader::limits(const FileReader& reader, const YamlNode& root) {
  for (const YamlMember& member : root.members) {
    const Word word{member.key, member.line, member.column};
    const Record record(reader, member.value, limit_fields(), named("limit", member.key),
                        member.line, member.column);
    const int index = known_fact(reader, word);
    if (index < 0) continue;
    Fact& fact = base.facts[static_cast<std::size_t>(index)];
    if (fact.kind != FactKind::number) {
      reader.fault(word, "'" + member.key + "' is not a number and can have no limit");
      continue;
    }
    Limit made;
    made.fact = index;
    made.lower_is_better = record.text("better") == "lower";
    if (record.has("class_by")) made.class_by = known_fact(reader, record.word("class_by"));
    const Fact* by =
        made.class_by < 0 ? nullptr : &base.facts[static_cast<std::size_t>(made.class_by)];
    if (by && by->kind != FactKind::one)
      reader.fault(record.word("class_by"), "'" + by->id + "' cannot pick a class",
                   "a fact of kind one");
    const YamlNode* classes = record.node("classes");
    if (!classes || classes->kind != YamlNode::Kind::mapping || classes->members.empty()) continue;
    for (const YamlMember& row : classes->members) {
      const Word name{row.key, row.line, row.column};
      const Record values(reader, row.value, limit_class_fields(), named("class", row.key),
                          row.line, row.column);
      if (by ? (row.key != "other" && answer_index(*by, row.key) < 0) : row.key != "all") {
        reader.fault(
            name, "unknown class '" + row.key + "'",
            by ? "an answer of '" + by->id + "', or other" : "all, as there is no class_by");
        continue;
      }
      const auto good = parse_quantity(values.text("good"), fact.unit);
      const auto bad = parse_quantity(values.text("bad"), fact.unit);
      if (!good && values.has("good"))
        reader.fault(values.word("good"), good.error().what, good.error().right);
      if (!bad && values.has("bad"))
        reader.fault(values.word("bad"), bad.error().what, bad.error().right);
      if (!good || !bad) continue;
      if (made.lower_is_better ? *good > *bad : *good < *bad)
        reader.fault(name, "the good edge of '" + member.key + "' lies beyond the bad one",
                     made.lower_is_better ? "good at or below bad" : "good at or above bad");
      made.classes.push_back({row.key, *good, *bad, values.text("origin")});
    }
    fact.limit = static_cast<int>(base.limits.size());
    base.limits.push_back(std::move(made));
  }
}

}  // namespace perrev
