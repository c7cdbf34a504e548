// Numbers with units: what is read, what is refused and how it is told, and the way back to text.
#include "engine/quantity/quantity.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <limits>
#include <string>
#include <vector>

#include "engine/quantity/units.h"

using perrev::Dimension;
using perrev::parse_decimal;
using perrev::parse_quantity;
using perrev::parse_quantity_in;
using perrev::parse_quantity_range;
using perrev::Units;

namespace {

// Numbers that are the same on every machine (Knuth's MMIX constants).
class Lcg {
 public:
  explicit Lcg(std::uint64_t seed) : state_(seed) {}
  double between(double low, double high) {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return low + (high - low) * static_cast<double>(state_ >> 11) / 9007199254740992.0;
  }

 private:
  std::uint64_t state_;
};

const std::vector<Dimension>& all_dimensions() {
  static const std::vector<Dimension> all = {Dimension::count,
                                             Dimension::ratio,
                                             Dimension::speed,
                                             Dimension::length,
                                             Dimension::frequency,
                                             Dimension::mass,
                                             Dimension::force,
                                             Dimension::pressure,
                                             Dimension::time,
                                             Dimension::angle,
                                             Dimension::temperature_difference,
                                             Dimension::moment,
                                             Dimension::torque};
  return all;
}

std::string error_of(const std::string& text, Dimension due) {
  const auto result = parse_quantity(text, due);
  return result ? "" : result.error().text();
}

}  // namespace

