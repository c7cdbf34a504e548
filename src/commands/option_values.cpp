#include "src/commands/option_values.h"

#include "engine/quantity/text.h"
#include "src/commands/common.h"

namespace perrev {

std::optional<double> OptionReader::quantity(const std::string& option, const Given& text,
                                             Dimension due, const Allowed& allowed,
                                             const char* bare_unit) {
  if (!text) return std::nullopt;
  const auto read =
      bare_unit ? parse_quantity_in(*text, due, bare_unit) : parse_quantity(*text, due);
  if (!read) {
    fault(option, read.error());
    return std::nullopt;
  }
  if (*read < allowed.low || *read > allowed.high) {
    fault(option, problem(perrev::quoted(*text) + " is out of range", allowed.words));
    return std::nullopt;
  }
  return *read;
}

std::optional<int> OptionReader::whole_number(const std::string& option, const Given& text, int low,
                                              int high) {
  if (!text) return std::nullopt;
  const auto read = parse_decimal(*text);
  for (int n = low; n <= high; ++n)
    if (read && *read == n) return n;
  fault(option,
        problem(perrev::quoted(*text) + " is out of range",
                "a whole number from " + std::to_string(low) + " to " + std::to_string(high)));
  return std::nullopt;
}

std::optional<Tire> OptionReader::tire(const std::string& option, const Given& text) {
  if (!text) return std::nullopt;
  auto read = parse_tire(*text);
  if (read) return std::move(read).value();
  fault(option, read.error());
  return std::nullopt;
}

void OptionReader::fault(const std::string& option, Problem problem) {
  faults_.emplace_back(option, std::move(problem));
}

Exit OptionReader::tell() const {
  for (const auto& [option, problem] : faults_) tell_option(option, problem);
  return Exit::bad_input;
}

}  // namespace perrev
