#include "src/commands/common.h"

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <iostream>
#include <istream>
#include <limits>

#include "engine/quantity/text.h"
#include "src/files.h"
#include "src/user_folders.h"

namespace perrev {

void add_units_and_json(CLI::App& command, Common& common) {
  command.add_flag("--json", common.json, "print JSON with metric numbers");
  command.add_option("--units", common.units_name, "us or metric, for plain output")
      ->check(CLI::IsMember({"us", "metric"}))
      ->capture_default_str();
}

void add_rules_option(CLI::App& command, Common& common) {
  command.add_option("--rules", common.rules, "folder of the rule base")->type_name("FOLDER");
}

void add_shop_option(CLI::App& command, Common& common) {
  command
      .add_option("--shop", common.shop,
                  "what your own shop has and what things take there: a file like shop.yaml")
      ->type_name("FILE");
}

CLI::Validator number_from(double low, double high) {
  const std::string from = show_number(low), to = show_number(high);
  return {[=](const std::string& text) {
            double value = 0.0;
            const bool is_number = CLI::detail::lexical_cast(text, value);
            if (is_number && value >= low && value <= high) return std::string();
            return perrev::quoted(text) + " is not a number from " + from + " to " + to;
          },
          "FLOAT in [" + from + " - " + to + "]"};
}

CLI::Validator whole_number() {
  return {
      [](const std::string& text) {
        const std::string most = std::to_string(std::numeric_limits<std::uint64_t>::max());
        const bool digits = !text.empty() && text.find_first_not_of("0123456789") == text.npos;
        if (digits && (text.size() < most.size() || (text.size() == most.size() && text <= most)))
          return std::string();
        return perrev::quoted(text) + " is not a whole number from 0 on";
      },
      "NONNEGATIVE"};
}

std::optional<std::string> typed_line(std::istream& in) {
  constexpr std::size_t kLongest = 1u << 16;
  std::string out;
  for (char c = 0; in.get(c);) {
    if (c == '\n') return out;
    if (out.size() == kLongest) return std::nullopt;
    out += c;
  }
  return out.empty() ? std::nullopt : std::optional<std::string>(out);
}

std::string default_store() {
  const std::string data = data_home();
  return data.empty() ? data : data + "/perrev/shop.db";
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

Result<CaseFromFile, Problems> open_case(const std::string& path, const RuleBase& base) {
  auto text = read_file_or_input(path, kLargestCaseFile);
  if (!text) return Problems{text.error()};
  auto read = read_case(path == "-" ? "standard input" : path, *text, base);
  if (!read) return read.error();
  return CaseFromFile{std::move(read).value(), std::move(text).value()};
}

Result<std::optional<CaseFromFile>, Problems> open_if_given(const std::string& path,
                                                            const RuleBase& base) {
  if (path.empty()) return std::optional<CaseFromFile>();
  auto read = open_case(path, base);
  if (!read) return read.error();
  return std::optional<CaseFromFile>(std::move(read).value());
}

Result<OpenCase, Problems> read_longer(const std::string& path, const std::string& text,
                                       const RuleBase& base) {
  if (text.size() > kLargestCaseFile)
    return Problems{problem("the case would be larger than 16 MiB", "a shorter answer")};
  return read_case(path, text, base);
}

Problems write_longer(const std::string& path, const CaseFromFile& read, const CaseFile& longer,
                      const RuleBase& base) {
  if (path == "-")
    return {problem("nothing can be kept in standard input", "the path of the case's file")};
  const std::string text = longer.text();
  if (const auto again = read_longer(path, text, base); !again) return again.error();
  return write_files({{link_target(path), read.text, text}});
}

std::string utc(std::time_t seconds, const char* format) {
  std::tm parts{};
  ::gmtime_r(&seconds, &parts);
  char text[32];
  std::strftime(text, sizeof text, format, &parts);
  return text;
}

std::string next_moment(const CaseFile& file) {
  constexpr std::int64_t kLast = 253402300799;  // s since 1970: the end of the year 9999
  std::int64_t latest = std::chrono::duration_cast<std::chrono::milliseconds>(
                            std::chrono::system_clock::now().time_since_epoch())
                            .count();
  for (const Entry& entry : file.entries()) latest = std::max(latest, entry.key().milliseconds);
  const std::int64_t seconds = latest < 1000 * kLast ? (latest + 999) / 1000 : kLast;
  return utc(static_cast<std::time_t>(seconds), "%Y-%m-%dT%H:%M:%SZ");
}

}  // namespace perrev