TEST_CASE("units of every dimension are read into SI") {
  struct Row {
    const char* text;
    Dimension due;
    double si;
    const char* source;
  };
  const char* const kYard = "exact: international yard and pound 1959";
  const char* const kSi = "exact: SI brochure";
  const char* const kDefined = "exact: by definition of the unit";
  const Row rows[] = {
      {"65 mph", Dimension::speed, 29.0576, kYard},
      {"65mph", Dimension::speed, 29.0576, kYard},
      {"  65   MPH ", Dimension::speed, 29.0576, kYard},
      {"62,5 mph", Dimension::speed, 27.94, kYard},
      {"90 km/h", Dimension::speed, 25.0, kSi},
      {"90 kmh", Dimension::speed, 25.0, kSi},
      {"90 kph", Dimension::speed, 25.0, kSi},
      {"25 m/s", Dimension::speed, 25.0, kSi},
      {"90\xC2\xA0km/h", Dimension::speed, 25.0, kSi},
      {"12 mm", Dimension::length, 0.012, kSi},
      {"1.2 cm", Dimension::length, 0.012, kSi},
      {"3 m", Dimension::length, 3.0, kSi},
      {"2 km", Dimension::length, 2000.0, kSi},
      {"15 µm", Dimension::length, 15e-6, kSi},
      {"0.030 in", Dimension::length, 0.000762, kYard},
      {".030 in", Dimension::length, 0.000762, kYard},
      {"30 thou", Dimension::length, 0.000762, kYard},
      {"2\"", Dimension::length, 0.0508, kYard},
      {"2 ft", Dimension::length, 0.6096, kYard},
      {"1 mi", Dimension::length, 1609.344, kYard},
      {"3/32 in", Dimension::length, 0.00238125, kYard},
      {"1 1/2 in", Dimension::length, 0.0381, kYard},
      {"1-1/2 in", Dimension::length, 0.0381, kYard},
      {"12.5 Hz", Dimension::frequency, 12.5, kSi},
      {"750 rpm", Dimension::frequency, 12.5, kDefined},
      {"750 1/min", Dimension::frequency, 12.5, kDefined},
      {"12.5 1/s", Dimension::frequency, 12.5, kSi},
      {"7 g", Dimension::mass, 0.007, kSi},
      {"2 kg", Dimension::mass, 2.0, kSi},
      {"1 oz", Dimension::mass, 0.028349523125, kYard},
      {"1/4 oz", Dimension::mass, 0.00708738078125, kYard},
      {"12 lb", Dimension::mass, 5.44310844, kYard},
      {"12 lb", Dimension::force, 53.378659383126, "exact: pound times 9.80665 m/s2"},
      {"12 lbf", Dimension::force, 53.378659383126, "exact: pound times 9.80665 m/s2"},
      {"12 N", Dimension::force, 12.0, kSi},
      {"1.2 kN", Dimension::force, 1200.0, kSi},
      {"1 kgf", Dimension::force, 9.80665, "exact: standard gravity"},
      {"230 kPa", Dimension::pressure, 230e3, kSi},
      {"2.3 bar", Dimension::pressure, 230e3, kDefined},
      {"35 psi", Dimension::pressure, 241316.5052609, "exact: pound-force over square inch"},
      {"90 s", Dimension::time, 90.0, kSi},
      {"1.5 min", Dimension::time, 90.0, kDefined},
      {"2 h", Dimension::time, 7200.0, kDefined},
      {"180 deg", Dimension::angle, 3.14159265358979, kDefined},
      {"180°", Dimension::angle, 3.14159265358979, kDefined},
      {"-3 deg", Dimension::angle, -0.0523598775598299, kDefined},
      {"0.5 rad", Dimension::angle, 0.5, kSi},
      {"50 K", Dimension::temperature_difference, 50.0, kSi},
      {"50 °C", Dimension::temperature_difference, 50.0, kSi},
      {"50 degC", Dimension::temperature_difference, 50.0, kSi},
      {"90 °F", Dimension::temperature_difference, 50.0, kDefined},
      {"-9 degF", Dimension::temperature_difference, -5.0, kDefined},
      {"1 oz in", Dimension::moment, 7.20077887375e-4, kYard},
      {"1 oz-in", Dimension::moment, 7.20077887375e-4, kYard},
      {"1 oz·in", Dimension::moment, 7.20077887375e-4, kYard},
      {"100 lb ft", Dimension::torque, 135.5817948331, kYard},
      {"100 ft-lb", Dimension::torque, 135.5817948331, kYard},
      {"120 N m", Dimension::torque, 120.0, kSi},
      {"120 Nm", Dimension::torque, 120.0, kSi},
      {"3000 g mm", Dimension::moment, 0.003, kSi},
      {"300 g cm", Dimension::moment, 0.003, kSi},
      {"3 kg mm", Dimension::moment, 0.003, kSi},
      {"3.73", Dimension::ratio, 3.73, kDefined},
      {"3.73:1", Dimension::ratio, 3.73, kDefined},
      {"12 %", Dimension::ratio, 0.12, kDefined},
      {"5", Dimension::count, 5.0, kDefined},
      {"0 mm", Dimension::length, 0.0, kDefined},
      {"-0 mm", Dimension::length, 0.0, kDefined},
  };
  for (const Row& row : rows) {
    CAPTURE(std::string(row.text));
    CAPTURE(std::string(row.source));
    const auto value = parse_quantity(row.text, row.due);
    REQUIRE_MESSAGE(value.ok(), error_of(row.text, row.due));
    CHECK(*value == doctest::Approx(row.si).epsilon(1e-9));
  }
}

