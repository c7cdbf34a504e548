#include "engine/recording/recording_units.h"

#include <array>

#include "engine/quantity/text.h"
#include "engine/quantity/units.h"

namespace perrev {

namespace {

struct Spelling {
  Measured what;
  std::string_view written;  // as `plain` leaves it
  double size;
};

// What quantity/units.h does not know, as it never stands in front of a person.
constexpr double kKnot = 1852.0 / 3600.0;  // international knot, BIPM SI brochure
constexpr std::array kSpellings = {
    Spelling{Measured::time, "seconds", 1.0},
    Spelling{Measured::time, "second", 1.0},
    Spelling{Measured::time, "secs", 1.0},
    Spelling{Measured::time, "msec", 1e-3},
    Spelling{Measured::time, "millis", 1e-3},
    Spelling{Measured::time, "milliseconds", 1e-3},
    Spelling{Measured::time, "us", 1e-6},
    Spelling{Measured::time, "usec", 1e-6},
    Spelling{Measured::time, "micros", 1e-6},
    Spelling{Measured::time, "microseconds", 1e-6},
    Spelling{Measured::time, "ns", 1e-9},
    Spelling{Measured::time, "nsec", 1e-9},
    Spelling{Measured::time, "nanos", 1e-9},
    Spelling{Measured::time, "nanoseconds", 1e-9},
    Spelling{Measured::acceleration, "g", kStandardGravity},
    Spelling{Measured::acceleration, "gs", kStandardGravity},
    Spelling{Measured::acceleration, "gn", kStandardGravity},
    Spelling{Measured::acceleration, "mg", kStandardGravity / 1000.0},
    Spelling{Measured::acceleration, "m/s2", 1.0},
    Spelling{Measured::acceleration, "m/s/s", 1.0},
    Spelling{Measured::acceleration, "m/sec2", 1.0},
    Spelling{Measured::acceleration, "mps2", 1.0},
    Spelling{Measured::acceleration, "mpss", 1.0},
    Spelling{Measured::acceleration, "ms2", 1.0},  // m_s2
    Spelling{Measured::acceleration, "ms-2", 1.0},
    Spelling{Measured::speed, "mps", 1.0},
    Spelling{Measured::speed, "ms", 1.0},  // m_s
    Spelling{Measured::speed, "ms-1", 1.0},
    Spelling{Measured::speed, "m/sec", 1.0},
    Spelling{Measured::speed, "kmph", 1.0 / 3.6},
    Spelling{Measured::speed, "kmhr", 1.0 / 3.6},
    Spelling{Measured::speed, "km/hr", 1.0 / 3.6},
    Spelling{Measured::speed, "kn", kKnot},
    Spelling{Measured::speed, "kt", kKnot},
    Spelling{Measured::speed, "kts", kKnot},
    Spelling{Measured::speed, "knot", kKnot},
    Spelling{Measured::speed, "knots", kKnot},
    Spelling{Measured::turning, "revs/min", 1.0 / 60.0},
    Spelling{Measured::turning, "rev/min", 1.0 / 60.0},
    Spelling{Measured::turning, "min-1", 1.0 / 60.0},
    Spelling{Measured::turning, "u/min", 1.0 / 60.0},
    Spelling{Measured::turning, "rps", 1.0},
};

Dimension dimension_of(Measured what) {
  switch (what) {
    case Measured::time:
      return Dimension::time;
    case Measured::speed:
      return Dimension::speed;
    default:
      return Dimension::frequency;
  }
}

void replace_all(std::string& text, std::string_view from, std::string_view to) {
  for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size())
    text.replace(at, from.size(), to);
}

std::string plain(std::string_view unit) {
  std::string out = lower_case(trimmed(unit));
  replace_all(out, "\xC2\xB2", "2");               // superscript two
  replace_all(out, "\xE2\x81\xBB\xC2\xB9", "-1");  // superscript minus one
  replace_all(out, "\xE2\x81\xBB", "-");
  replace_all(out, "\xC2\xB5", "u");  // micro sign
  replace_all(out, "\xCE\xBC", "u");  // Greek mu
  replace_all(out, "\xC2\xB7", "");   // middle dot
  replace_all(out, "\xB2", "2");      // superscript two and micro sign of Latin-1
  replace_all(out, "\xB5", "u");
  for (const std::string_view mark : {" ", "^", "*", "_", "."}) replace_all(out, mark, "");
  return out;
}

}  // namespace

std::optional<double> unit_size(Measured what, std::string_view unit) {
  const std::string name = plain(unit);
  if (name.empty()) return std::nullopt;
  for (const Spelling& each : kSpellings)
    if (each.what == what && each.written == name) return each.size;
  if (what == Measured::acceleration) return std::nullopt;
  const Unit* known = find_unit(name == "hz" ? "Hz" : name, dimension_of(what));
  return known ? std::optional(known->size) : std::nullopt;
}

bool is_unit(std::string_view text) {
  for (const Measured what :
       {Measured::time, Measured::acceleration, Measured::speed, Measured::turning})
    if (unit_size(what, text)) return true;
  return false;
}

std::string_view usual_units(Measured what) {
  switch (what) {
    case Measured::time:
      return "s, ms, us or ns";
    case Measured::acceleration:
      return "g, mg or m/s2";
    case Measured::speed:
      return "mph, km/h, m/s or knots";
    default:
      return "rpm or Hz";
  }
}

std::string_view name_of(Measured what) {
  switch (what) {
    case Measured::time:
      return "time";
    case Measured::acceleration:
      return "acceleration";
    case Measured::speed:
      return "speed";
    default:
      return "engine speed";
  }
}

}  // namespace perrev
