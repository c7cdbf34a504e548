// What the commands share: options, problems, cases from files.
#pragma once

#include <ctime>
#include <iosfwd>
#include <optional>
#include <string>

#include "engine/knowledge/rule_base.h"
#include "src/answers/open_case.h"
#include "src/answers/words.h"
#include "src/commands/commands.h"

namespace perrev {

void add_units_and_json(CLI::App& command, Common& common);
void add_rules_option(CLI::App& command, Common& common);
// --shop: a file that stands for shop.yaml of the rule base.
void add_shop_option(CLI::App& command, Common& common);

// For options that are a number: a finite one, both ends included; digits alone, as many as fit.
CLI::Validator number_from(double low, double high);
CLI::Validator whole_number();
// A line that a person typed; nothing at the end of the input, nor where a line has no end.
std::optional<std::string> typed_line(std::istream& in);

// Where the shop's cases are kept unless --store says otherwise; empty: no home folder is set.
std::string default_store();

// All problems to stderr; always Exit::bad_input.
Exit tell(const Problems& problems);
Exit tell(const Problem& problem);
// A problem with an option's value: "--speed: ...".
Exit tell_option(const std::string& option, const Problem& problem);

struct CaseFromFile : OpenCase {
  std::string text;  // as it was read
};
// "-" is standard input.
Result<CaseFromFile, Problems> open_case(const std::string& path, const RuleBase& base);
// Nothing where the path is empty.
Result<std::optional<CaseFromFile>, Problems> open_if_given(const std::string& path,
                                                            const RuleBase& base);
// A case with something added, as any later start will read it.
Result<OpenCase, Problems> read_longer(const std::string& path, const std::string& text,
                                       const RuleBase& base);
// Writes it over the file, unless that is no longer what was read or could not be opened again.
Problems write_longer(const std::string& path, const CaseFromFile& read, const CaseFile& longer,
                      const RuleBase& base);

// Of a moment in UTC, as strftime writes it.
std::string utc(std::time_t seconds, const char* format);
// When an entry that is added now happened, in ISO 8601: by the clock, never before the latest
// entry of the case.
std::string next_moment(const CaseFile& file);

}  // namespace perrev
