#include "src/answers/open_case.h"

#include <utility>

#include "engine/casefile/vehicle_of.h"

namespace perrev {

Result<CaseFacts, Problems> checked_facts(const CaseFile& file, const RuleBase& base) {
  auto facts = facts_of(file, base);
  if (!facts) return facts.error();
  for (std::size_t round = 0; round < facts->rounds.size(); ++round) {
    const auto vehicle = vehicle_of(file, base, *facts, round);
    if (!vehicle) return vehicle.error();
  }
  return facts;
}

Result<OpenCase, Problems> read_case(const std::string& shown, const std::string& text,
                                     const RuleBase& base) {
  auto file = CaseFile::parse(shown, text);
  if (!file) return file.error();
  auto facts = checked_facts(*file, base);
  if (!facts) return facts.error();
  return OpenCase{std::move(file).value(), std::move(facts).value()};
}

}  // namespace perrev
