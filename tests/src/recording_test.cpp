// `perrev recording` as it is used: what stands in docs/recording.md, two files with two clocks,
// WAV, what is refused.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <nlohmann/json.hpp>

#include "engine/random.h"
#include "tests/engine/picture/svg_reader.h"
#include "tests/src/made_recordings.h"
#include "tests/src/page_commands.h"

using namespace perrev::test;
using Json = nlohmann::ordered_json;

namespace {

// 16 bit, one channel.
std::string wav_of(double rate, double hz, double seconds) {
  std::string data;
  perrev::Random random(6);
  const auto add = [](std::string& to, std::uint32_t value, int bytes) {
    for (int b = 0; b < bytes; ++b) to += static_cast<char>(value >> (8 * b) & 0xFFu);
  };
  for (int i = 0; i < static_cast<int>(rate * seconds); ++i) {
    const double value = 0.1 * std::sin(kTurn * hz * i / rate) + 0.02 * random.normal();
    add(data, static_cast<std::uint16_t>(static_cast<std::int16_t>(32767.0 * value)), 2);
  }
  std::string out = "RIFF";
  add(out, static_cast<std::uint32_t>(36 + data.size()), 4);
  out += "WAVEfmt ";
  add(out, 16, 4);
  add(out, 1, 2);
  add(out, 1, 2);
  add(out, static_cast<std::uint32_t>(rate), 4);
  add(out, static_cast<std::uint32_t>(2.0 * rate), 4);
  add(out, 2, 2);
  add(out, 16, 2);
  out += "data";
  add(out, static_cast<std::uint32_t>(data.size()), 4);
  return out + data;
}

// On one line.
std::string plain(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  while (text.find("  ") != std::string::npos) text.erase(text.find("  "), 1);
  return text;
}

void make_drive(const Folder& folder, const char* seed) {
  const Ran made = run_perrev({"simulate", "--seed", seed, "--cause", "static_imbalance",
                               "--recording", folder.path("drive.csv")});
  REQUIRE(made.code == 0);
  folder.write("my-case.json", made.out);
}

}  // namespace

TEST_CASE("every command of docs/recording.md ends well and fits 80 columns") {
  const Folder folder;
  make_drive(folder, "3");
  folder.write("after.csv", folder.read("drive.csv"));
  folder.write("logger.csv", logger_csv(27.0, 40.0));
  folder.write("speed.csv", speeds_csv(27.0, 40.0));
  const std::vector<std::string> commands = commands_of_page("docs/recording.md", "recording");
  CHECK(commands.size() >= 7);
  for (const std::string& command : commands) {
    CAPTURE(command);
    std::vector<std::string> arguments = words_of(command);
    for (std::string& argument : arguments)
      for (const char* end : {".csv", ".json", ".svg"})
        if (argument.find(end) != std::string::npos) argument = folder.path(argument);
    const Ran ran = run_perrev(arguments);
    CHECK(ran.code == 0);
    CHECK(ran.err.empty());
    CHECK(!ran.out.empty());
    if (ran.out.find(folder.path("")) == std::string::npos) CHECK(longest_line(ran.out) <= 80);
  }
  for (const char* picture : {"spectrum.svg", "map.svg", "over_speed.svg"}) {
    CAPTURE(picture);
    REQUIRE(folder.has(picture));
    CHECK(read_svg(folder.read(picture)));
  }
}

TEST_CASE("a recording that is added counts: the ranking goes by its frequency and its speed") {
  const Folder folder;
  make_drive(folder, "3");
  const std::string path = folder.path("my-case.json");
  const Json before = Json::parse(folder.read("my-case.json"))["entries"];
  const Json added = json_of({"recording", "add", folder.path("drive.csv"), path});
  const Json after = Json::parse(folder.read("my-case.json"))["entries"];
  CHECK(after.size() == before.size() + added["entries"].size());
  const Json& entry = added["entries"][0];
  CHECK(entry["fact"] == "measured_frequency");
  CHECK(entry["with"]["by"] == "gps");
  CHECK(entry["with"].contains("sd"));
  const Ran diagnosed = run_perrev({"diagnose", path});
  CHECK(diagnosed.code == 0);
  const Json lines = json_of({"recording", "orders", folder.path("drive.csv"), "--vehicle", path});
  CHECK(lines["vibrations"][0]["meanings"][0]["about"] == "tire order 1");
  CHECK(lines["vibrations"][0]["meanings"][0]["probability"].get<double>() > 0.8);
}

TEST_CASE("units that the file names or that gravity settles; a speed that was held") {
  const Folder folder;
  folder.write("phone.csv", phone_csv(27.0, 40.0));
  const Json found = json_of({"recording", "orders", folder.path("phone.csv"), "--speed", "27 m/s",
                              "--tire", "225/60R16"});
  REQUIRE(found["vibrations"].size() == 1);
  const Json& vibration = found["vibrations"][0];
  CHECK(vibration["frequency_hz"].get<double>() == doctest::Approx(27.0 / 2.03).epsilon(0.005));
  CHECK(vibration["amplitude_m_s2"].get<double>() == doctest::Approx(0.2).epsilon(0.1));
  CHECK(vibration["meanings"][0]["about"] == "tire order 1");
  CHECK(vibration["axis"] == "z");
  CHECK(found["circumference_mm"].get<double>() == doctest::Approx(2030.0).epsilon(0.01));
  const Ran wrong = run_perrev(
      {"recording", "check", folder.path("phone.csv"), "--acceleration-unit", "furlong"});
  CHECK(wrong.code == 2);
  CHECK(wrong.err.find("--acceleration-unit") != std::string::npos);
}

