// Names of columns to roles and units, for headers as loggers write them: all are made up.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "engine/recording/stamp.h"
#include "tests/engine/recording/read_back.h"

using namespace perrev;
using namespace perrev::recorded;

namespace {

// "time:time_s[s] z:az[g]" of what is read.
std::string roles_of(const ReadBack& read) {
  std::string out;
  for (const RecordedColumn& each : read.columns)
    out += (out.empty() ? "" : " ") + std::string(name_of(each.role)) + "=" +
           std::to_string(each.column) + "[" + each.unit + "]";
  return out;
}

struct HeaderRow {
  const char* text;   // up to and with a row or two
  const char* roles;  // role=column[unit], in the order of roles; or what is refused
};

const HeaderRow kHeaders[] = {
    // Plain names with units after "_".
    {"time_s,ax_mps2,ay_mps2,az_mps2,speed_mph,engine_rpm\n0,1,2,3,40,2000\n",
     "time=0[s] x=1[mps2] y=2[mps2] z=3[mps2] speed=4[mph] engine=5[rpm]"},
    {"time_s,speed_m_s,acceleration_x_m_s2,acceleration_y_m_s2,acceleration_z_m_s2\n0,1,2,3,4\n",
     "time=0[s] x=2[m_s2] y=3[m_s2] z=4[m_s2] speed=1[m_s]"},
    {"t_ms,ax_g,ay_g,az_g,speed_kmh\n0,1,2,3,4\n", "time=0[ms] x=1[g] y=2[g] z=3[g] speed=4[kmh]"},
    {"timestamp_us,acc_x_mg,acc_y_mg,acc_z_mg\n0,1,2,3\n", "time=0[us] x=1[mg] y=2[mg] z=3[mg]"},
    {"elapsed_ns,accel_z_mps2,gps_speed_kph\n0,1,2\n", "time=0[ns] z=1[mps2] speed=2[kph]"},
    // Units in brackets.
    {"Time (s),Acceleration x (m/s^2),Acceleration y (m/s^2),Acceleration z (m/s^2)\n0,1,2,3\n",
     "time=0[s] x=1[m/s^2] y=2[m/s^2] z=3[m/s^2]"},
    {"Time [s],Acc X [g],Acc Y [g],Acc Z [g],Vehicle speed [km/h],Engine speed "
     "[rpm]\n0,1,2,3,4,5\n",
     "time=0[s] x=1[g] y=2[g] z=3[g] speed=4[km/h] engine=5[rpm]"},
    {"Time(ms),X(g),Y(g),Z(g)\n0,1,2,3\n", "time=0[ms] x=1[g] y=2[g] z=3[g]"},
    {"time (s),a_x (m/s\xC2\xB2),a_z (m/s\xC2\xB2)\n0,1,2\n",
     "time=0[s] x=1[m/s\xC2\xB2] z=2[m/s\xC2\xB2]"},
    {"Time (\xC2\xB5s),Accel Z (m s-2)\n0,1\n", "time=0[\xC2\xB5s] z=1[m s-2]"},
    // Latin-1.
    {"Zeit (\xB5s);Acceleration z [m/s\xB2]\n0;1\n", "time=0[\xC2\xB5s] z=1[m/s\xC2\xB2]"},
    // Blanks, capitals, words run together.
    {"TIME S,ACCX G,ACCY G,ACCZ G\n0,1,2,3\n", "time=0[S] x=1[G] y=2[G] z=3[G]"},
    {"elapsedTime_s,accelX_g,accelY_g,accelZ_g\n0,1,2,3\n", "time=0[s] x=1[g] y=2[g] z=3[g]"},
    {"time_s,Longitudinal acceleration (g),Lateral acceleration (g),Vertical acceleration (g)\n"
     "0,1,2,3\n",
     "time=0[s] x=1[g] y=2[g] z=3[g]"},
    {"time_s,LatAcc_g,LongAcc_g,VertAcc_g,v_mps\n0,1,2,3,4\n",
     "time=0[s] x=2[g] y=1[g] z=3[g] speed=4[mps]"},
    // Left alone: what is none of these.
    {"time_s,gyro_x_rad_s,az_g,gps_lat,gps_long,speed_accuracy_mps,speed_limit_kmh,coolant_C\n"
     "0,1,2,3,4,5,6,7\n",
     "time=0[s] z=2[g]"},
    {"time_s,gravity_z_mps2,az_mps2,rotation_rate_z,wheel_rpm,battery_V\n0,1,2,3,4,5\n",
     "time=0[s] z=2[mps2]"},
    // One of several.
    {"time_s,accelerometer_z_mps2,linear_acceleration_z_mps2\n0,1,2\n", "time=0[s] z=2[mps2]"},
    {"time_s,az_g,speed_kmh,gps_speed_mph\n0,1,2,3\n", "time=0[s] z=1[g] speed=3[mph]"},
    {"time_s,az_g,wheel_speed_kmh,vehicle_speed_kmh\n0,1,2,3\n", "time=0[s] z=1[g] speed=3[kmh]"},
    {"time_s,wheel_speed_kmh\n0,2\n", "time=0[s] speed=1[kmh]"},
    {"time_s,speed_knots\n0,2\n", "time=0[s] speed=1[knots]"},
    {"time_s,rpm\n0,2\n", "time=0[s] engine=1[rpm]"},
    {"time_s,engine_Hz,crank_speed_1/min\n0,2,3\n", "time=0[s] engine=1[Hz]"},
    // Separators, decimal commas, quotes, line ends, marks.
    {"time_s;az_g;speed_kmh\n0,00;0,98;61,2\n", "time=0[s] z=1[g] speed=2[kmh]"},
    {"time_s\taz_g\n0,00\t0,98\n", "time=0[s] z=1[g]"},
    {"time_s|az_g\n0.00|0,98\n", "time=0[s] z=1[g]"},
    {"\"time_s\",\"az_g\"\r\n\"0\",\"1\"\r\n", "time=0[s] z=1[g]"},
    {"\"Time [s]\";\"Acceleration, vertical [m/s2]\"\n0;1\n", "time=0[s] z=1[m/s2]"},
    {"\xEF\xBB\xBFtime_s,az_g\n0,1\n", "time=0[s] z=1[g]"},
    {"time_s,az_g,\n0,1,\n", "time=0[s] z=1[g]"},
    {"time_s,az_g\n0,1,\n", "time=0[s] z=1[g]"},
    // Lines before the names, units below them.
    {"# logger of the workshop\n# rate: 100, range: 2\n# time_s,az_g\n0,1\n", "time=0[s] z=1[g]"},
    {"Recorded;2026-05-04\nSpeed unit;km/h\n\ntime;az;speed\ns;g;km/h\n0;1;2\n",
     "time=0[s] z=1[g] speed=2[km/h]"},
    {"time,az,speed\n[s],[m/s2],[m/s]\n0,1,2\n", "time=0[s] z=1[m/s2] speed=2[m/s]"},
    {"time;ch;z\n[ms];V;[g]\n0;1;2\n", "time=0[ms] z=2[g]"},
    {"Range,2,g\ntime_s,ax_g,az_g\n0,0,1\n", "time=0[s] x=1[g] z=2[g]"},
    // Moments.
    {"timestamp,az_g\n2026-05-04T09:12:00.123Z,1\n", "time=0[] z=1[g]"},
    {"Time,az_g\n09:12:00.123,1\n", "time=0[] z=1[g]"},
    {"timestamp,az_g\n1777885920123,1\n", "time=0[ms] z=1[g]"},
    {"timestamp,az_g\n1777885920.123,1\n", "time=0[s] z=1[g]"},
    {"unix_time,az_g\n1777885920123456789,1\n", "time=0[ns] z=1[g]"},
    // Words among the values.
    {"time_s,activity,az_g\n0,driving,1\n", "time=0[s] z=2[g]"},
    // Units by gravity.
    {"time_s,x,y,z\n0,0.1,0.2,0.97\n0.01,0.1,0.2,0.98\n", "time=0[s] x=1[g] y=2[g] z=3[g]"},
    {"time_s,ax,ay,az\n0,0.1,0.2,9.7\n0.01,0.1,0.2,9.8\n",
     "time=0[s] x=1[m/s2] y=2[m/s2] z=3[m/s2]"},
    {"time_s,ax,az\n0,20,990\n0.01,30,1005\n", "time=0[s] x=1[mg] z=2[mg]"},
};

const HeaderRow kRefused[] = {
    {"", "there is nothing in it"},
    {"0,1,2\n1,2,3\n", "no line names columns that are known"},
    {"time_s,az_g\n", "1:no row of numbers follows the names of the columns"},
    {"lorem ipsum\ndolor\n", "1:no line names columns that are known"},
    {"{\n  \"fact\": \"worst_speed\",\n  \"value\": 3\n}\n", "it is JSON and no recording"},
    {"time x y z\n0.00 0.1 0.2 9.8\n0.01 0.1 0.2 9.8\n", "2:its columns are parted by blanks"},
    {"time_s,temperature_C\n0,1\n", "1:no column of acceleration, speed or engine speed"},
    {"ax_g,az_g\n0,1\n", "1:no column of time"},
    {"time_s,az_g\n0,00,0,98\n0,01,0,97\n", "1:no row has as many cells as there are names"},
    {"time,az_g\n5/4/2026 9:12:00 AM,1\n", "1:times such as \"5/4/2026 9:12:00 AM\" in \"time\""},
    {"time,ax_g,az_g\n,0,1\n1777885920123,0,1\n", "1:the first row has no \"time\""},
    {"time,az_g\n0,1\n", "1:nothing says in which unit \"time\" is"},
    {"# made up\ntime_s,az_g,speed\n0,1,2\n", "2:nothing says in which unit \"speed\" is"},
    {"time_s,engine_speed\n0,1\n", "1:nothing says in which unit \"engine_speed\" is"},
    {"time_s,az\n0,0.1\n0.01,0.2\n",
     "nothing says in which unit the accelerations are, and their mean of 0.15 is gravity in none"},
};

std::string refusal(const ReadBack& read) {
  if (!read.refused) return "";
  const int line = read.refused->place.line;
  return (line > 0 ? std::to_string(line) + ":" : "") + read.refused->what;
}

}  // namespace