TEST_CASE("what is no quantity is refused in one line that says what is right") {
  struct Row {
    const char* text;
    Dimension due;
    const char* what;
    const char* right;
  };
  const Row rows[] = {
      {"65", Dimension::speed, "\"65\" has no unit", "a speed needs one of mph, km/h, m/s"},
      {"65 mphh", Dimension::speed, "unknown unit \"mphh\"", "did you mean \"mph\"?"},
      {"65 mph mph", Dimension::speed, "unknown unit \"mph mph\"", "mph, km/h, m/s"},
      {"1e999 mph", Dimension::speed, "not a plain decimal number", "65 mph"},
      {"1e3 mph", Dimension::speed, "not a plain decimal number", "65 mph"},
      {"1e+3 mph", Dimension::speed, "not a plain decimal number", "65 mph"},
      {"0x10 mm", Dimension::length, "not a plain decimal number", "0.030 in"},
      {"-3 in", Dimension::length, "is negative", "a length cannot be below zero"},
      {"-1/2 in", Dimension::length, "is negative", "a length cannot be below zero"},
      {"-1 1/2 in", Dimension::length, "is negative", "a length cannot be below zero"},
      {"", Dimension::speed, "nothing is written", "65 mph"},
      {" ", Dimension::speed, "nothing is written", "65 mph"},
      {"\t\n", Dimension::speed, "nothing is written", "65 mph"},
      {"nan mph", Dimension::speed, "does not begin with a number", "65 mph"},
      {"inf", Dimension::speed, "does not begin with a number", "65 mph"},
      {"mph", Dimension::speed, "does not begin with a number", "65 mph"},
      {". mph", Dimension::speed, "does not begin with a number", "65 mph"},
      {"- 3 mm", Dimension::length, "does not begin with a number", "0.030 in"},
      {"5. mm", Dimension::length, "not a plain decimal number", "0.030 in"},
      {"1.2.3 mm", Dimension::length, "not a plain decimal number", "0.030 in"},
      {"1,234 mm", Dimension::length, "thousands separator", "decimals with a point"},
      {"1,234.5 mm", Dimension::length, "thousands separator", "decimals with a point"},
      {"12 mm", Dimension::speed, "is a length, not a speed", "mph, km/h, m/s"},
      {"12 kg", Dimension::force, "is a mass, not a force", "N, kN, lb, kgf"},
      {"5 mm", Dimension::count, "a count takes none", "bare number"},
      {"12 G", Dimension::mass, "unknown unit \"G\"", "g"},
      {"3/0 in", Dimension::length, "not a proper fraction", "3/32 in"},
      {"1 3/2 in", Dimension::length, "not a proper fraction", "1 1/2 in"},
      {"1.5 1/2 in", Dimension::length, "not a proper fraction", "1 1/2 in"},
      {"1/2 mph", Dimension::speed, "a speed takes none", "65 mph"},
      {"55..75 mph", Dimension::speed, "is a range", "65 mph"},
      {"55-75 mph", Dimension::speed, "not one number", "55..75 mph"},
      {"55–75 mph", Dimension::speed, "not one number", "55..75 mph"},
      {"3 °C", Dimension::angle, "is a temperature difference, not an angle", "deg"},
  };
  for (const Row& row : rows) {
    CAPTURE(std::string(row.text));
    const auto value = parse_quantity(row.text, row.due);
    REQUIRE_FALSE(value.ok());
    CHECK(value.error().what.find(row.what) != std::string::npos);
    CHECK(value.error().right.find(row.right) != std::string::npos);
    CHECK_MESSAGE(value.error().text().find('\n') == std::string::npos, value.error().text());
    CHECK(value.error().what.size() < 120);
  }
}

TEST_CASE("hostile text is refused and its message stays short valid text") {
  const std::string hostile[] = {
      std::string(100000, '9') + " mph",
      std::string("65 mph\0", 7),
      std::string("65\x01mph"),
      "65 \xFF\xFE",
      "65 \xC3",
      "65 \xED\xA0\x80 mph",
      "65 \xF5\x80\x80\x80",
      std::string(100000, ' ') + "x",
      "6" + std::string(50000, '5') + "/" + std::string(50000, '3') + " in",
  };
  for (const std::string& text : hostile) {
    for (const Dimension due : {Dimension::speed, Dimension::length}) {
      const auto value = parse_quantity(text, due);
      REQUIRE_FALSE(value.ok());
      const std::string told = value.error().text();
      CHECK(told.size() < 250);
      for (const char c : told) {
        CHECK_FALSE(static_cast<unsigned char>(c) < 0x20);
        CHECK_FALSE(static_cast<unsigned char>(c) >= 0xED);
      }
    }
  }
}

TEST_CASE("a plain decimal is the whole text and nothing else") {
  CHECK(parse_decimal("65") == 65.0);
  CHECK(parse_decimal("-0.5") == -0.5);
  CHECK(parse_decimal("+0.5") == 0.5);
  CHECK(parse_decimal("62,5") == 62.5);
  CHECK(parse_decimal(".5") == 0.5);
  CHECK(parse_decimal("0,125") == 0.125);
  CHECK(parse_decimal("12.700000000000001") == 12.700000000000001);
  for (const char* text : {"", " ", "65 ", " 65", "1e3", "0x10", "nan", "inf", "5.", ".", "-",
                           "--1", "1.2.3", "1,234", "1'000", "6 5", "65mph"}) {
    CAPTURE(std::string(text));
    CHECK_FALSE(parse_decimal(text));
  }
  CHECK_FALSE(parse_decimal(std::string(41, '1')));
  CHECK(std::isfinite(parse_decimal(std::string(40, '9')).value()));
}

