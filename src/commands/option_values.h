// Values of options that `tire` and `orders` share: read with every fault told.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/quantity/quantity.h"
#include "engine/vehicle/rotation.h"
#include "src/commands/commands.h"

namespace perrev {

// The text of an option, if it was given.
using Given = std::optional<std::string>;

// Reads one option after the other and keeps what is wrong with each. An option that was not given
// is nothing, and no fault.
class OptionReader {
 public:
  // What an option may be, SI, both ends included; `words` say it in a problem: "from 1 to 500
  // km/h".
  struct Allowed {
    double low, high;
    const char* words;
  };

  // `bare_unit` is the unit of a bare number where the option's name shows it; else none is taken.
  std::optional<double> quantity(const std::string& option, const Given& text, Dimension due,
                                 const Allowed& allowed, const char* bare_unit = nullptr);
  std::optional<int> whole_number(const std::string& option, const Given& text, int low, int high);
  std::optional<Tire> tire(const std::string& option, const Given& text);
  void fault(const std::string& option, Problem problem);

  bool failed() const { return !faults_.empty(); }
  // One line each to stderr.
  Exit tell() const;

 private:
  std::vector<std::pair<std::string, Problem>> faults_;
};

// What a road speed may be.
inline constexpr OptionReader::Allowed kRoadSpeed{1.0 / 3.6, 500.0 / 3.6, "from 1 to 500 km/h"};

}  // namespace perrev
