#include "engine/bench/explain_names.h"

namespace perrev {

std::string_view name_of(NameKind kind) {
  switch (kind) {
    case NameKind::rule:
      return "rule";
    case NameKind::cause:
      return "cause";
    case NameKind::fact:
      return "fact";
    case NameKind::check:
      return "check";
  }
  return "";
}

const std::string& id_of(const RuleBase& base, const NamedThing& thing) {
  const std::size_t i = static_cast<std::size_t>(thing.index);
  switch (thing.kind) {
    case NameKind::rule:
      return base.rules[i].id;
    case NameKind::cause:
      return base.causes[i].id;
    case NameKind::fact:
      return base.facts[i].id;
    case NameKind::check:
      break;
  }
  return base.checks[i].id;
}

std::vector<NamedThing> all_things(const RuleBase& base) {
  std::vector<NamedThing> out;
  const auto add = [&](NameKind kind, std::size_t count) {
    for (std::size_t i = 0; i < count; ++i) out.push_back({kind, static_cast<int>(i)});
  };
  add(NameKind::rule, base.rules.size());
  add(NameKind::cause, base.causes.size());
  add(NameKind::fact, base.facts.size());
  add(NameKind::check, base.checks.size());
  return out;
}

std::vector<NamedThing> things_named(const RuleBase& base, std::string_view id) {
  std::vector<NamedThing> out;
  for (const NamedThing& thing : all_things(base))
    if (id_of(base, thing) == id) out.push_back(thing);
  return out;
}

std::vector<std::string> all_ids(const RuleBase& base) {
  std::vector<std::string> out;
  for (const NamedThing& thing : all_things(base)) out.push_back(id_of(base, thing));
  return out;
}

}  // namespace perrev