TEST_CASE("columns are known by their names, with their units") {
  for (const HeaderRow& row : kHeaders) {
    INFO(std::string(row.text));
    const ReadBack read = read_back(row.text);
    CHECK(refusal(read) == "");
    CHECK(roles_of(read) == row.roles);
  }
}

TEST_CASE("what does not name its columns or their units is refused, with the line") {
  for (const HeaderRow& row : kRefused) {
    INFO(std::string(row.text));
    const ReadBack read = read_back(row.text);
    CHECK(refusal(read).find(row.roles) != std::string::npos);
    REQUIRE(read.refused);
    if (read.refused->what.find("follows") == std::string::npos) CHECK(read.refused->right != "");
  }
}

TEST_CASE("units become SI") {
  struct UnitRow {
    const char* header;
    double value;  // of the second column, where the file has 10
  };
  const UnitRow rows[] = {
      // Standard gravity 9.80665 m/s2 (CGPM 1901), the international mile 1609.344 m, the
      // international nautical mile 1852 m (BIPM SI brochure).
      {"az_g", 98.0665},
      {"az_mg", 0.0980665},
      {"az_m/s2", 10.0},
      {"az_mps2", 10.0},
      {"speed_mph", 4.4704},
      {"speed_kmh", 10.0 / 3.6},
      {"speed_km/h", 10 / 3.6},
      {"speed_kph", 10 / 3.6},
      {"speed_mps", 10.0},
      {"speed_m/s", 10.0},
      {"speed_knots", 18520.0 / 3600.0},
      {"engine_rpm", 1.0 / 6.0},
      {"engine_1/min", 1.0 / 6.0},
      {"engine_Hz", 10.0},
  };
  for (const UnitRow& row : rows) {
    INFO(std::string(row.header));
    const Samples read = read_back("time_s," + std::string(row.header) + "\n0,10\n").whole();
    const double value = !read.speed.empty()             ? read.speed[0]
                         : !read.engine_hz.empty()       ? read.engine_hz[0]
                         : !read.acceleration[2].empty() ? read.acceleration[2][0]
                                                         : NAN;
    CHECK(value == doctest::Approx(row.value).epsilon(1e-12));
  }
  for (const auto& [unit, size] : {std::pair{"s", 1.0}, {"ms", 1e-3}, {"us", 1e-6}, {"ns", 1e-9}})
    CHECK(read_back("time_" + std::string(unit) + ",az_g\n10,1\n").whole().time[0] ==
          doctest::Approx(10.0 * size).epsilon(1e-12));
}

