// The forms of the bay for the page: id, name, what, facts, repairs, places (words a reading may
// have), fields with kind, columns, units (the usual one first), choices (id, label, and the fact
// it feeds, if one), usual, fewest, most.
#include <algorithm>
#include <nlohmann/json.hpp>

#include "src/answers/asked.h"
#include "src/answers/bay/bay_input.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {

// The words of a place that a reading of the fact may have; empty for a fact per case.
std::vector<std::string> places_for(const RuleBase& base, const BayTool& tool) {
  std::vector<std::string> out;
  for (const std::string_view id : tool.facts) {
    const int index = base.fact_index(id);
    if (index < 0) continue;
    for (const std::string& place : places_of(base.facts[static_cast<std::size_t>(index)].per))
      if (std::find(out.begin(), out.end(), place) == out.end()) out.push_back(place);
  }
  return out;
}

Json column_json(const BayColumn& column, Units units) {
  Json out = {{"id", column.id},
              {"label", column.label},
              {"required", column.required},
              {"around", column.around},
              {"dimension", name_of(column.dimension)},
              {"units", Json::array()}};
  for (const Units each : {units, units == Units::us ? Units::metric : Units::us}) {
    const bool turning = column.dimension == Dimension::frequency;
    const std::string unit(turning ? "rpm" : usual_unit(column.dimension, each));
    if (!unit.empty() &&
        std::find(out["units"].begin(), out["units"].end(), unit) == out["units"].end())
      out["units"].push_back(unit);
  }
  out["range"] = column.around ? "from 0 to below 360 deg, or a clock position such as 4:30"
                               : range_words(column, units);
  return out;
}

Json field_json(const BayField& field, Units units) {
  constexpr const char* kKinds[] = {"quantity", "choice", "rows"};
  Json out = {{"id", field.id},
              {"label", field.label},
              {"help", field.help},
              {"kind", kKinds[static_cast<std::size_t>(field.kind)]},
              {"required", field.required},
              {"usual", field.usual}};
  if (field.kind == BayField::Kind::choice) {
    out["choices"] = Json::array();
    for (const BayChoice& choice : field.choices) {
      out["choices"].push_back({{"id", choice.id}, {"label", choice.label}});
      if (!choice.fact.empty()) out["choices"].back()["fact"] = choice.fact;
    }
    return out;
  }
  out["columns"] = Json::array();
  for (const BayColumn& column : field.columns)
    out["columns"].push_back(column_json(column, units));
  if (field.kind == BayField::Kind::rows) {
    out["fewest"] = field.fewest;
    out["most"] = field.most;
  }
  return out;
}

Json forms_json(const RuleBase& base, Units units) {
  Json out = Json::array();
  for (const BayTool& tool : bay_tools()) {
    Json form = {{"id", tool.id},           {"name", tool.name},
                 {"what", tool.what},       {"facts", tool.facts},
                 {"repairs", tool.repairs}, {"places", places_for(base, tool)},
                 {"fields", Json::array()}};
    for (const BayField& field : tool.fields) form["fields"].push_back(field_json(field, units));
    out.push_back(std::move(form));
  }
  return out;
}

}  // namespace

Answered bay_tools_answer(const Asked& asked) {
  return Json{{"tools", forms_json(asked.base, asked.units())}};
}

}  // namespace perrev