// Against the standard library's reader, which rounds to the nearest.
TEST_CASE("a decimal is the number nearest to what is written, however long that is") {
  Lcg random(3);
  const auto any = [&](std::size_t below) {
    return static_cast<std::size_t>(random.between(0.0, static_cast<double>(below)));
  };
  for (int i = 0; i < 20000; ++i) {
    std::string text(1 + any(18), '0');
    for (char& digit : text) digit = static_cast<char>('0' + any(10));
    if (i % 4 > 0) text.insert(any(text.size()), ".");
    CAPTURE(text);
    REQUIRE(parse_decimal(text) == std::stod(text));
    REQUIRE(parse_decimal("0000000000000000" + text) == std::stod(text));
  }
}

TEST_CASE("a prompt that shows its unit takes a bare number in it, and any unit besides") {
  CHECK(*parse_quantity_in("65", Dimension::speed, "mph") == doctest::Approx(29.0576));
  CHECK(*parse_quantity_in("90 km/h", Dimension::speed, "mph") == doctest::Approx(25.0));
  CHECK(*parse_quantity_in("3/32", Dimension::length, "in") == doctest::Approx(0.00238125));
  CHECK(*parse_quantity_in("3.73", Dimension::ratio, "") == doctest::Approx(3.73));
  CHECK(*parse_quantity_in("12", Dimension::ratio, "%") == doctest::Approx(0.12));
  CHECK_FALSE(parse_quantity_in("", Dimension::speed, "mph").ok());
  CHECK_FALSE(parse_quantity_in("fast", Dimension::speed, "mph").ok());
  CHECK_FALSE(parse_quantity_in("-65", Dimension::speed, "mph").ok());
}

TEST_CASE("ranges are open or closed, and rise") {
  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  struct Row {
    const char* text;
    Dimension due;
    double low, high;
  };
  const Row rows[] = {
      {"55..75 mph", Dimension::speed, 24.5872, 33.528},
      {"55 .. 75 mph", Dimension::speed, 24.5872, 33.528},
      {"40 km/h..72 km/h", Dimension::speed, 11.1111111, 20.0},
      {"..40 mph", Dimension::speed, -kInfinity, 17.8816},
      {"75 mph..", Dimension::speed, 33.528, kInfinity},
      {"2/32..4/32 in", Dimension::length, 0.0015875, 0.003175},
      {"0.5..1 mm", Dimension::length, 0.0005, 0.001},
      {"-3..3 deg", Dimension::angle, -0.0523598776, 0.0523598776},
      {"2.5..5", Dimension::ratio, 2.5, 5.0},
      {"1..2 %", Dimension::ratio, 0.01, 0.02},
  };
  for (const Row& row : rows) {
    CAPTURE(std::string(row.text));
    const auto range = parse_quantity_range(row.text, row.due);
    REQUIRE_MESSAGE(range.ok(), (range.ok() ? "" : range.error().text()));
    CHECK((range->low == row.low || range->low == doctest::Approx(row.low)));
    CHECK((range->high == row.high || range->high == doctest::Approx(row.high)));
  }
  for (const char* text :
       {"75..55 mph", "65..65 mph", "65 mph", "..", "", "55..75", "55 mph..75", "55...75 mph",
        "0...5 mph", "55..65..75 mph", "55–75 mph", "x..75 mph", "55..x mph", "..-5 mph"}) {
    CAPTURE(std::string(text));
    const auto range = parse_quantity_range(text, Dimension::speed);
    REQUIRE_FALSE(range.ok());
    CHECK_FALSE(range.error().right.empty());
  }
}