TEST_CASE("what is given by hand counts before what the file says") {
  ReadingOptions options;
  options.columns = {{"x", "Kanal 1"}, {"speed", ""}};
  options.time_unit = "ms";
  options.acceleration_unit = "g";
  const ReadBack read = read_back("time;Kanal 1;az_mg;speed_kmh\n0;1;2;3\n", options);
  CHECK(refusal(read) == "");
  CHECK(roles_of(read) == "time=0[ms] x=1[g] z=2[g]");
  CHECK(read.finding("unit_by_hand") != nullptr);
  options.columns = {{"x", "Kanal 2"}};
  CHECK(refusal(read_back("time;Kanal 1\n0;1\n", options)).find("no column is named \"Kanal 2\"") !=
        std::string::npos);
  options.columns = {{"sideways", "Kanal 1"}};
  CHECK(refusal(read_back("time;Kanal 1\n0;1\n", options)).find("there is no \"sideways\"") !=
        std::string::npos);
  options.columns = {{"x", "Kanal 1"}, {"y", "kanal 1"}};
  CHECK(refusal(read_back("time_s;Kanal 1 (g)\n0;1\n", options)).find("no column") !=
        std::string::npos);
  CHECK(refusal(read_back("time_s;Kanal 1\n0;1\n", options))
            .find("\"Kanal 1\" cannot be both x and y") != std::string::npos);
  options.columns = {{"x", "Kanal"}};
  CHECK(read_back("time_s;Kanal;Kanal\n0;9.8;9.8\n", options).finding("one_of_several"));
  options = {};
  options.rows_per_second = 50.0;
  CHECK(read_back("time_s,az_g\n0,1\n", options).finding("rate_by_hand"));
  options = {};
  options.speed_unit = "furlong";
  CHECK(refusal(read_back("time_s,speed\n0;1\n0,1\n", options)).find("\"furlong\" is no unit") !=
        std::string::npos);
  options = {};
  options.rows_per_second = 50.0;
  const Samples rows = read_back("az_g\n1\n1\n\n1\n", options).whole();
  REQUIRE(rows.size() == 4);
  CHECK(rows.time[1] == doctest::Approx(0.02));
  CHECK(rows.time[3] == doctest::Approx(0.04));  // an empty line is no row
}

