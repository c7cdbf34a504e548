// Diameters, rolling circumferences and turns against published values, and what wear and pressure
// do.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "engine/vehicle/tire.h"

using perrev::Estimate;
using perrev::parse_tire;
using perrev::rolling_circumference;
using perrev::Tire;
using perrev::TireState;

namespace {

Tire tire_of(const std::string& text) {
  const auto tire = parse_tire(text);
  REQUIRE_MESSAGE(tire.ok(), (tire.ok() ? "" : tire.error().text()));
  return *tire;
}

constexpr double kMph = 0.44704;
constexpr double kKmh = 1.0 / 3.6;

double hz_at(const Tire& tire, double speed) { return speed / tire.rolling_circumference; }

}  // namespace

TEST_CASE("outer diameters") {
  struct Row {
    std::string text;
    double mm, tolerance;
    std::string source;
  };
  const std::string truck = "EC simulator VECTO, Declaration/Wheels.csv";
  const std::string design = "ISO 4000-1 design diameter, from memory";
  const Row rows[] = {
      {"P225/60R16 97H", 676.4, 0.1, "formula"},
      {"205/55R16", 632, 1.5, design},
      {"195/65R15", 635, 1.5, design},
      {"175/65R14", 584, 1.5, design},
      {"185/60R15", 603, 1.5, design},
      {"225/45R17", 634, 1.5, design},
      {"225/50R17", 658, 1.5, design},
      {"225/40R18", 637, 1.5, design},
      {"235/65R17", 738, 1.5, design},
      {"235/65R16C", 712, 1.5, design},
      {"225/70Rx19.5G", 810.3, 0.02, "public vehicle simulator's docs: radius 0.40515 m"},
      {"P205/60R16", 652.4, 0.02, "public vehicle simulator's docs: radius 0.3262 m"},
      {"215/75R17.5", 767, 0.6, truck},
      {"225/70R17.5", 759.5, 0.1, truck},
      {"235/75R17.5", 797, 0.1, truck},
      {"245/70R19.5", 838.3, 0.1, truck},
      {"255/70R22.5", 928.5, 0.1, truck},
      {"265/70R19.5", 866.3, 0.1, truck},
      {"275/70R22.5", 956.5, 0.1, truck},
      {"275/80R22.5", 1011.5, 0.1, truck},
      {"295/60R22.5", 925.5, 0.1, truck},
      {"295/80R22.5", 1043.5, 0.1, truck},
      {"305/70R22.5", 998.5, 0.1, truck},
      {"315/60R22.5", 949.5, 0.1, truck},
      {"315/70R22.5", 1012.5, 0.1, truck},
      {"315/80R22.5", 1075.5, 0.1, truck},
      {"385/55R22.5", 995, 0.1, truck},
      {"385/65R22.5", 1072, 0.1, truck},
      {"9R22.5", 970, 0.1, truck},
      {"10R22.5", 1020, 0.1, truck},
      {"11R22.5", 1050, 0.1, truck},
      {"12R22.5", 1084, 0.1, truck},
      {"13R22.5", 1124, 0.1, truck},
      {"9.00R20", 1018, 0.1, truck},
      {"11.00R20", 1082, 0.1, truck},
      {"12.00R20", 1122, 0.1, truck},
      {"12.00R24", 1226, 0.1, truck},
      {"9.5R17.5", 842, 0.1, truck},
      {"10R17.5", 858, 0.1, truck},
      {"14.00R20", 1238, 0.1, truck},
      {"10.00R20", 1052, 1, "UN R54, from memory"},
      {"7.50R16C", 802, 5, "UN R54, from memory"},
      {"155R13", 578, 2.5, "published design diameter, from memory"},
      {"165R13", 596, 2.5, "published design diameter, from memory"},
      {"175R14", 634, 2.5, "published design diameter, from memory"},
      {"185R14C", 650, 2.5, "published design diameter, from memory"},
      {"31x10.50R15LT", 775, 5, "TRA practice, from memory"},
      {"33x12.50R15LT", 826, 5, "TRA practice, from memory"},
      {"35x12.50R15LT", 876, 5, "TRA practice, from memory"},
      {"T125/70D16", 581.4, 0.1, "formula"},
      {"205-640 R 440 A", 640, 0.01, "the designation itself"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.text);
    CAPTURE(row.source);
    CHECK(std::fabs(tire_of(row.text).outer_diameter * 1000.0 - row.mm) <= row.tolerance);
  }
}

