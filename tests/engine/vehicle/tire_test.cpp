// Tire designations: what each part of the text means, what is refused, and the way back to text.
#include "engine/vehicle/tire.h"

#include <doctest/doctest.h>

#include <cstdint>
#include <string>
#include <vector>

#include "engine/vehicle/tire_service.h"

using perrev::parse_tire;
using perrev::Tire;
using perrev::TireConstruction;
using perrev::TireKind;

namespace {

// One line for a whole tire, so that a row of a table can say all of it.
std::string spoken(const Tire& tire) {
  const char* const kinds[] = {"metric", "flotation", "inch", "mm"};
  const char* const constructions[] = {"radial", "bias", "belted"};
  std::string out = kinds[static_cast<int>(tire.kind)];
  out += std::string(" ") + constructions[static_cast<int>(tire.construction)];
  if (!tire.prefix.empty()) out += " " + tire.prefix;
  if (tire.commercial) out += " commercial";
  if (tire.speed_class_z) out += " Z";
  if (tire.run_flat) out += " run-flat";
  if (!tire.load_range.empty()) out += " range " + tire.load_range;
  if (tire.load_index) out += " index " + std::to_string(*tire.load_index);
  if (tire.load_index_dual) out += "/" + std::to_string(*tire.load_index_dual);
  if (tire.maximum_speed) {
    out += tire.above_maximum ? " above " : " to ";
    out += std::to_string(static_cast<int>(*tire.maximum_speed * 3.6 + 0.5));
  }
  if (!tire.rim_suffix.empty()) out += " suffix " + tire.rim_suffix;
  if (!tire.marks.empty()) out += " marks " + tire.marks;
  return out;
}

struct Legal {
  std::string text;
  std::string designation;
  std::string meaning;
  std::string source;
};

const std::vector<Legal>& legal_designations() {
  static const std::string kGrammar = "UN R30, R54, ISO 4000-1 grammar, from memory";
  static const std::string kEcTool = "legal spelling in the EC tool CO2MPAS-TA's tests";
  static const std::string kFastSim = "legal spelling in a public vehicle simulator's docs";
  static const std::string kPractice = "common practice";
  static const std::vector<Legal> all = {
      {"P225/60R16 97H", "P225/60R16 97H", "metric radial P index 97 to 210", kGrammar},
      {"225/60R16", "225/60R16", "metric radial", kGrammar},
      {"225 / 60 r 16 97 h", "225/60R16 97H", "metric radial index 97 to 210", kGrammar},
      {"235/65R16C 115/113R", "235/65R16C 115/113R",
       "metric radial commercial index 115/113 to 170", kEcTool},
      {"205/65R15 C 102/100R", "205/65R15C 102/100R",
       "metric radial commercial index 102/100 to 170", kEcTool},
      {"205/55ZR16 (94Y)", "205/55ZR16 (94Y)", "metric radial Z index 94 above 300", kEcTool},
      {"205/55ZR16 94(Y)", "205/55ZR16 (94Y)", "metric radial Z index 94 above 300", kPractice},
      {"205/55ZR16 94W", "205/55ZR16 94W", "metric radial Z index 94 to 270", kGrammar},
      {"205/55ZR16", "205/55ZR16", "metric radial Z above 240", kGrammar},
      {"225/60R16 (97H)", "225/60R16 97H", "metric radial index 97 to 210", kGrammar},
      {"LT245/75R16 120/116S E", "LT245/75R16 120/116S E",
       "metric radial LT range E index 120/116 to 180", kEcTool},
      {"LT245/75R16E", "LT245/75R16 E", "metric radial LT range E", kEcTool},
      {"lt 245/75 r16 load range e", "LT245/75R16 E", "metric radial LT range E", kPractice},
      {"LT245/75R16 LRE", "LT245/75R16 E", "metric radial LT range E", kPractice},
      {"LT245/75R16 10PR", "LT245/75R16 E", "metric radial LT range E",
       "TRA: E is 10 plies, from memory"},
      {"245/75R16LT C", "LT245/75R16 C", "metric radial LT range C", kGrammar},
      {"225/70Rx19.5G", "225/70R19.5 G", "metric radial range G", kFastSim},
      {"P205/60R16", "P205/60R16", "metric radial P", kFastSim},
      {"32X11.50 R 15 LT C", "32x11.50R15LT C", "flotation radial LT range C", kEcTool},
      {"31×10,50R15LT", "31x10.50R15LT", "flotation radial LT", kGrammar},
      {"35x12.50-15", "35x12.50-15", "flotation bias", kGrammar},
      {"9.50R16.5 LT 121/117T E", "9.50R16.5LT 121/117T E",
       "inch radial LT range E index 121/117 to 190", kEcTool},
      {"7.50R16 C 112/110N", "7.50R16C 112/110N", "inch radial commercial index 112/110 to 140",
       kEcTool},
      {"11R22.5", "11R22.5", "inch radial", kGrammar},
      {"10.00R20", "10.00R20", "inch radial", kGrammar},
      {"6.00-16", "6.00-16", "inch bias", kGrammar},
      {"205-640 R 440 A", "205-640 R 440 A", "mm radial suffix A", kGrammar},
      {"190/65HR390", "190/65HR390", "metric radial to 210", "first series of UN R30, from memory"},
      {"255/70VR15", "255/70VR15", "metric radial above 210",
       "first series of UN R30, from memory"},
      {"155R13", "155R13", "metric radial", kGrammar},
      {"185r14c 102/100q", "185R14C 102/100Q", "metric radial commercial index 102/100 to 160",
       kGrammar},
      {"T125/70D16 96M", "T125/70D16 96M", "metric bias T index 96 to 130", kGrammar},
      {"T125/70R17", "T125/70R17", "metric radial T", kGrammar},
      {"ST205/75R15 C", "ST205/75R15 C", "metric radial ST range C", kGrammar},
      {"HL245/40R19 101Y XL", "HL245/40R19 101Y XL", "metric radial HL range XL index 101 to 300",
       kGrammar},
      {"225/45RF17 91W", "225/45RF17 91W", "metric radial run-flat index 91 to 270", kGrammar},
      {"225/45ZRF17 EXTRA LOAD", "225/45ZRF17 XL", "metric radial Z run-flat range XL above 240",
       kGrammar},
      {"225/45R17 94W reinforced", "225/45R17 94W XL", "metric radial range XL index 94 to 270",
       kGrammar},
      {"225/60B16", "225/60B16", "metric belted", kGrammar},
      {"225/60-16", "225/60-16", "metric bias", kGrammar},
      {"225/60R16 98h xl m&s 3pmsf", "225/60R16 98H XL M+S 3PMSF",
       "metric radial range XL index 98 to 210 marks M+S 3PMSF", kGrammar},
      {"315/80R22.5 156/150L (154/150M)", "315/80R22.5 156/150L (154/150M)",
       "metric radial index 156/150 to 120 marks (154/150M)", kGrammar},
      {"235/85R16 6PR", "235/85R16 6PR", "metric radial range C", "TRA, from memory"},
      {"P225/60R16 LRH", "P225/60R16 LRH", "metric radial P range H", kPractice},
      {"T125/70D16 18PR 96M", "T125/70D16 96M LRJ", "metric bias T range J index 96 to 130",
       "TRA: J is 18 plies, from memory"},
      {"205-640 d 440 a", "205-640 D 440 A", "mm bias suffix A", kPractice},
      {"205d440 A", "205D440 A", "metric bias suffix A", kPractice},
  };
  return all;
}

}  // namespace