TEST_CASE("a file of speeds apart: the engine's are in it too, and its faults have its name") {
  const Folder folder;
  folder.write("phone.csv", phone_csv(27.0, 40.0));
  const auto speeds = [](int set_back) {
    std::string out = "time_s,speed_mps,engine_rpm\n";
    for (int i = 0; i <= 40; ++i)
      out += std::to_string(i < set_back ? i : i - 10) + ",27," + std::to_string(1980 + i) + "\n";
    return out;
  };
  folder.write("speed.csv", speeds(100));
  const auto with = [&](const char* command) {
    return std::vector<std::string>{
        "recording", command, folder.path("phone.csv"), "--speed-file", folder.path("speed.csv"),
        "--offset",  "0 s"};
  };
  const Json found = json_of(with("orders"));
  bool told = false;
  for (const Json& each : found["findings"]) told = told || each["id"] == "engine_apart";
  CHECK(told);
  folder.write("speed.csv", speeds(20));
  Ran ran = run_perrev(with("check"));
  CHECK(ran.code == 2);
  CHECK(ran.err.find(folder.path("speed.csv") + ":22: error: the clock of the speed goes back") ==
        0);
  folder.write("speed.csv", "time_s,speed_mps\n0,27\n1,300\n");
  ran = run_perrev(with("check"));
  CHECK(ran.err.find(folder.path("speed.csv") + ":3: error: a speed of 300 m/s") == 0);
  folder.write("speed.csv", "time_s,az_g\n0,1\n1,1\n");
  ran = run_perrev(with("check"));
  CHECK(ran.err.find(folder.path("speed.csv") + ": error: no two moments with a speed") == 0);
}

TEST_CASE("without a tire size wheels go by typical vehicles of any kind, and that is said") {
  const Folder folder;
  // A pickup's tire, 18 % longer round than a car's.
  REQUIRE(run_perrev({"simulate", "--seed", "5", "--cause", "static_imbalance", "--recording",
                      folder.path("drive.csv")})
              .code == 0);
  const Json found = json_of({"recording", "orders", folder.path("drive.csv")});
  const Json& meaning = found["vibrations"][0]["meanings"][0];
  CHECK(meaning["about"] == "tire order 1");
  CHECK(meaning["by_typical_vehicles"] == true);
  CHECK(found["sentences"][1].get<std::string>().find("The tire size is not known") == 0);
}

TEST_CASE("a firing order without the number of cylinders has no number") {
  const Folder folder;
  REQUIRE(run_perrev({"simulate", "--seed", "5", "--cause", "driveshaft_imbalance", "--recording",
                      folder.path("drive.csv")})
              .code == 0);
  const std::vector<std::string> arguments = {
      "recording", "orders", folder.path("drive.csv"), "--tire", "265/70R17", "--driven", "rear"};
  const Ran unknown = run_perrev(arguments);
  CHECK(plain(unknown.out).find("engine firing order (") != std::string::npos);
  CHECK(unknown.out.find("engine order 2.3") == std::string::npos);
}

TEST_CASE("the same recording is added once") {
  const Folder folder;
  make_drive(folder, "3");
  const std::string path = folder.path("my-case.json");
  const Ran first = run_perrev({"recording", "add", folder.path("drive.csv"), path});
  CHECK(first.out.find("\nAdded to " + path + "\n  measured frequency: ") != std::string::npos);
  const std::string once = folder.read("my-case.json");
  const Ran second = run_perrev({"recording", "add", folder.path("drive.csv"), path});
  CHECK(second.code == 0);
  CHECK(second.out.find("Nothing to add: the case says so already\n") != std::string::npos);
  CHECK(folder.read("my-case.json") == once);
  CHECK(json_of({"recording", "add", folder.path("drive.csv"), path})["entries"].empty());
}

TEST_CASE(
    "without a speed nothing is said to turn so fast; a short recording says that it is one") {
  const Folder folder;
  folder.write("phone.csv", phone_csv(27.0, 20.0));
  const Ran ran = run_perrev({"recording", "orders", folder.path("phone.csv")});
  const std::string said = plain(ran.out);
  CHECK(said.find("what turns so fast cannot be told without a speed, ") != std::string::npos);
  CHECK(said.find("anything else") == std::string::npos);
  CHECK(said.find("It is only 20 s long") != std::string::npos);
  CHECK(said.find("m/s2 at its peaks") == std::string::npos);
}

