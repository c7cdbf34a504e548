#include "engine/vehicle/tire.h"

#include <string>

#include "engine/quantity/text.h"
#include "engine/vehicle/tire_reading.h"
#include "engine/vehicle/tire_service.h"
#include "engine/vehicle/tire_tail.h"

namespace perrev {

namespace {

constexpr double kMetresPerSecond = 1000.0 / 3600.0;  // one km/h

// Above what speed a radial of the old marking runs, whose symbol stands before the R: UN R30 in
// its first series, from memory.
constexpr double kAboveZ = 240, kAboveOldV = 210;

// The grammar lets no other letter through.
double kmh_of(char symbol) { return kmh_of_speed_symbol(symbol).value_or(0.0); }

void settle_service(const TireReading& reading, Tire& tire) {
  if (tire.load_index) tire.maximum_load_kg = kg_of_load_index(*tire.load_index);
  const std::string& symbol = tire.speed_symbol;
  if (!symbol.empty()) {
    const bool bracketed = symbol[0] == '(';
    tire.maximum_speed = kmh_of(symbol[bracketed ? 1 : 0]) * kMetresPerSecond;
    tire.above_maximum = bracketed;
    return;
  }
  const char before = reading.before_radial;
  if (before == 0) return;
  tire.above_maximum = before == 'Z' || before == 'V';
  const double kmh = before == 'Z' ? kAboveZ : before == 'V' ? kAboveOldV : kmh_of(before);
  tire.maximum_speed = kmh * kMetresPerSecond;
  if (before != 'Z') tire.speed_symbol = std::string(1, before);
}

// A dash before a rim in mm would make a diameter of it.
bool bias_is_a_letter(const TireReading& reading) {
  constexpr double kSmallestMmRim = 100;
  const Tire& tire = reading.tire;
  return reading.rim.value >= kSmallestMmRim || tire.kind == TireKind::millimetre ||
         (tire.kind == TireKind::metric && !tire.prefix.empty());
}

std::string construction_of(const TireReading& reading) {
  const Tire& tire = reading.tire;
  switch (tire.construction) {
    case TireConstruction::bias:
      return bias_is_a_letter(reading) ? "D" : "-";
    case TireConstruction::bias_belted:
      return "B";
    case TireConstruction::radial:
      break;
  }
  const std::string before =
      reading.before_radial == 0 ? "" : std::string(1, reading.before_radial);
  return before + (tire.run_flat ? "RF" : "R");
}

std::string service_of(const TireReading& reading) {
  const Tire& tire = reading.tire;
  if (!tire.load_index) return {};
  std::string out = std::to_string(*tire.load_index);
  if (tire.load_index_dual) out += "/" + std::to_string(*tire.load_index_dual);
  const std::string& symbol = tire.speed_symbol;
  return symbol[0] == '(' ? "(" + out + symbol.substr(1) : out + symbol;
}

// As it is not misread: on a size without a prefix a lone C says commercial, and the load range
// goes by its plies there; truck letters on a passenger size go by their words.
std::string load_range_of(const TireReading& reading) {
  const Tire& tire = reading.tire;
  const std::string& range = tire.load_range;
  const bool commercial = range == "C" && tire.prefix.empty() && !tire.commercial &&
                          tire.kind != TireKind::flotation && !tire.load_index;
  if (commercial) return "6PR";
  return range.size() == 1 && is_stray_range(range[0], reading) ? "LR" + range : range;
}

void append_word(std::string& text, const std::string& word) {
  if (!word.empty()) text += " " + word;
}

}  // namespace

std::string spell(const TireReading& reading) {
  const Tire& tire = reading.tire;
  const std::string construction = construction_of(reading);
  std::string out;
  switch (tire.kind) {
    case TireKind::metric:
      out = tire.prefix + reading.width.text;
      if (!reading.aspect.text.empty()) out += "/" + reading.aspect.text;
      out += construction + reading.rim.text;
      break;
    case TireKind::flotation:
      out = reading.outer.text + "x" + reading.width.text + construction + reading.rim.text +
            tire.prefix;
      break;
    case TireKind::inch:
      out = reading.width.text + construction + reading.rim.text + tire.prefix;
      break;
    case TireKind::millimetre:
      out = tire.prefix + reading.width.text + "-" + reading.outer.text + " " + construction + " " +
            reading.rim.text;
      break;
  }
  if (tire.commercial) out += "C";
  append_word(out, tire.rim_suffix);
  append_word(out, service_of(reading));
  append_word(out, load_range_of(reading));
  append_word(out, tire.marks);
  return out;
}

Result<Tire> parse_tire(std::string_view text) {
  const auto told = [&](Problem trouble) {
    if (!trimmed(text).empty()) trouble.what = quoted(trimmed(text)) + ": " + trouble.what;
    return trouble;
  };
  Result<TireReading> reading = read_designation(text);
  if (!reading) return told(reading.error());
  if (auto trouble = settle_dimensions(reading.value())) return told(*trouble);
  Tire tire = reading->tire;
  settle_service(*reading, tire);
  tire.designation = spell(*reading);
  return tire;
}

}  // namespace perrev
