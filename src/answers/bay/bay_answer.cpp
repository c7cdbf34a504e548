#include "src/answers/bay/bay_answer.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "engine/quantity/text.h"
#include "src/answers/asked.h"
#include "src/answers/bay/bay_input.h"
#include "src/answers/diagnosis_parts.h"
#include "src/answers/words.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {

std::vector<BayLimit> rows_of_limit(const BayContext& context, const Fact& fact) {
  if (fact.limit < 0) return {};
  if (const auto one = context.limit(fact.id)) return {*one};
  std::vector<BayLimit> out;
  for (const LimitClass* row :
       limit_rows(context.base, context.base.limits[static_cast<std::size_t>(fact.limit)],
                  context.facts ? context.facts->vehicle : Answers()))
    out.push_back({row->id, row->origin, row->good, row->bad});
  return out;
}

std::string finding_of(const Limit& limit, const std::vector<BayLimit>& rows, double value) {
  if (rows.size() != 1) return {};
  const double sign = limit.lower_is_better ? 1.0 : -1.0;
  if (sign * value <= sign * rows.front().good) return "good";
  return sign * value >= sign * rows.front().bad ? "bad" : "between";
}

// Whether the readings leave open if it is good or bad, by every row that may apply.
bool reaches_across(const Limit& limit, const std::vector<BayLimit>& rows, const Interval& of) {
  const double sign = limit.lower_is_better ? 1.0 : -1.0;
  const double best = limit.lower_is_better ? of.low : of.high,
               worst = limit.lower_is_better ? of.high : of.low;
  for (const BayLimit& row : rows)
    if (sign * best > sign * row.good || sign * worst < sign * row.bad) return false;
  return !rows.empty();
}

// What was given, on one line a field.
std::string one_line(const Json& given) {
  if (given.is_string()) return given.get<std::string>();
  std::string out;
  for (const Json& row : given) {
    out += out.empty() ? "" : "; ";
    if (row.is_string()) out += row.get<std::string>();
    if (!row.is_array()) continue;
    for (std::size_t c = 0; c < row.size(); ++c)
      out += (c == 0 ? "" : ", ") + (row[c].is_string() ? row[c].get<std::string>() : "");
  }
  return out;
}

std::string unit_suffix(Dimension dimension) {
  switch (dimension) {
    case Dimension::count:
      return "";
    case Dimension::ratio:
      return "_ratio";
    case Dimension::speed:
      return "_km_h";
    case Dimension::length:
      return "_mm";
    case Dimension::frequency:
      return "_hz";
    case Dimension::mass:
      return "_g";
    case Dimension::force:
      return "_n";
    case Dimension::pressure:
      return "_kpa";
    case Dimension::time:
      return "_s";
    case Dimension::angle:
      return "_deg";
    case Dimension::temperature_difference:
      return "_k";
    case Dimension::moment:
      return "_g_mm";
    case Dimension::torque:
      return "_n_m";
  }
  return "";
}

// A reading of a case: what a gauge told, not what the arithmetic made of it, nor a speck that
// rounding left over.
double four_digits(double si, Dimension dimension) {
  const double size = in_usual_unit(1.0, dimension, Units::metric), shown = std::abs(si * size);
  if (!std::isfinite(shown)) return si;
  if (shown < 1e-6) return 0.0;
  const double step = std::pow(10.0, std::floor(std::log10(shown)) - 3.0);
  return std::round(si * size / step) * step / size;
}

// What a tool found of a fact, against the fact's limit.
struct Judged {
  BayFinding finding;
  std::string value;              // as in an entry
  bool good_or_bad_known = true;  // false: the readings reach from one to the other
};

Judged judge_number(const BayContext& context, const Fact& fact, const BayFeed& feed) {
  Judged out;
  out.value = show(four_digits(feed.value, fact.unit), fact.unit, Units::metric);
  out.finding.text = told(feed.value, fact.unit, context.units);
  out.finding.rows = rows_of_limit(context, fact);
  if (fact.limit < 0) return out;
  const Limit& limit = context.base.limits[static_cast<std::size_t>(fact.limit)];
  out.good_or_bad_known =
      !feed.interval || !reaches_across(limit, out.finding.rows, *feed.interval);
  if (out.good_or_bad_known) out.finding.finding = finding_of(limit, out.finding.rows, feed.value);
  return out;
}

Judged judge_answer(const Fact& fact, const BayFeed& feed) {
  Judged out;
  out.value = feed.answer;
  for (const Answer& answer : fact.answers)
    if (answer.id == feed.answer) out.finding.text = answer.label;
  return out;
}

// Why it does not go into the case; empty where it may.
std::string not_kept(const Judged& judged, const Fact& fact, const BayFeed& feed, Units units) {
  if (!judged.good_or_bad_known)
    return "The readings leave open whether " + told(*feed.interval, fact.unit, units) +
           " is good or bad, so it is not kept: read again, or more of them. ";
  if (fact.kind == FactKind::number && !(feed.value >= fact.low && feed.value <= fact.high))
    return told(feed.value, fact.unit, units) +
           " is more than a case takes for this; it is not kept: ";
  return {};
}