TEST_CASE("bytes that are no text are refused as such") {
  const ReadBack read = read_back(std::string("PK\x03\x04 speed\0,\0time\n1,2\n", 22));
  CHECK(refusal(read).find("it is no text") != std::string::npos);
}

TEST_CASE("columns are named by number where their own names are missing or stand twice") {
  ReadingOptions options;
  options.columns = {{"time", "column 1"}, {"z", "column 3"}};
  options.time_unit = "s";
  options.acceleration_unit = "g";
  const char* const read_as = "time=0[s] z=2[g]";
  CHECK(roles_of(read_back("0;5;1\n0,01;5;1\n", options)) == read_as);  // without names
  CHECK(roles_of(read_back("Zeit;Kanal;Kanal\n0;5;1\n", options)) == read_as);
  CHECK(roles_of(read_back(",,\n0,5,1\n", options)) == read_as);
  const ReadBack numbered = read_back("0;5;1\n0,01;5;1\n", options);
  REQUIRE(numbered.columns.size() == 2);
  CHECK(numbered.columns[1].name == "column 3");
  CHECK(numbered.whole().acceleration[2].size() == 2);
  options.columns["z"] = "column 4";
  CHECK(refusal(read_back("Zeit;Kanal;Kanal\n0;5;1\n", options))
            .find("no column is named \"column 4\"") != std::string::npos);
}

