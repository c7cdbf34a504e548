#include "src/answers/explain.h"

#include <nlohmann/json.hpp>

#include "src/answers/explain_parts.h"

namespace perrev {

std::string explain_text(const Explainer& with, const NamedThing& thing) {
  switch (thing.kind) {
    case NameKind::rule:
      return rule_text(with, thing.index);
    case NameKind::cause:
      return cause_text(with, thing.index);
    case NameKind::fact:
      return fact_text(with, thing.index);
    case NameKind::check:
      break;
  }
  return check_text(with, thing.index);
}

nlohmann::ordered_json explain_json(const Explainer& with, const NamedThing& thing) {
  Json out = {{"kind", name_of(thing.kind)}, {"id", id_of(with.base(), thing)}};
  switch (thing.kind) {
    case NameKind::rule:
      out.update(rule_json(with, thing.index));
      return out;
    case NameKind::cause:
      out.update(cause_json(with, thing.index));
      return out;
    case NameKind::fact:
      out.update(fact_json(with, thing.index));
      return out;
    case NameKind::check:
      break;
  }
  out.update(check_json(with, thing.index));
  return out;
}

}  // namespace perrev