TEST_CASE("each part of a designation is read for what it is") {
  for (const Legal& row : legal_designations()) {
    CAPTURE(row.text);
    CAPTURE(row.source);
    const auto tire = parse_tire(row.text);
    REQUIRE_MESSAGE(tire.ok(), (tire.ok() ? "" : tire.error().text()));
    CHECK(tire->designation == row.designation);
    CHECK(spoken(*tire) == row.meaning);
  }
}

TEST_CASE("law: a designation reads back as the same tire") {
  for (const Legal& row : legal_designations()) {
    CAPTURE(row.text);
    const Tire once = *parse_tire(row.text);
    const auto twice = parse_tire(once.designation);
    REQUIRE(twice.ok());
    CHECK(twice->designation == once.designation);
    CHECK(spoken(*twice) == spoken(once));
    CHECK(twice->outer_diameter == once.outer_diameter);
    CHECK(twice->width_mm == once.width_mm);
    CHECK(twice->speed_symbol == once.speed_symbol);
  }
}

TEST_CASE("law: random metric designations read back as the same tire") {
  std::uint64_t state = 7;
  const auto pick = [&](int count) {
    state = state * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<int>((state >> 33) % static_cast<std::uint64_t>(count));
  };
  const std::string prefixes[] = {"", "P", "LT", "ST", "HL", "T"};
  const std::string constructions[] = {"R", "ZR", "RF", "D", "-", "B", " r ", "Rx"};
  const std::string rims[] = {"13", "15", "16", "17", "19.5", "22.5"};
  const std::string tails[] = {"",     "C",           " C",     " E", "E",        " XL",
                               " 98W", " 115/113Y E", " (94Y)", "LT", " 10PR M+S"};
  int legal = 0;
  for (int round = 0; round < 5000; ++round) {
    std::string text = prefixes[pick(6)];  // one draw a statement: the same on every compiler
    text += std::to_string(125 + 10 * pick(30));
    text += "/" + std::to_string(25 + 5 * pick(14));
    text += constructions[pick(8)];
    text += rims[pick(6)];
    text += tails[pick(11)];
    CAPTURE(text);
    const auto once = parse_tire(text);
    if (!once) continue;
    ++legal;
    const auto twice = parse_tire(once->designation);
    REQUIRE(twice.ok());
    CHECK(twice->designation == once->designation);
    CHECK(spoken(*twice) == spoken(*once));
    CHECK(twice->outer_diameter == once->outer_diameter);
  }
  CHECK(legal > 2000);
}

