#include "src/commands/common.h"

#include <cstdlib>
#include <iostream>

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

// XDG Base Directory Specification 0.8: a relative path there is to be ignored.
std::string default_store() {
  const char* data = std::getenv("XDG_DATA_HOME");
  if (data && *data == '/') return std::string(data) + "/perrev/shop.db";
  const char* home = std::getenv("HOME");
  return home && *home ? std::string(home) + "/.local/share/perrev/shop.db" : std::string();
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

Result<OpenCase, Problems> open_case(const std::string& path, const RuleBase& base) {
  const auto text = read_file_or_input(path, kLargestCaseFile);
  if (!text) return Problems{text.error()};
  return read_case(path == "-" ? "standard input" : path, *text, base);
}

Result<std::optional<OpenCase>, Problems> open_if_given(const std::string& path,
                                                        const RuleBase& base) {
  if (path.empty()) return std::optional<OpenCase>();
  auto read = open_case(path, base);
  if (!read) return read.error();
  return std::optional<OpenCase>(std::move(read).value());
}

}  // namespace perrev
