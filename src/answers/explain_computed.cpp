// What is computed in place of rules: of a cause from which size, of a fact for which causes.
#include "engine/knowledge/computed.h"
#include "engine/knowledge/fields.h"
#include "engine/quantity/text.h"
#include "src/answers/explain_parts.h"
#include "src/answers/fault_kinds.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

std::string_view doc_of(std::string_view key, std::string_view word) {
  for (const FieldChoice& choice : field_of(fault_fields(), key)->choices)
    if (choice.word == word) return choice.doc;
  return {};
}

std::string how_large(const PhysicsFault& fault, Units units) {
  return "half of such vehicles have more than " + size_words(fault.kind, fault.median, units) +
         ", two thirds lie between " + size_words(fault.kind, fault.median / fault.spread, units) +
         " and " + size_words(fault.kind, fault.median * fault.spread, units);
}

std::vector<std::string> ids_of_facts(const RuleBase& base, const std::vector<int>& facts) {
  std::vector<std::string> ids;
  for (const int fact : facts) ids.push_back(base.facts[static_cast<std::size_t>(fact)].id);
  return ids;
}

}  // namespace

std::string computed_text(const Explainer& with, int cause) {
  const RuleBase& base = with.base();
  const std::vector<int> facts = facts_computed(base, cause);
  if (facts.empty()) return {};
  std::string out =
      heading("Computed, and not weighed by rules") + item(joined(ids_of_facts(base, facts)));
  const PhysicsFault* fault = fault_of(base, cause);
  if (!fault) return out;
  const std::string_view kind = name_of(fault->kind), when = name_of(fault->when);
  out += item("Physics computes from its size: " + spaced(kind) + ", " +
              std::string(doc_of("kind", kind))) +
         item("Size: " + how_large(*fault, with.units)) +
         item("At the front axle in " + percent(fault->front) + " of them; it shakes " +
              std::string(doc_of("while", when)));
  if (fault->steer != 1.0 || fault->vertical != 1.0)
    out +=
        item("Beside others of its kind it turns the steering times " + show_number(fault->steer) +
             " and pushes upright times " + show_number(fault->vertical));
  if (fault->heard_db > 0.0)
    out += item("Heard at that size: " + show_number(fault->heard_db) +
                " dB above the threshold of hearing");
  return out + item("Origin: " + fault->origin + " (" + fault->place.file + ":" +
                    std::to_string(fault->place.line) + ")");
}

Json computed_json(const Explainer& with, int cause) {
  const RuleBase& base = with.base();
  Json out = {{"facts", ids_of_facts(base, facts_computed(base, cause))}, {"physics", nullptr}};
  const PhysicsFault* fault = fault_of(base, cause);
  if (!fault) return out;
  const double unit = si_per_unit(fault->kind);
  const std::string_view kind = name_of(fault->kind), when = name_of(fault->when);
  out["physics"] = {{"kind", kind},
                    {"kind_words", doc_of("kind", kind)},
                    {"unit", unit_of(fault->kind)},
                    {"median", six_digits(fault->median / unit)},
                    {"spread", six_digits(fault->spread)},
                    {"size_words", how_large(*fault, with.units)},
                    {"front_probability", six_digits(fault->front)},
                    {"while", when},
                    {"while_words", doc_of("while", when)},
                    {"steer", six_digits(fault->steer)},
                    {"vertical", six_digits(fault->vertical)},
                    {"heard_db", six_digits(fault->heard_db)},
                    {"origin", fault->origin},
                    {"place", place_json(fault->place)}};
  return out;
}

std::string computed_for_text(const RuleBase& base, int fact) {
  std::string list;
  for (const int cause : computed_for(base, fact))
    list +=
        item(with_id(base, cause) + ", by " + std::string(computation_of(base, fact, cause)->by));
  return list.empty() ? list
                      : heading("Computed for these causes, and not weighed by rules") + list;
}

Json computed_for_json(const RuleBase& base, int fact) {
  Json out = Json::array();
  for (const int cause : computed_for(base, fact))
    out.push_back(
        {{"cause", cause_id(base, cause)}, {"by", computation_of(base, fact, cause)->by}});
  return out;
}

}  // namespace perrev
