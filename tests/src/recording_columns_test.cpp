// `perrev recording` on files whose columns or speeds a person has to tell apart.
#include <doctest/doctest.h>

#include "tests/src/made_recordings.h"

using namespace perrev::test;
using Json = nlohmann::ordered_json;

TEST_CASE("columns are named by hand, those of the speeds apart from those of the recording") {
  const Folder folder;
  folder.write("logger.csv", logger_csv(27.0, 40.0));
  folder.write("speed.csv", speeds_csv(27.0, 40.0));
  const std::string path = folder.path("logger.csv"), speeds = folder.path("speed.csv");
  const Ran unnamed = run_perrev({"recording", "check", path});
  CHECK(unnamed.code == 2);
  CHECK(unnamed.err.find("say which column is what: Clock, Channel 1, Channel 2, Channel 3") !=
        std::string::npos);
  const std::vector<std::string> columns = {"--column", "time=Clock", "--time-unit", "s",
                                            "--column", "x=column 2", "--column",    "z=Channel 3"};
  std::vector<std::string> arguments = {"recording", "orders", path, "--tire", "225/60R16"};
  arguments.insert(arguments.end(), columns.begin(), columns.end());
  std::vector<std::string> with_speeds = arguments;
  with_speeds.insert(with_speeds.end(), {"--speed-file", speeds, "--speed-file-column", "speed=v"});
  const Ran no_unit = run_perrev(with_speeds);
  CHECK(no_unit.code == 2);
  CHECK(no_unit.err.find(speeds + ":1: error: nothing says in which unit \"v\" is") == 0);
  with_speeds.insert(with_speeds.end(), {"--speed-unit", "km/h"});
  const Json found = json_of(with_speeds);
  CHECK(found["speed_columns"][1] == Json{{"role", "speed"}, {"name", "v"}, {"unit", "km/h"}});
  CHECK(found["file_columns"][2]["role"].is_null());
  CHECK(found["highest_speed_km_h"].get<double>() == doctest::Approx(97.2).epsilon(1e-3));
  CHECK(found["vibrations"][0]["meanings"][0]["about"] == "tire order 1");
  const Ran text = run_perrev(with_speeds);
  CHECK(text.out.find("File of speeds\n  time      \"t_s\", in s\n  speed     \"v\", in km/h\n") !=
        std::string::npos);
  CHECK(text.out.find("  not read  \"Channel 2\"\n") != std::string::npos);
  const Ran wrong = run_perrev(
      {"recording", "check", path, "--speed-file", speeds, "--speed-file-column", "sideways=v"});
  CHECK(wrong.code == 2);
  CHECK(wrong.err.find("--speed-file-column: \"sideways\"") != std::string::npos);
}

TEST_CASE("a file of speeds that ends too soon is told as itself, not as the recording") {
  const Folder folder;
  folder.write("phone.csv", phone_csv(27.0, 40.0));
  folder.write("speed.csv", "time_s,speed_kmh\n");
  for (const char* offset : {"", "0 s"}) {
    std::vector<std::string> arguments = {"recording", "check", folder.path("phone.csv"),
                                          "--speed-file", folder.path("speed.csv")};
    if (*offset) arguments.insert(arguments.end(), {"--offset", offset});
    const Ran ran = run_perrev(arguments);
    CAPTURE(ran.err);
    CHECK(ran.code == 2);
    CHECK(ran.err.find(folder.path("speed.csv")) == 0);
  }
}