TEST_CASE("the dimensions of a designation are told in millimetres") {
  const Tire van = *parse_tire("235/65R16C 115/113R");  // UN R54 grammar
  CHECK(van.width_mm == 235);
  CHECK(van.aspect_percent == 65);
  CHECK(van.rim_mm == doctest::Approx(406.4));
  CHECK(van.maximum_load_kg.value() == 1215);
  const Tire full = *parse_tire("155R13");
  CHECK(full.aspect_percent == 0);
  CHECK(parse_tire("31x10.50R15LT")->width_mm == doctest::Approx(266.7));
  CHECK(parse_tire("205-640 R 440 A")->rim_mm == 440);
}

TEST_CASE("only T is a temporary spare") {
  for (const Legal& row : legal_designations()) {
    CAPTURE(row.text);
    CHECK(parse_tire(row.text)->temporary_spare() == (row.designation[0] == 'T'));
  }
}

TEST_CASE("what does not exist in nature is refused with what is wrong in it") {
  struct Row {
    std::string text, what, right;
  };
  const Row rows[] = {
      {"225/600R16", "aspect ratio 600", "225/60R16"},
      {"225/62R16", "aspect ratio 62", "steps of 5"},
      {"225/15R16", "aspect ratio 15", "25 to 100"},
      {"P225/60R", "rim diameter is missing", "225/60R16"},
      {"P225/60", "construction and the rim are missing", "225/60R16"},
      {"225/", "construction and the rim are missing", "225/60R16"},
      {"225/60 16", "stands where the construction belongs", "R, D, B or -"},
      {"225/60X16", "stands where the construction belongs", "R, D, B or -"},
      {"225/60ZD16", "stands where the construction belongs", "R, D, B or -"},
      {"225/60R9", "no rim has the diameter 9", "10 to 26"},
      {"225/60R18.5", "no rim has the diameter 18.5", "half size"},
      {"225/60R116", "no rim has the diameter 116", "300 to 550 mm"},
      {"225/60R1697H", "no rim has the diameter 1697", "10 to 26"},
      {"999/60R16", "999 mm wide", "125 to 495"},
      {"95/60R16", "95 mm wide", "125 to 495"},
      {"226/60R16", "226 mm wide", "end in 5"},
      {"230/60R16", "230 mm wide", "end in 5"},
      {"225.5/60R16", "not a whole number", "225/60R16"},
      {"0225/60R16", "no number of a tire size", "225/60R16"},
      {"125/25R10", "316.5 mm across", "400 to 1450"},
      {"495/95R26", "1600.9 mm across", "400 to 1450"},
      {"17x10.50R16", "hardly larger than its rim", "check the outer diameter"},
      {"99R22.5", "99 in wide", "3 to 18"},
      {"31xR15", "width is missing after the x", "225/60R16"},
      {"P31x10.50R15", "P goes with sizes in mm only", "P225/60R16"},
      {"X225/60R16", "\"X\" begins no tire size", "P, LT, T, ST or HL"},
      {"hello", "\"HELLO\" begins no tire size", "P, LT, T, ST or HL"},
      {"/60R16", "width is missing", "225/60R16"},
      {"225/60R16 97HV", "two speed symbols", "97H"},
      {"225/60R16 97H V", "two speed symbols", "97H"},
      {"225/60R16 97H 98V", "two speed symbols", "97H"},
      {"225/60R16 97H H", "two speed symbols", "97H"},
      {"315/80R22.5 156/150L (154/150M) (152/148N)", "two service descriptions", "(154/150M)"},
      {"195/60HR14 85V", "two speed symbols", "97H"},
      {"225/60R16 V", "speed symbol V has no load index", "98V"},
      {"225/60R16 97", "has no speed symbol", "97H"},
      {"225/60R16 97Z", "no speed symbol Z", "J (100 km/h)"},
      {"225/60R16 12H", "load index 12", "50 to 179"},
      {"225/60R16 970H", "load index 970", "50 to 179"},
      {"225/60R16 99999999999999999999H", "load index 99999", "50 to 179"},
      {"235/65R16C 113/115R", "above the single one", "115/113R"},
      {"235/65R16C 115/R", "not understood", "LT245/75R16"},
      {"205/55ZR16 94H", "ZR is for more than 240 km/h", "speed symbol"},
      {"LT245/75R16 C E", "two load ranges, C and E", "moulded"},
      {"P225/60R16LT", "LT does not go with", "LT245/75R16"},
      {"225/60R16 banana", "\"BANANA\" after the size is not understood", "LT245/75R16"},
      {"225/60R16 97H!", "not understood", "LT245/75R16"},
      {"225/60R16 (97H", "not understood", "LT245/75R16"},
      {"225/60R16)", "not understood", "LT245/75R16"},
      {"225/60R16 225/60R16", "load index 225", "50 to 179"},
      {"", "no tire size is written", "225/60R16"},
      {"   ", "no tire size is written", "225/60R16"},
      {"225/60R16\x01", "a character that is on no tire", "225/60R16"},
      {"225/60R16 ü", "a character that is on no tire", "225/60R16"},
      {std::string(10240, '2'), "10240 characters", "225/60R16"},
      {std::string("225/60\0R16", 10), "a character that is on no tire", "225/60R16"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.text.substr(0, 60));
    const auto tire = parse_tire(row.text);
    REQUIRE_FALSE(tire.ok());
    CAPTURE(tire.error().text());
    CHECK(tire.error().what.find(row.what) != std::string::npos);
    CHECK(tire.error().right.find(row.right) != std::string::npos);
    CHECK(tire.error().text().find('\n') == std::string::npos);
    CHECK(tire.error().text().size() < 300);
  }
}

