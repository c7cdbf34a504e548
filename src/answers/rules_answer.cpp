// The rule base for one who looks things up in it: rules in short, and everything that touches one
// thing.
#include <algorithm>
#include <optional>

#include "engine/bench/explain_condition.h"
#include "engine/bench/explain_touches.h"
#include "engine/quantity/text.h"
#include "src/answers/asked.h"
#include "src/answers/explain.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {

Json json_of(const RuleBase& base, const Rule& rule, Units units) {
  Json causes = Json::array(), facts = Json::array();
  for (const Rule::Effect& effect : rule.effects) causes.push_back(cause_id(base, effect.cause));
  for (const int fact : facts_in(base, rule.when))
    facts.push_back(base.facts[static_cast<std::size_t>(fact)].id);
  return {{"id", rule.id},
          {"when", in_words(base, rule.when, units)},
          {"because", rule.because},
          {"causes", causes},
          {"facts", facts}};
}

template <class Items>
Json by_name(const Items& items) {
  Json out = Json::array();
  for (const auto& item : items) out.push_back({{"id", item.id}, {"what", item.what}});
  return out;
}

// Files are named from the folder of the rule base on, wherever that stands on this machine.
void name_files_in_folder(Json& json, const std::string& folder) {
  if (json.is_object() && json.contains("file")) {
    const std::string file = json["file"];
    if (file.compare(0, folder.size(), folder) == 0) json["file"] = file.substr(folder.size());
  }
  for (Json& part : json)
    if (part.is_structured()) name_files_in_folder(part, folder);
}

std::string folder_of(const RuleBase& base) {
  constexpr std::string_view kFacts = "facts.yaml";
  const std::string& file = base.facts.front().place.file;
  return file.substr(0, file.size() - std::min(file.size(), kFacts.size()));
}

}  // namespace

Answered rules_answer(const Asked& asked) {
  const RuleBase& base = asked.base;
  Json rules = Json::array();
  for (const Rule& rule : base.rules) rules.push_back(json_of(base, rule, asked.units()));
  return Json{{"rules_digest", base.digest},
              {"rules", rules},
              {"gates", by_name(base.gates)},
              {"ends", by_name(base.ends)}};
}

Answered explain_answer(const Asked& asked) {
  const RuleBase& base = asked.base;
  const std::string name = asked.text("name"), kind = asked.text("kind");
  std::vector<NamedThing> things = things_named(base, name);
  if (!kind.empty())
    things.erase(std::remove_if(things.begin(), things.end(),
                                [&](const NamedThing& one) { return name_of(one.kind) != kind; }),
                 things.end());
  if (things.empty())
    return wrong("name",
                 "no " + (kind.empty() ? "rule, cause, fact or check" : kind) + " is named " +
                     perrev::quoted(name),
                 near_or(name, all_ids(base), "an id of the rule base"));
  std::optional<OpenCase> open;
  if (asked.request.contains("case") || !asked.case_text.empty()) {
    auto read = asked.open();
    if (!read) return read.error();
    open = std::move(read).value();
  }
  const Explainer with{asked.reasoner, open ? &*open : nullptr, asked.units()};
  Json explained = Json::array();
  for (const NamedThing& thing : things) explained.push_back(explain_json(with, thing));
  name_files_in_folder(explained, folder_of(base));
  return Json{{"rules_digest", base.digest}, {"explained", explained}};
}

}  // namespace perrev
