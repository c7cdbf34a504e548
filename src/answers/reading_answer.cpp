// What is answered of single values: a reading as typed, a tire's text, the lines of a vehicle.
#include "engine/casefile/phrases.h"
#include "engine/casefile/vehicle_of.h"
#include "src/answers/asked.h"
#include "src/answers/lines_answer.h"
#include "src/answers/tire_answer.h"
#include "src/answers/typed_answer.h"
#include "src/answers/words.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {

// The limit that a reading is held against; null for a fact without one. While its class is not
// known, `rows` has every class.
Json limit_json(const RuleBase& base, const Fact& fact, const Answers& vehicle, Units units) {
  if (fact.limit < 0) return nullptr;
  const Limit& limit = base.limits[static_cast<std::size_t>(fact.limit)];
  Json out = {{"lower_is_better", limit.lower_is_better}, {"rows", Json::array()}};
  for (const LimitClass* row : limit_rows(base, limit, vehicle))
    out["rows"].push_back({{"class", row->id},
                           {"good", show(row->good, fact.unit, units)},
                           {"bad", show(row->bad, fact.unit, units)},
                           {"origin", row->origin}});
  return out;
}

Json finding_json(const Fact& fact, const Reading& reading) {
  if (fact.limit < 0) return nullptr;
  return reading.answers.front() < 0 ? "between" : reading.answers.front() == 0 ? "good" : "bad";
}

}  // namespace

Answered reading_answer(const Asked& asked) {
  const auto fact = asked.fact();
  if (!fact) return fact.error();
  Answers vehicle;
  if (asked.request.contains("case") || !asked.case_text.empty()) {
    auto open = asked.open();
    if (!open) return open.error();
    vehicle = open->facts.vehicle;
  }
  const Fact& of = asked.base.facts[static_cast<std::size_t>(*fact)];
  const auto values = read_typed(of, asked.text("typed"), asked.units());
  if (!values) return wrong("typed", values.error().what, values.error().right);
  const auto reading = read_value(asked.base, *fact, *values, vehicle);
  if (!reading) return wrong("typed", reading.error().what, reading.error().right);
  const bool number = of.kind == FactKind::number;
  return Json{
      {"values", *values},
      {"us", number ? Json(show(reading->number, of.unit, Units::us)) : Json(nullptr)},
      {"metric", number ? Json(show(reading->number, of.unit, Units::metric)) : Json(nullptr)},
      {"limit", limit_json(asked.base, of, vehicle, asked.units())},
      {"finding", finding_json(of, *reading)}};
}

Answered tire_size_answer(const Asked& asked) {
  auto tire = parse_tire(asked.text("text"));
  if (!tire) return wrong("text", tire.error().what, tire.error().right);
  TireQuestion question;
  question.tire = std::move(tire).value();
  const std::string speed = asked.text("speed");
  if (!speed.empty()) {
    const auto read = parse_quantity(speed, Dimension::speed);
    if (!read) return wrong("speed", read.error().what, read.error().right);
    question.speed = *read;
  }
  return to_json(question, tire_answer(question));
}

Answered case_lines_answer(const Asked& asked) {
  const auto open = asked.open();
  if (!open) return open.error();
  const std::size_t now = open->facts.rounds.size() - 1;
  LinesQuestion question;
  question.vehicle = vehicle_of(asked.base, open->facts, now);
  question.motion = motion_of(asked.base, open->facts, now);
  const std::string speed = asked.text("speed");
  if (!speed.empty()) {
    const auto read = parse_quantity(speed, Dimension::speed);
    if (!read) return wrong("speed", read.error().what, read.error().right);
    // At another speed than that of the case its engine speed says nothing.
    question.motion = Motion();
    question.motion.speed = *read;
    question.motion.by = SpeedSource::gps;
  }
  return to_json(question, lines_answer(question));
}

Answered phrases_answer(const Asked& asked) {
  const std::string text = asked.text("text");
  Json out = {{"found", Json::array()}};
  for (const Heard& heard : hear(asked.base, text, asked.units())) {
    const Fact& fact = asked.base.facts[static_cast<std::size_t>(heard.fact)];
    std::string words;
    for (const Span& span : heard.spans)
      words += (words.empty() ? "" : " ... ") + text.substr(span.begin, span.end - span.begin);
    const bool list = fact.kind == FactKind::several || heard.values.size() != 1;
    out["found"].push_back({{"fact", fact.id},
                            {"value", list ? Json(heard.values) : Json(heard.values.front())},
                            {"words", words}});
  }
  return out;
}

}  // namespace perrev
