#include "src/commands/common.h"

#include <cstdio>
#include <iostream>

#include "engine/casefile/vehicle_of.h"
#include "src/files.h"

namespace perrev {

void add_units_and_json(CLI::App& command, Common& common) {
  command.add_flag("--json", common.json, "print JSON with metric numbers");
  command.add_option("--units", common.units_name, "us or metric, for plain output")
      ->check(CLI::IsMember({"us", "metric"}))
      ->capture_default_str();
}

void add_rules_option(CLI::App& command, Common& common) {
  command.add_option("--rules", common.rules, "folder of the rule base");
}

void add_shop_option(CLI::App& command, Common& common) {
  command.add_option("--shop", common.shop,
                     "what your own shop has and what things take there: a file like shop.yaml");
}

Exit tell(const Problems& problems) {
  for (const Problem& p : problems) std::cerr << p.text() << "\n";
  return Exit::bad_input;
}

Exit tell(const Problem& problem) { return tell(Problems{problem}); }

Exit tell_option(const std::string& option, const Problem& problem) {
  Problem named = problem;
  named.what = option + ": " + named.what;
  return tell(named);
}

std::string wrapped(const std::string& raw, std::size_t first_indent, std::size_t indent) {
  std::string text;
  for (const char c : raw) text += static_cast<unsigned char>(c) < 0x20u || c == 0x7f ? ' ' : c;
  std::string out, line(first_indent, ' ');
  bool empty = true;
  std::size_t at = 0;
  while (at < text.size()) {
    std::size_t end = text.find(' ', at);
    if (end == std::string::npos) end = text.size();
    const std::string word = text.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    if (!empty && line.size() + 1 + word.size() > kColumns) {
      out += line + "\n";
      line.assign(indent, ' ');
      empty = true;
    }
    if (!empty) line += ' ';
    line += word;
    empty = false;
  }
  return out + line + "\n";
}

std::string percent(double probability) {
  if (probability < 0.005) return probability > 0.0 ? "under 1 %" : "0 %";
  if (probability >= 0.995) return "over 99 %";
  char shown[16];
  std::snprintf(shown, sizeof shown, "%.0f %%", 100.0 * probability);
  return shown;
}

Result<OpenCase, Problems> open_case(const std::string& path, const RuleBase& base) {
  const auto text = read_file_or_input(path, kLargestCaseFile);
  if (!text) return Problems{text.error()};
  return read_case(path == "-" ? "standard input" : path, *text, base);
}

Result<OpenCase, Problems> read_case(const std::string& shown, const std::string& text,
                                     const RuleBase& base) {
  auto file = CaseFile::parse(shown, text);
  if (!file) return file.error();
  auto facts = facts_of(*file, base);
  if (!facts) return facts.error();
  for (std::size_t round = 0; round < facts->rounds.size(); ++round) {
    const auto vehicle = vehicle_of(*file, base, *facts, round);
    if (!vehicle) return vehicle.error();
  }
  return OpenCase{std::move(file).value(), std::move(facts).value()};
}

}  // namespace perrev