TEST_CASE("numbers print to six significant digits without a mess") {
  struct Row {
    double value;
    const char* text;
  };
  const Row rows[] = {
      {0.0, "0"},
      {-0.0, "0"},
      {65.0, "65"},
      {0.03, "0.03"},
      {0.1 + 0.2, "0.3"},
      {2063.02, "2063.02"},
      {13.0016, "13.0016"},
      {123456.7, "123457"},
      {999999.7, "1000000"},
      {1234567.0, "1234570"},
      {-12.5, "-12.5"},
      {0.000762, "0.000762"},
      {0.00001234, "0.00001234"},
      {5e-7, "0.0000005"},
      {100.0, "100"},
      {1e6, "1000000"},
      {1.0 / 3.0, "0.333333"},
      {2.0 / 3.0, "0.666667"},
  };
  for (const Row& row : rows) {
    CAPTURE(std::string(row.text));
    CHECK(perrev::show_number(row.value) == row.text);
  }
}

TEST_CASE("values are shown in the unit people use for their size") {
  using perrev::show;
  CHECK(show(29.0576, Dimension::speed, Units::us) == "65 mph");
  CHECK(show(25.0, Dimension::speed, Units::metric) == "90 km/h");
  CHECK(show(0.000762, Dimension::length, Units::us) == "0.03 in");
  CHECK(show(0.000762, Dimension::length, Units::metric) == "0.762 mm");
  CHECK(show(2.063, Dimension::length, Units::metric) == "2063 mm");
  CHECK(show(15000.0, Dimension::length, Units::metric) == "15 km");
  CHECK(show(1609.344, Dimension::length, Units::us) == "1 mi");
  CHECK(show(0.007, Dimension::mass, Units::metric) == "7 g");
  CHECK(show(53.378659383126, Dimension::force, Units::us) == "12 lb");
  CHECK(show(900.0, Dimension::time, Units::us) == "15 min");
  CHECK(show(50.0, Dimension::temperature_difference, Units::us) == "90 °F");
  CHECK(show(3.73, Dimension::ratio, Units::us) == "3.73");
  CHECK(perrev::in_usual_unit(25.0, Dimension::speed, Units::metric) == doctest::Approx(90.0));
}

TEST_CASE("law: what is shown reads back as the same value") {
  Lcg random(1);
  for (int round = 0; round < 400; ++round) {
    for (const Dimension dimension : all_dimensions()) {
      for (const Units units : {Units::us, Units::metric}) {
        const double si = std::pow(10.0, random.between(-4.0, 4.5));
        const std::string text = perrev::show(si, dimension, units);
        CAPTURE(std::string(text));
        const auto back = parse_quantity(text, dimension);
        REQUIRE(back.ok());
        CHECK(*back == doctest::Approx(si).epsilon(6e-6));
      }
    }
  }
}

TEST_CASE("law: every unit of a dimension reads in proportion") {
  Lcg random(2);
  for (const Dimension dimension : all_dimensions()) {
    for (const std::string& name : perrev::unit_names(dimension)) {
      CAPTURE(name);
      const std::string blank = name[0] == '1' ? " " : "";  // "750 1/min"
      const double one = *parse_quantity("1 " + name, dimension);
      for (int round = 0; round < 20; ++round) {
        const double number = std::round(random.between(0.0, 1000.0) * 1000.0) / 1000.0;
        const auto value = parse_quantity(perrev::show_number(number) + blank + name, dimension);
        REQUIRE(value.ok());
        CHECK(*value == doctest::Approx(number * one).epsilon(1e-12));
      }
    }
  }
}

TEST_CASE("dimensions have names both ways") {
  for (const Dimension dimension : all_dimensions()) {
    CHECK(perrev::dimension_named(perrev::name_of(dimension)) == dimension);
  }
  CHECK(perrev::dimension_names().size() == all_dimensions().size());
  CHECK_FALSE(perrev::dimension_named("colour"));
}

TEST_CASE("a plain decimal is the nearest number there is, as the C library reads it") {
  Lcg random(11);
  for (int i = 0; i < 200000; ++i) {
    std::string text;
    const int length = static_cast<int>(random.between(1.0, 24.0));
    for (int k = 0; k < length; ++k) text += static_cast<char>('0' + int(random.between(0, 10)));
    const auto point = static_cast<std::size_t>(random.between(0.0, length));
    if (i % 4 != 0) text.insert(point, ".");
    CAPTURE(text);
    REQUIRE(parse_decimal(text) == std::strtod(text.c_str(), nullptr));
  }
}