TEST_CASE("a vehicle is a case's or typed, not both") {
  const Ran ran = run_perrev(
      {"recording", "orders", "drive.csv", "--vehicle", "my-case.json", "--axle-ratio", "3.46"});
  CHECK(ran.code == 2);
  CHECK(ran.err.find("--vehicle excludes --axle-ratio") != std::string::npos);
}

TEST_CASE("a WAV file needs its full scale, and is read with it") {
  const Folder folder;
  folder.write("sound.wav", wav_of(1000.0, 13.3, 30.0));
  const std::string path = folder.path("sound.wav");
  const Ran refused = run_perrev({"recording", "orders", path});
  CHECK(refused.code == 2);
  CHECK(refused.err.find("full scale") != std::string::npos);
  const Json found = json_of({"recording", "orders", path, "--full-scale", "2 g"});
  REQUIRE(found["vibrations"].size() == 1);
  CHECK(found["vibrations"][0]["frequency_hz"].get<double>() ==
        doctest::Approx(13.3).epsilon(0.005));
  CHECK(found["vibrations"][0]["amplitude_m_s2"].get<double>() ==
        doctest::Approx(0.1 * 2.0 * 9.80665).epsilon(0.03));
}

TEST_CASE("what cannot be read is told by file, line and what would be right") {
  const Folder folder;
  struct Row {
    const char* text;
    const char* said;
  };
  for (const Row& row :
       {Row{"a,b\n1,2\n", ""}, Row{"", ""},
        Row{"Time,ax_g\n0,1\n0.01,1\n", "nothing says in which unit \"Time\" is"}}) {
    folder.write("bad.csv", row.text);
    const Ran ran = run_perrev({"recording", "check", folder.path("bad.csv")});
    CAPTURE(ran.err);
    CHECK(ran.code == 2);
    CHECK(ran.out.empty());
    CHECK(ran.err.find(folder.path("bad.csv")) == 0);
    CHECK(ran.err.find(row.said) != std::string::npos);
  }
  CHECK(run_perrev({"recording", "check", folder.path("nowhere.csv")}).code == 2);
  CHECK(run_perrev({"recording", "check", folder.path("")}).code == 2);
}

TEST_CASE("a case in the place of the recording is told as what it is") {
  const Folder folder;
  make_drive(folder, "3");
  const std::string before = folder.read("my-case.json");
  const Ran ran =
      run_perrev({"recording", "add", folder.path("my-case.json"), folder.path("drive.csv")});
  CHECK(ran.code == 2);
  CHECK(ran.err.find(folder.path("my-case.json") + ": error: this is no recording") == 0);
  CHECK(ran.err.find("the recording first, then the case") != std::string::npos);
  CHECK(folder.read("my-case.json") == before);
}

TEST_CASE("a case that changed while the recording was read keeps what the other one wrote") {
  const Folder folder;
  make_drive(folder, "3");
  // The case is read before the recording, which comes through a pipe.
  const std::string pipe = folder.path("pipe");
  const std::string script =
      "mkfifo " + pipe + "; { " + PERREV_BINARY + " recording add " + pipe + " " +
      folder.path("my-case.json") + " >" + folder.path("out") + " 2>" + folder.path("err") +
      "; echo $? >" + folder.path("code") + "; } & exec 3>" + pipe +
      "; printf '{\"perrev_case\": 1, \"label\": \"theirs\", "
      "\"entries\": []}' >" +
      folder.path("my-case.json") + "; cat " + folder.path("drive.csv") + " >&3; exec 3>&-; wait";
  REQUIRE(std::system(script.c_str()) == 0);
  CHECK(folder.read("code") == "2\n");
  CHECK(folder.read("err").find("was changed by somebody else meanwhile") != std::string::npos);
  CHECK(Json::parse(folder.read("my-case.json"))["label"] == "theirs");
}

TEST_CASE("before and after a repair each have their own speeds, and columns alike") {
  const Folder folder;
  folder.write("before.csv", phone_csv(27.0, 40.0));
  folder.write("after.csv", phone_csv(27.0, 40.0));
  folder.write("speed.csv", speeds_csv(27.0, 40.0));
  const auto severity = [&](std::vector<std::string> more) {
    more.insert(more.begin(), {"recording", "severity", folder.path("before.csv"),
                               folder.path("after.csv"), "--json"});
    return run_perrev(more);
  };
  const Ran held = severity({"--speed", "60 mph", "--after-speed", "45 mph"});
  REQUIRE(held.code == 0);
  const Json change = Json::parse(held.out)["change"];
  CHECK(change["speeds"] == "apart");
  CHECK(change["before_speed_km_h"].get<double>() == doctest::Approx(60 * 1.609344));
  CHECK(change["after_speed_km_h"].get<double>() == doctest::Approx(45 * 1.609344));
  CHECK(Json::parse(severity({"--speed", "60 mph"}).out)["change"]["speeds"] == "alike");
  const std::string speeds = folder.path("speed.csv");
  const Ran one = severity({"--speed-file", speeds, "--speed-unit", "km/h"});
  CHECK(one.code == 2);
  CHECK(one.err.find("--after-speed-file") != std::string::npos);
}