TEST_CASE("law: no single change of a character crashes the reader or breaks the bounds") {
  const std::string alphabet = "0123456789/RXZ.C-( )HPLTÿ\x01";
  for (const Legal& row : legal_designations()) {
    for (std::size_t at = 0; at < row.text.size(); ++at) {
      for (const char c : alphabet) {
        std::string text = row.text;
        text[at] = c;
        const auto tire = parse_tire(text);
        if (!tire) {
          CHECK_FALSE(tire.error().right.empty());
          continue;
        }
        CHECK(tire->outer_diameter >= 0.4);
        CHECK(tire->outer_diameter <= 1.45);
        CHECK(parse_tire(tire->designation).ok());
      }
    }
  }
}

TEST_CASE("load indices stand for the loads of the public table") {
  struct Row {
    int index;
    double kg;
    const char* source;
  };
  const Row rows[] = {
      {71, 345, "ISO 4000-1, from memory"},   {91, 615, "public load index table"},
      {94, 670, "public load index table"},   {97, 730, "public load index table"},
      {100, 800, "public load index table"},  {110, 1060, "public load index table"},
      {113, 1150, "ISO 4000-1, from memory"}, {115, 1215, "ISO 4000-1, from memory"},
      {120, 1400, "ISO 4000-1, from memory"}, {152, 3550, "UN R54, from memory"},
      {160, 4500, "UN R54, from memory"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.index);
    CAPTURE(std::string(row.source));
    CHECK(perrev::kg_of_load_index(row.index) == row.kg);
  }
}

TEST_CASE("law: every load index follows 45 * 10^(index/80) within 2 % and rises") {
  double before = 0.0;
  double law = 45.0 * 4.216965034285822;  // 10^(50/80)
  for (int index = perrev::kLowestLoadIndex; index <= perrev::kHighestLoadIndex; ++index) {
    CAPTURE(index);
    const double kg = perrev::kg_of_load_index(index);
    CHECK(kg > before);
    CHECK(kg == doctest::Approx(law).epsilon(0.02));
    before = kg;
    law *= 1.029200527;  // 10^(1/80)
  }
}
