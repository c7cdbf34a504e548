#include "src/answers/recording/recording_terms.h"

#include <cmath>

#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"
#include "engine/recording/recording_units.h"

namespace perrev {

namespace {

constexpr double kMostSpeed = 110.0, kMostEngineHz = 20000.0 / 60.0;
constexpr char kSpeedsHeld[] = "above 0, up to 246 mph (396 km/h)";
constexpr char kEngineSpeedsHeld[] = "above 0, up to 20000 rpm";
constexpr double kMostOffset = 3600.0;  // s

bool is_role(std::string_view word) {
  for (std::size_t role = 0; role < kRoles; ++role)
    if (word == name_of(static_cast<Role>(role))) return true;
  return false;
}

void add_fault(Problems& to, const std::string& word, Problem of) {
  of.place.pointer = "/" + word;
  to.push_back(std::move(of));
}

// What is said of one file.
class ReadingWordsReader {
 public:
  ReadingWordsReader(const ReadingWords& words, std::string before, Problems& problems)
      : words_(words), before_(std::move(before)), problems_(problems) {}

  ReadingOptions options() {
    ReadingOptions out;
    out.time_unit = unit("time_unit", Measured::time, words_.time_unit);
    out.acceleration_unit =
        unit("acceleration_unit", Measured::acceleration, words_.acceleration_unit);
    out.speed_unit = unit("speed_unit", Measured::speed, words_.speed_unit);
    out.engine_unit = unit("engine_unit", Measured::turning, words_.engine_unit);
    out.columns = columns();
    for (const std::string& text : words_.full_scale) out.full_scale.push_back(full_scale(text));
    channels(out);
    out.rows_per_second = rows_per_second();
    return out;
  }

 private:
  void fault(const char* where, Problem of) {
    add_fault(problems_, before_ + where, std::move(of));
  }

  std::string unit(const char* where, Measured what, const std::string& text) {
    if (!text.empty() && !unit_size(what, text))
      fault(where, problem(perrev::quoted(text) + " is no unit of " + std::string(name_of(what)),
                           std::string(usual_units(what))));
    return text;
  }

  std::map<std::string, std::string> columns() {
    for (const auto& [role, name] : words_.columns)
      if (!is_role(role))
        fault("columns", problem(perrev::quoted(role) + " is nothing that a column can be",
                                 "time, x, y, z, speed or engine"));
    return words_.columns;
  }

  // "2 g", "19.6 m/s2".
  double full_scale(const std::string& text) {
    const std::size_t unit = text.find_first_not_of("0123456789.,");
    const auto number = parse_decimal(text.substr(0, unit));
    const auto size = unit == std::string::npos
                          ? std::nullopt
                          : unit_size(Measured::acceleration, trimmed(text.substr(unit)));
    if (number && size && *number > 0.0) return *number * *size;
    fault("full_scale", problem(perrev::quoted(text) + " is no acceleration", "\"2 g\""));
    return 0.0;
  }

  void channels(ReadingOptions& into) {
    if (words_.channels.empty()) return;
    bool good = words_.channels.size() <= kAxes;
    for (const int channel : words_.channels) good = good && channel >= 0 && channel <= 16;
    if (!good)
      return fault("channels", problem("channels are numbers from 1 to 16, 0 for none, of ahead, "
                                       "left and up",
                                       "\"1,2,3\""));
    for (std::size_t i = 0; i < words_.channels.size(); ++i) into.channels[i] = words_.channels[i];
  }

  double rows_per_second() {
    if (words_.rows_per_second.empty()) return 0.0;
    const auto hz = parse_quantity_in(words_.rows_per_second, Dimension::frequency, "Hz");
    if (!hz) return fault("rows_per_second", hz.error()), 0.0;
    return *hz;
  }

  const ReadingWords& words_;
  std::string before_;
  Problems& problems_;
};

class WordsReader {
 public:
  explicit WordsReader(const RecordingWords& words) : words_(words) {}

  Result<RecordingTerms, Problems> terms() {
    RecordingTerms out;
    out.reading = ReadingWordsReader(words_.reading, "", problems_).options();
    out.speed_file = ReadingWordsReader(words_.speed_file, "speed_file_", problems_).options();
    out.speed = held("speed", words_.speed, Dimension::speed, kMostSpeed);
    out.engine_hz = held("rpm", words_.rpm, Dimension::frequency, kMostEngineHz);
    out.offset = offset();
    out.by = speed_source_named(words_.by);
    if (!words_.by.empty() && out.by == SpeedSource::unknown)
      fault("by", problem(perrev::quoted(words_.by) + " shows no speed", "gps or speedometer"));
    if (!problems_.empty()) return problems_;
    return out;
  }

 private:
  void fault(const char* where, Problem of) { add_fault(problems_, where, std::move(of)); }

  std::optional<double> held(const char* where, const std::string& text, Dimension due,
                             double most) {
    if (text.empty()) return std::nullopt;
    const auto value = parse_quantity(text, due);
    if (!value) return fault(where, value.error()), std::nullopt;
    if (*value > 0.0 && *value <= most) return *value;
    fault(where, problem(perrev::quoted(text) + " is held by no car",
                         due == Dimension::speed ? kSpeedsHeld : kEngineSpeedsHeld));
    return std::nullopt;
  }

  // May be negative.
  std::optional<double> offset() {
    std::string text(trimmed(words_.offset));
    if (text.empty()) return std::nullopt;
    const double sign = text.front() == '-' ? -1.0 : 1.0;
    if (text.front() == '-' || text.front() == '+') text.erase(0, 1);
    const auto value = parse_quantity_in(text, Dimension::time, "s");
    if (!value) return fault("offset", value.error()), std::nullopt;
    if (*value > kMostOffset)
      fault("offset", problem("clocks are not that far apart", "up to an hour"));
    return sign * *value;
  }

  const RecordingWords& words_;
  Problems problems_;
};

}  // namespace

Result<RecordingTerms, Problems> terms_of(const RecordingWords& words) {
  return WordsReader(words).terms();
}

}  // namespace perrev
