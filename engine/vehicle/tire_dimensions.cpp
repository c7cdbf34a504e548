// From a designation to millimetres: which sizes exist, outer diameters and rolling circumferences.
//
// Metric sizes follow a formula, full-profile and flotation sizes a convention, inch truck sizes
// only a table. Sources stand beside the values.
#include <array>
#include <cmath>
#include <cstddef>
#include <string_view>

#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"
#include "engine/vehicle/tire_reading.h"

namespace perrev {

namespace {

constexpr double kInch = 25.4;  // mm

// Rolling circumference over outer diameter.
constexpr double kRadial = 3.05;        // ETRTO, also 15-degree truck rims in the EC wheel table
constexpr double kWideLowTruck = 3.03;  // EC simulator VECTO, Declaration/Rims.csv, class a
constexpr double kBiasCar = 2.99;       // ETRTO diagonal car tire, from memory
constexpr double kBiasTruck = 2.94;     // EC simulator VECTO, Declaration/Rims.csv, diagonal

// How far a diameter can be off that no formula gives: relative, one standard deviation, from
// memory.
constexpr double kFullProfileSd = 0.005;
constexpr double kFlotationSd = 0.007;
constexpr double kFromMemorySd = 0.005;
// Tube-type sizes on 16 and 20 in rims are up to 7 % taller than the rule says.
constexpr double kRuleOfThumbSd = 0.05;

struct InchSize {
  double width, rim;  // inches
  double outer;       // mm
  double sd;
};

constexpr std::array kInchSizes = {
    // EC simulator VECTO, Declaration/Wheels.csv.
    InchSize{9, 22.5, 970, 0},
    InchSize{10, 22.5, 1020, 0},
    InchSize{11, 22.5, 1050, 0},
    InchSize{12, 22.5, 1084, 0},
    InchSize{13, 22.5, 1124, 0},
    InchSize{9, 20, 1018, 0},
    InchSize{11, 20, 1082, 0},
    InchSize{12, 20, 1122, 0},
    InchSize{12, 24, 1226, 0},
    InchSize{14, 20, 1238, 0},
    InchSize{9.5, 17.5, 842, 0},
    InchSize{10, 17.5, 858, 0},
    // UN R54 design diameters, from memory. 10.00R20: the EC table has 1025, two digits swapped.
    InchSize{10, 20, 1052, kFromMemorySd},
    InchSize{16, 20, 1343, kFromMemorySd},
    InchSize{7.5, 20, 928, kFromMemorySd},
    InchSize{8.25, 20, 962, kFromMemorySd},
    InchSize{6, 16, 728, kFromMemorySd},
    InchSize{6.5, 16, 742, kFromMemorySd},
    InchSize{7, 16, 778, kFromMemorySd},
    InchSize{7.5, 16, 802, kFromMemorySd},
    InchSize{8.25, 16, 860, kFromMemorySd},
    InchSize{9, 16, 912, kFromMemorySd},
    InchSize{7, 15, 746, kFromMemorySd},
    InchSize{7.5, 15, 772, kFromMemorySd},
    InchSize{8.25, 15, 836, kFromMemorySd},
    InchSize{8, 17.5, 784, kFromMemorySd},
    InchSize{8.5, 17.5, 802, kFromMemorySd},
    InchSize{8, 19.5, 859, kFromMemorySd},
    InchSize{8, 22.5, 936, kFromMemorySd},
    // TRA light truck, from memory.
    InchSize{8.75, 16.5, 749, kFromMemorySd},
    InchSize{9.5, 16.5, 775, kFromMemorySd},
    InchSize{10, 16.5, 762, kFromMemorySd},
};

constexpr std::array kRimCodes = {10.0, 11.0, 12.0, 13.0, 14.0, 14.5, 15.0, 16.0, 16.5,
                                  17.0, 17.5, 18.0, 19.0, 19.5, 20.0, 21.0, 22.0, 22.5,
                                  23.0, 24.0, 24.5, 25.0, 26.0, 28.0, 30.0};
constexpr double kLowestMmRim = 300, kHighestMmRim = 550;

constexpr double kLowestOuter = 400, kHighestOuter = 1450;  // mm; outside lies no road vehicle
constexpr double kLowestSection = 30;                       // mm of sidewall: less is no tire

struct WideLow {
  double width, aspect;
};
constexpr std::array kWideLowSizes = {WideLow{295, 55}, WideLow{295, 60}, WideLow{315, 45},
                                      WideLow{315, 60}, WideLow{385, 55}, WideLow{385, 65}};

template <class T, std::size_t N>
bool contains(const std::array<T, N>& list, T value) {
  for (const T& each : list) {
    if (each == value) return true;
  }
  return false;
}

bool is_multiple_of_five(double value) { return std::fmod(value, 5.0) == 0.0; }

std::optional<Problem> check_metric_width(const TireReading& reading) {
  // Temporary spares run narrower than any other tire, some truck sizes wider.
  const double narrowest = reading.tire.temporary_spare() ? 95 : 125;
  const double width = reading.width.value;
  if (width < narrowest || width > 495) {
    return problem("no tire is " + reading.width.text + " mm wide",
                   "the width is 125 to 495, as in 225/60R16");
  }
  if (std::fmod(width, 10.0) != 5.0 && !(reading.rim.value >= 100 && is_multiple_of_five(width))) {
    return problem("no tire is " + reading.width.text + " mm wide",
                   "widths end in 5, as in 225/60R16");
  }
  return std::nullopt;
}

std::optional<Problem> check_aspect(const TireReading& reading) {
  constexpr double kOldFullProfile = 82;
  if (reading.aspect.text.empty()) return std::nullopt;
  const double aspect = reading.aspect.value;
  if (aspect >= 25 && aspect <= 100 && (is_multiple_of_five(aspect) || aspect == kOldFullProfile)) {
    return std::nullopt;
  }
  return problem("no tire has the aspect ratio " + reading.aspect.text,
                 "it is 25 to 100 in steps of 5, as in 225/60R16");
}

std::optional<Problem> check_inch_width(const TireReading& reading) {
  const double width = reading.width.value;
  if (width >= 3.0 && width <= 18.0) return std::nullopt;
  return problem("no tire is " + reading.width.text + " in wide",
                 "inch widths are 3 to 18, as in 7.50R16 or 31x10.50R15LT");
}

std::optional<Problem> check_rim(const TireReading& reading) {
  const double rim = reading.rim.value;
  if (contains(kRimCodes, rim)) return std::nullopt;
  if (rim >= kLowestMmRim && rim <= kHighestMmRim && is_multiple_of_five(rim)) return std::nullopt;
  return problem("no rim has the diameter " + reading.rim.text,
                 "it is 10 to 26 in, a half size from 14.5 to 24.5, or 300 to 550 mm");
}

struct Diameter {
  double mm;
  double sd;
};

Diameter inch_diameter(const TireReading& reading, double rim_mm) {
  for (const InchSize& size : kInchSizes) {
    if (size.width == reading.width.value && size.rim == reading.rim.value) {
      return {size.outer, size.sd};
    }
  }
  // Light truck convention, common practice: a width ending in 5 hundredths is the 82 series, any
  // other is about 92.
  const std::string& text = reading.width.text;
  const std::size_t point = text.find('.');
  const bool low = point != std::string::npos && text.size() == point + 3 && text.back() == '5';
  const double section = reading.width.value * kInch * (low ? 0.82 : 0.92);
  return {rim_mm + 2.0 * section, kRuleOfThumbSd};
}

Diameter outer_diameter(const TireReading& reading, double rim_mm) {
  // Without an aspect ratio a metric tire is full profile: 80 % fits the published sizes (155R13
  // 578 mm, 185R14C 650 mm, from memory) better than the often named 82 %.
  constexpr double kFullProfile = 80.0;
  // A flotation tire is half an inch smaller than its name: TRA practice, from memory.
  constexpr double kFlotationLess = 0.5;
  switch (reading.tire.kind) {
    case TireKind::flotation:
      return {(reading.outer.value - kFlotationLess) * kInch, kFlotationSd};
    case TireKind::millimetre:
      return {reading.outer.value, 0.0};
    case TireKind::inch:
      return inch_diameter(reading, rim_mm);
    case TireKind::metric:
      break;
  }
  const bool full = reading.aspect.text.empty();
  const double aspect = full ? kFullProfile : reading.aspect.value;
  return {rim_mm + 2.0 * reading.width.value * aspect / 100.0, full ? kFullProfileSd : 0.0};
}

double circumference_factor(const TireReading& reading) {
  const Tire& tire = reading.tire;
  if (tire.construction != TireConstruction::radial) {
    return tire.kind == TireKind::metric ? kBiasCar : kBiasTruck;
  }
  if (reading.rim.value == 22.5) {
    for (const WideLow& size : kWideLowSizes) {
      if (size.width == tire.width_mm && size.aspect == tire.aspect_percent) return kWideLowTruck;
    }
  }
  return kRadial;
}

}  // namespace

std::optional<Problem> check_numbers(const TireReading& reading) {
  const bool inches =
      reading.tire.kind == TireKind::inch || reading.tire.kind == TireKind::flotation;
  if (auto wrong = inches ? check_inch_width(reading) : check_metric_width(reading)) return wrong;
  if (auto wrong = check_aspect(reading)) return wrong;
  return check_rim(reading);
}

std::optional<Problem> settle_dimensions(TireReading& reading) {
  Tire& tire = reading.tire;
  const bool inches = tire.kind == TireKind::inch || tire.kind == TireKind::flotation;
  tire.rim_mm = reading.rim.value >= 100 ? reading.rim.value : reading.rim.value * kInch;
  tire.width_mm = reading.width.value * (inches ? kInch : 1.0);
  tire.aspect_percent = reading.aspect.value;
  const Diameter outer = outer_diameter(reading, tire.rim_mm);
  if (outer.mm < kLowestOuter || outer.mm > kHighestOuter) {
    return problem("the tire would be " + show_number(outer.mm) + " mm across",
                   "tires of road vehicles measure 400 to 1450 mm");
  }
  if (outer.mm < tire.rim_mm + 2.0 * kLowestSection) {
    return problem("the tire would be hardly larger than its rim",
                   "check the outer diameter and the rim");
  }
  tire.outer_diameter = outer.mm / 1000.0;
  tire.size_sd = outer.sd;
  tire.rolling_circumference = circumference_factor(reading) * tire.outer_diameter;
  return std::nullopt;
}

}  // namespace perrev
