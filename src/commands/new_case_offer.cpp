#include "src/commands/new_case_offer.h"

#include <filesystem>

#include "src/reference_cases.h"

namespace perrev {

int cause_of_case(const NewThing& thing, const RuleBase& base) {
  if (thing.kind == NewKind::cause) return base.cause_index(thing.id);
  const YamlNode* named = thing.fields.find(thing.kind == NewKind::rule ? "for" : "confirms");
  return named && !named->members.empty() ? base.cause_index(named->members.front().key) : -1;
}

Result<std::vector<SeenAnswer>> answers_of_case(const NewThing& thing,
                                                const std::vector<std::string>& said,
                                                const RuleBase& base) {
  std::vector<SeenAnswer> out;
  for (const std::string& each : said) {
    auto read = read_seen(base, each);
    if (!read) return read.error();
    out.push_back(std::move(read).value());
  }
  const int cause = cause_of_case(thing, base);
  if (!out.empty() || cause < 0) return out;
  if (thing.kind == NewKind::check)
    for (const auto& [shown, condition] :
         base.checks[static_cast<std::size_t>(base.check_index(thing.id))].confirms)
      if (shown == cause) return answers_for(base, condition);
  return answers_of_cause(base, cause);
}

std::string usual_case_path(const std::string& rules, const std::string& cause) {
  return (std::filesystem::path(cases_folder(rules, {})) / (cause + ".json")).generic_string();
}

}  // namespace perrev