TEST_CASE(
    "inch light truck sizes that no table knows follow the rule of thumb, and say they are "
    "unsure") {
  // Common practice: 82 % of the width where it ends in 5 hundredths, else 92 %.
  const Tire low = tire_of("10.55R15LT");
  CHECK(low.outer_diameter * 1000.0 == doctest::Approx(381.0 + 2 * 267.97 * 0.82));
  const Tire high = tire_of("6.70-15");
  CHECK(high.outer_diameter * 1000.0 == doctest::Approx(381.0 + 2 * 170.18 * 0.92));
  CHECK(low.size_sd >= 0.03);
  CHECK(high.size_sd >= 0.03);
  CHECK(tire_of("11R22.5").size_sd == 0.0);
  CHECK(tire_of("225/60R16").size_sd == 0.0);
}

TEST_CASE("rolling circumference, turns per mile and frequencies") {
  struct Row {
    std::string text;
    double rc_mm, per_mile, hz_60mph, hz_100kmh;
    std::string source;
  };
  const std::string etrto = "ETRTO: 3.05 outer diameters, from memory and two EC tools";
  const Row rows[] = {
      {"P225/60R16", 2063.0, 780.1, 13.002, 13.465, etrto},
      {"205/55R16", 1927.3, 835.0, 13.917, 14.413, etrto},
      {"195/65R15", 1935.2, 831.6, 13.860, 14.354, etrto},
      {"175/65R14", 1778.5, 904.9, 15.082, 15.619, etrto},
      {"225/45R17", 1934.6, 831.9, 13.864, 14.358, etrto},
      {"P235/75R15", 2237.2, 719.4, 11.989, 12.416, etrto},
      {"P235/60R16", 2099.6, 766.5, 12.775, 13.230, etrto},
      {"LT245/75R16", 2360.4, 681.8, 11.364, 11.768, etrto},
      {"LT265/75R16", 2451.9, 656.4, 10.939, 11.329, etrto},
      {"265/70R17", 2448.5, 657.3, 10.954, 11.345, etrto},
      {"31x10.50R15LT", 2362.8, 681.1, 11.352, 11.756, etrto},
      {"235/65R16C", 2171.3, 741.2, 12.353, 12.793, etrto},
      {"255/70R22.5", 2831.9, 568.3, 9.471, 9.809, etrto},
      {"11R22.5", 3202.5, 502.5, 8.375, 8.674, etrto},
      {"295/80R22.5", 3182.7, 505.7, 8.428, 8.728, etrto},
      {"315/80R22.5", 3280.3, 490.6, 8.177, 8.468, etrto},
      {"T125/70D16", 1738.4, 925.8, 15.43, 15.979, "diagonal car tire 2.99, from memory"},
      {"295/60R22.5", 2804.3, 573.9, 9.565, 9.906, "VECTO rims, class a: 3.03"},
      {"385/65R22.5", 3248.2, 495.5, 8.258, 8.552, "VECTO rims, class a: 3.03"},
      {"6.00-16", 2140.3, 751.9, 12.532, 12.979, "VECTO rims, diagonal: 2.94"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.text);
    CAPTURE(row.source);
    const Tire tire = tire_of(row.text);
    CHECK(tire.rolling_circumference * 1000.0 == doctest::Approx(row.rc_mm).epsilon(1e-4));
    CHECK(tire.turns_per_mile() == doctest::Approx(row.per_mile).epsilon(1e-4));
    CHECK(tire.turns_per_km() == doctest::Approx(row.per_mile / 1.609344).epsilon(1e-4));
    CHECK(hz_at(tire, 60 * kMph) == doctest::Approx(row.hz_60mph).epsilon(1e-4));
    CHECK(hz_at(tire, 100 * kKmh) == doctest::Approx(row.hz_100kmh).epsilon(1e-4));
  }
}