void keep(const BayContext& context, const Fact& fact, const std::string& value, BayAnswer& out) {
  const std::vector<std::string>& places = places_of(fact.per);
  const bool here = std::find(places.begin(), places.end(), context.place) != places.end();
  if (places.empty() || here)
    out.entries.push_back({fact.id, places.empty() ? "" : context.place, value});
  else
    out.place_needed.push_back(fact.id);
}

double metric(double si, Dimension dimension) {
  return six_digits(in_usual_unit(si, dimension, Units::metric));
}

}  // namespace

Result<BayAnswer, Problems> bay_answer(const BayTool& tool, const Json& given,
                                       const BayContext& context) {
  const auto input = read_given(tool, given, context.units);
  if (!input) return input.error();
  auto made = tool.run(*input, context);
  if (!made) return made.error();
  BayAnswer out;
  out.result = std::move(made).value();
  out.with["reckoned"] = std::string(tool.id);
  for (const auto& [key, value] : given.items())
    if (const std::string line = one_line(value); !line.empty()) out.with[key] = line;
  // An answer that is found with a reading may be the class of its limit.
  BayContext own = context;
  for (const BayFeed& feed : out.result.feeds)
    if (own.limit_class.empty()) own.limit_class = feed.answer;
  for (const BayFeed& feed : out.result.feeds) {
    const int index = context.base.fact_index(feed.fact);
    if (index < 0) continue;  // a rule base without it
    const Fact& fact = fact_of(context.base, index);
    Judged judged =
        fact.kind == FactKind::number ? judge_number(own, fact, feed) : judge_answer(fact, feed);
    judged.finding.fact = index;
    out.findings.push_back(judged.finding);
    if (const std::string why = not_kept(judged, fact, feed, context.units); !why.empty())
      out.result.notes.push_back(why + fact.ask);
    else
      keep(context, fact, judged.value, out);
  }
  return out;
}

Json to_json(const BayTool& tool, const BayAnswer& answer, const BayContext& context) {
  const BayResult& result = answer.result;
  Json out = {{"tool", tool.id}, {"sentences", result.sentences}, {"numbers", Json::array()}};
  for (const BayNumber& number : result.numbers) {
    Json row = {{"id", number.id + unit_suffix(number.dimension)},
                {"label", number.label},
                {"text", told(number, context.units)},
                {"value", metric(number.value, number.dimension)},
                {"low", nullptr},
                {"high", nullptr}};
    if (number.interval) {
      row["low"] = metric(number.interval->low, number.dimension);
      row["high"] = metric(number.interval->high, number.dimension);
    }
    out["numbers"].push_back(std::move(row));
  }
  out["limits"] = Json::array();
  for (const BayFinding& finding : answer.findings) {
    const Fact& fact = fact_of(context.base, finding.fact);
    Json row = {{"fact", fact.id},
                {"ask", fact.ask},
                {"text", finding.text},
                {"finding", finding.finding.empty() ? Json(nullptr) : Json(finding.finding)},
                {"rows", Json::array()}};
    for (const BayLimit& limit : finding.rows)
      row["rows"].push_back({{"class", limit.id},
                             {"good", told_limit(limit.good, fact.unit, context.units)},
                             {"bad", told_limit(limit.bad, fact.unit, context.units)},
                             {"origin", limit.origin}});
    out["limits"].push_back(std::move(row));
  }
  out["entries"] = Json::array();
  for (const BayEntry& entry : answer.entries) {
    Json row = {{"by", "bay"}, {"fact", entry.fact}};
    if (!entry.place.empty()) row["place"] = entry.place;
    row["value"] = entry.value;
    row["with"] = answer.with;
    out["entries"].push_back(std::move(row));
  }
  out["place_needed"] = answer.place_needed;
  out["cautions"] = result.cautions;
  out["notes"] = result.notes;
  out["svg"] = result.svg.empty() ? Json(nullptr) : Json(result.svg);
  return out;
}

Answered bay_reckoning_answer(const Asked& asked) {
  std::vector<std::string> ids;
  for (const BayTool& tool : bay_tools()) ids.emplace_back(tool.id);
  const std::string id = asked.text("tool");
  const BayTool* tool = bay_tool(id);
  if (!tool)
    return wrong("tool", "there is no reckoning " + perrev::quoted(id),
                 near_or(id, ids, joined(ids)));
  BayContext context{asked.base, nullptr, asked.units(), asked.text("place"), asked.text("class")};
  context.plot_width = asked.width(context.plot_width);
  std::optional<OpenCase> open;
  if (asked.request.contains("case") || !asked.case_text.empty()) {
    auto read = asked.open();
    if (!read) return read.error();
    open = std::move(read).value();
    context.facts = &open->facts;
  }
  const auto given = asked.request.contains("given") ? asked.request["given"] : Json::object();
  const auto answer = bay_answer(*tool, given, context);
  if (!answer) return answer.error();
  return to_json(*tool, *answer, context);
}

}  // namespace perrev
