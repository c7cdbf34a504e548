// What the commands share: options, problems, plain text that fits 80 columns.
#pragma once

#include <optional>
#include <string>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"
#include "src/commands/commands.h"

namespace perrev {

inline constexpr std::size_t kColumns = 80;
inline constexpr std::size_t kLargestCaseFile = 16u << 20;

void add_units_and_json(CLI::App& command, Common& common);
void add_rules_option(CLI::App& command, Common& common);
// --shop: a file that stands for shop.yaml of the rule base.
void add_shop_option(CLI::App& command, Common& common);

// All problems to stderr; always Exit::bad_input.
Exit tell(const Problems& problems);
Exit tell(const Problem& problem);
// A problem with an option's value: "--speed: ...".
Exit tell_option(const std::string& option, const Problem& problem);

// Text broken at blanks to kColumns; lines after the first are indented.
std::string wrapped(const std::string& text, std::size_t first_indent, std::size_t indent);
// A probability for people: "34 %", "under 1 %".
std::string percent(double probability);

// A case read against the rule base, with its axles checked.
struct OpenCase {
  CaseFile file;
  CaseFacts facts;
};
Result<OpenCase, Problems> open_case(const std::string& path, const RuleBase& base);
Result<OpenCase, Problems> read_case(const std::string& shown, const std::string& text,
                                     const RuleBase& base);

}  // namespace perrev