TEST_CASE("one column cannot be two things") {
  ReadingOptions options;
  options.columns = {{"x", "Kanal 1"}, {"z", "Kanal 1"}};
  CHECK(refusal(read_back("time_s;Kanal 1\n0;1\n", options)).find("cannot be both x and z") !=
        std::string::npos);
}

TEST_CASE("a refusal for want of known columns names those that there are") {
  for (const char* text :
       {"Zeit;Kanal 1;Kanal 2\n0;1;2\n1;1;2\n", "time_s;Kanal 1;Kanal 2\n0;1;2\n1;1;2\n",
        "az_g;Kanal 1;Kanal 2\n0;1;2\n1;1;2\n"}) {
    INFO(std::string(text));
    const ReadBack read = read_back(text);
    REQUIRE(read.refused);
    CHECK(read.refused->right.find("say which column is what: ") != std::string::npos);
    CHECK(read.refused->right.find("Kanal 1, Kanal 2") != std::string::npos);
  }
}

TEST_CASE("what was chosen among several is told") {
  CHECK(read_back("time_s,accelerometer_z_g,linear_acceleration_z_g\n0,1,2\n")
            .finding("one_of_several") != nullptr);
  CHECK(read_back("time_s,az\n0,9.8\n").finding("unit_by_gravity") != nullptr);
  CHECK(read_back("timestamp,az_g\n1777885920123,1\n").finding("epoch") != nullptr);
}

TEST_CASE("moments are read as seconds") {
  struct StampRow {
    const char* text;
    double seconds;  // since 1970 (python3 datetime) or midnight; below 0: none
  };
  const StampRow rows[] = {
      {"2026-05-04T09:12:00.123Z", 1777885920.123},
      {"2026-05-04 09:12:00", 1777885920.0},
      {"2026-05-04T11:12:00+02:00", 1777885920.0},
      {"2026/05/04 09:12:00,5", 1777885920.5},
      {"2026-05-04T09:12:00.123456789Z", 1777885920.123456789},
      {"09:12:00.25", 33120.25},
      {"9:12:00", 33120.0},
      {"04.05.2026 09:12:00,5", 1777885920.5},
      {"4.5.2026 9:12:00", 1777885920.0},
      {"31.02.2026 09:12:00", -1.0},
      {"5/4/2026 9:12:00", -1.0},
      {"9:12:00 AM", -1.0},
      {"2026-02-30T00:00:00Z", -1.0},
      {"2026-05-04", -1.0},
      {"24:00:00", -1.0},
      {"12:60:00", -1.0},
      {"12:00", -1.0},
      {"2026-05-04T09:12:00X", -1.0},
      {"", -1.0},
  };
  for (const StampRow& row : rows) {
    INFO(std::string(row.text));
    const auto read = read_stamp(row.text);
    CHECK(read.has_value() == (row.seconds >= 0.0));
    if (read) CHECK(*read == doctest::Approx(row.seconds).epsilon(1e-15));
  }
}
