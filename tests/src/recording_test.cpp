// `perrev recording` as it is used: what stands in docs/recording.md, two files with two clocks,
// WAV, what is refused.
#include <doctest/doctest.h>

#include <cmath>
#include <cstdint>
#include <nlohmann/json.hpp>

#include "engine/random.h"
#include "tests/engine/picture/svg_reader.h"
#include "tests/src/page_commands.h"

using namespace perrev::test;
using Json = nlohmann::ordered_json;

namespace {

constexpr double kTurn = 6.283185307179586;

// One g of gravity, a tone that turns with a wheel of 2.03 m, noise.
std::string phone_csv(double speed, double seconds) {
  perrev::Random random(5);
  std::string out = "Time (ms),Acc X (g),Acc Y (g),Acc Z (g)\n";
  for (int i = 0; i < static_cast<int>(100.0 * seconds); ++i) {
    const double time = i / 100.0;
    const double z = 9.80665 + 0.2 * std::sin(kTurn * speed / 2.03 * time) + 0.3 * random.normal();
    char line[96];
    std::snprintf(line, sizeof line, "%.0f,%.5f,%.5f,%.5f\n", 1e3 * time, 0.015 * random.normal(),
                  0.015 * random.normal(), z / 9.80665);
    out += line;
  }
  return out;
}

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

void make_drive(const Folder& folder, const char* seed) {
  const Ran made = run_perrev({"simulate", "--seed", seed, "--cause", "static_imbalance",
                               "--recording", folder.path("drive.csv")});
  REQUIRE(made.code == 0);
  folder.write("my-case.json", made.out);
}

Json json_of(std::vector<std::string> arguments) {
  arguments.push_back("--json");
  const Ran ran = run_perrev(arguments);
  CHECK(ran.err.empty());
  REQUIRE(ran.code == 0);
  return Json::parse(ran.out);
}

}  // namespace

TEST_CASE("every command of docs/recording.md ends well and fits 80 columns") {
  const Folder folder;
  make_drive(folder, "3");
  folder.write("after.csv", folder.read("drive.csv"));
  const std::vector<std::string> commands = commands_of_page("docs/recording.md", "recording");
  CHECK(commands.size() >= 5);
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
