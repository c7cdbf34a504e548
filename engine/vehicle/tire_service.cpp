#include "engine/vehicle/tire_service.h"

#include <array>
#include <cmath>
#include <cstddef>

namespace perrev {

namespace {

struct SpeedSymbol {
  char letter;
  double kmh;
};

// H stands out of the alphabet: it is older than the rest.
constexpr std::array kSpeedSymbols = {
    SpeedSymbol{'F', 80},  SpeedSymbol{'G', 90},  SpeedSymbol{'J', 100}, SpeedSymbol{'K', 110},
    SpeedSymbol{'L', 120}, SpeedSymbol{'M', 130}, SpeedSymbol{'N', 140}, SpeedSymbol{'P', 150},
    SpeedSymbol{'Q', 160}, SpeedSymbol{'R', 170}, SpeedSymbol{'S', 180}, SpeedSymbol{'T', 190},
    SpeedSymbol{'U', 200}, SpeedSymbol{'H', 210}, SpeedSymbol{'V', 240}, SpeedSymbol{'W', 270},
    SpeedSymbol{'Y', 300},
};

constexpr int kTableStart = 60;
constexpr std::array kLoads = {
    250,  257,  265,  272,  280,  290,  300,  307,  315,  325,   // 60
    335,  345,  355,  365,  375,  387,  400,  412,  425,  437,   // 70
    450,  462,  475,  487,  500,  515,  530,  545,  560,  580,   // 80
    600,  615,  630,  650,  670,  690,  710,  730,  750,  775,   // 90
    800,  825,  850,  875,  900,  925,  950,  975,  1000, 1030,  // 100
    1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360,  // 110
    1400, 1450, 1500, 1550, 1600, 1650, 1700, 1750, 1800, 1850,  // 120
    1900, 1950, 2000, 2060, 2120, 2180, 2240, 2300, 2360, 2430,  // 130
    2500, 2575, 2650, 2725, 2800, 2900, 3000, 3075, 3150, 3250,  // 140
    3350, 3450, 3550, 3650, 3750, 3875, 4000, 4125, 4250, 4375,  // 150
    4500,                                                        // 160
};

// The table steps by about half a percent of the load: 5 kg near 1000 kg, 25 kg near 5000 kg.
double rounding_step(double kg) {
  if (kg < 250) return 1.0;
  if (kg < 1000) return 5.0;
  return kg < 2500 ? 10.0 : 25.0;
}

constexpr std::string_view kLoadRanges = "BCDEFGHJLMN";  // B is 4 plies, each next letter 2 more

}  // namespace

std::optional<double> kmh_of_speed_symbol(char symbol) {
  for (const SpeedSymbol& each : kSpeedSymbols) {
    if (each.letter == symbol) return each.kmh;
  }
  return std::nullopt;
}

double kg_of_load_index(int index) {
  const int row = index - kTableStart;
  if (row >= 0 && row < static_cast<int>(kLoads.size())) {
    return kLoads[static_cast<std::size_t>(row)];
  }
  const double kg = 45.0 * std::pow(10.0, index / 80.0);
  const double step = rounding_step(kg);
  return std::round(kg / step) * step;
}

bool is_load_range(char letter) { return kLoadRanges.find(letter) != std::string_view::npos; }

std::optional<char> load_range_of_plies(int plies) {
  const int at = plies / 2 - 2;
  if (plies % 2 != 0 || at < 0 || at >= static_cast<int>(kLoadRanges.size())) return std::nullopt;
  return kLoadRanges[static_cast<std::size_t>(at)];
}

}  // namespace perrev