TEST_CASE("published turns bear the 3.05 out") {
  struct Row {
    std::string text;
    double speed, hz, tolerance;
    std::string source;
  };
  const Row rows[] = {
      {"P235/75R15", 5 * kMph, 1.0, 0.015, "service literature"},
      {"P235/60R16", 5 * kMph, 1.065, 0.007, "service literature: 1.06 to 1.07"},
      {"P235/60R16", 60 * kMph, 12.78, 0.06, "service literature: 12.72 to 12.84"},
      {"205/55R16", 100 * kKmh, 14.41, 0.29, "3.05 rule, two per cent"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.text);
    CAPTURE(row.source);
    CHECK(std::fabs(hz_at(tire_of(row.text), row.speed) - row.hz) <= row.tolerance);
  }
  // A maker's figure for one truck tire: 567 turns a mile.
  CHECK(tire_of("255/70R22.5").turns_per_mile() == doctest::Approx(567).epsilon(0.01));
}

TEST_CASE("what is known of a tire narrows its rolling circumference") {
  const Tire tire = tire_of("205/55R16");
  const auto relative = [&](const TireState& state) {
    const Estimate rolled = rolling_circumference(tire, state);
    return rolled.sd / rolled.mean;
  };
  TireState nothing, tread, both;
  tread.tread_depth = 0.008;
  both = tread;
  both.pressure = both.placard_pressure = 230e3;
  CHECK(relative(nothing) == doctest::Approx(0.015).epsilon(0.01));  // from memory
  CHECK(relative(tread) < relative(nothing));
  CHECK(relative(both) < relative(tread));
  CHECK(relative(both) == doctest::Approx(0.007).epsilon(0.01));  // from memory
  CHECK(rolling_circumference(tire, nothing).mean == tire.rolling_circumference);
  CHECK(rolling_circumference(tire, both).mean == tire.rolling_circumference);
}

TEST_CASE("a worn radial rolls shorter, but by less than its diameter lost") {
  const Tire tire = tire_of("195/65R15");
  TireState worn;
  worn.tread_depth = 0.0016;
  const double change = rolling_circumference(tire, worn).mean / tire.rolling_circumference - 1.0;
  const double geometric = -2.0 * 0.0064 / tire.outer_diameter;  // -2 %: minus twice the wear
  CHECK(geometric == doctest::Approx(-0.02).epsilon(0.02));
  CHECK(change < 0.4 * geometric);
  CHECK(change > 0.8 * geometric);
  TireState deeper = worn;
  deeper.new_tread_depth = 0.010;
  CHECK(rolling_circumference(tire, deeper).mean < rolling_circumference(tire, worn).mean);
}

TEST_CASE("a soft tire rolls shorter, and pressure without a placard says nothing") {
  const Tire tire = tire_of("195/65R15");
  TireState soft;
  soft.pressure = 184e3;
  CHECK(rolling_circumference(tire, soft).mean == tire.rolling_circumference);
  soft.placard_pressure = 230e3;
  const double change = rolling_circumference(tire, soft).mean / tire.rolling_circumference - 1.0;
  CHECK(change < -0.001);
  CHECK(change > -0.01);
}

TEST_CASE("nonsense about a tire's state counts as unknown") {
  const Tire tire = tire_of("195/65R15");
  const Estimate unknown = rolling_circumference(tire, {});
  TireState wrong;
  wrong.tread_depth = -1.0;
  wrong.pressure = 230e3;
  wrong.placard_pressure = 0.0;
  CHECK(rolling_circumference(tire, wrong).mean == unknown.mean);
  CHECK(rolling_circumference(tire, wrong).sd == unknown.sd);
  wrong.tread_depth = 8.0;  // metres: somebody forgot the millimetres
  CHECK(rolling_circumference(tire, wrong).mean == unknown.mean);
}
