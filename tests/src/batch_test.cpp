// `perrev diagnose --batch`: many cases, one a line.
#include <doctest/doctest.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <limits>
#include <nlohmann/json.hpp>
#include <random>
#include <sstream>
#include <string>
#include <thread>
#include <vector>

#include "src/batch_case.h"
#include "src/batch_line.h"
#include "src/files.h"
#include "src/lines_in_order.h"
#include "tests/src/run_perrev.h"

using namespace perrev;
using namespace perrev::test;
using Json = nlohmann::json;

namespace {

// All reference cases, each on a line.
std::vector<std::string> reference_lines() {
  std::vector<std::string> paths, out;
  for (const auto& entry : std::filesystem::directory_iterator("cases"))
    if (entry.path().extension() == ".json") paths.push_back(entry.path().string());
  std::sort(paths.begin(), paths.end());
  for (const std::string& path : paths)
    out.push_back(Json::parse(*read_file(path, 1u << 20)).dump());
  return out;
}

std::vector<Json> answers_in(const std::string& text) {
  std::vector<Json> out;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) out.push_back(Json::parse(line));
  return out;
}

std::string numbered(std::size_t count) {
  std::string out;
  for (std::size_t i = 1; i <= count; ++i) out += std::to_string(i) + "\n";
  return out;
}

std::string six_digits(double value) {
  std::string out;
  add_six_digits(value, out);
  return out;
}

// The C library's.
std::string printed(double value) {
  char out[32];
  std::snprintf(out, sizeof out, "%.6g", value);
  return out;
}

}  // namespace

TEST_CASE("a number has the six digits that printf gives it") {
  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  for (const double value : {0.0, -0.0, 1.0, -1.0, 0.5, 100000.0, 999999.0, 999999.5, 1e6, 1e-4,
                             0.00009999995, 0.1, 0.25, kInfinity, -kInfinity})
    CHECK(six_digits(value) == printed(value));
  std::mt19937_64 random(1);
  std::uniform_real_distribution<double> exponent(-9.0, 9.0);
  std::uniform_int_distribution<int> halves(100000, 1000000), tens(-8, 2);
  for (int i = 0; i < 100000; ++i) {
    const double any = (i % 2 == 0 ? 1.0 : -1.0) * std::pow(10.0, exponent(random));
    const double half = (halves(random) + 0.5) * std::pow(10.0, tens(random));
    for (const double value : {any, half, std::nextafter(half, 0.0), std::nextafter(half, 1e9)}) {
      CAPTURE(printed(value));
      REQUIRE(six_digits(value) == printed(value));
    }
  }
}

TEST_CASE("a case of everyday is read quickly") {
  BatchCaseReader reader;
  for (const std::string& line : reference_lines()) {
    CAPTURE(line);
    CHECK(reader.read(line) != nullptr);
  }
}

TEST_CASE("a batch says of each case what diagnose says of it alone") {
  const std::vector<std::string> lines = reference_lines();
  REQUIRE(lines.size() > 50);
  std::string all;
  for (const std::string& line : lines) all += line + "\n";
  const Ran batch =
      run_perrev({"diagnose", "--batch", "-", "--causes", "5", "--explain", "2"}, all);
  CHECK(batch.code == 0);
  const std::vector<Json> answers = answers_in(batch.out);
  REQUIRE(answers.size() == lines.size());
  for (std::size_t i = 0; i < lines.size(); ++i) {
    CAPTURE(i);
    CHECK(answers[i]["line"] == i + 1);
    REQUIRE(answers[i]["ranking"].size() == 5);
    CHECK(answers[i]["ranking"][1].contains("evidence"));
    CHECK(!answers[i]["ranking"][2].contains("evidence"));
  }
  for (std::size_t i = 0; i < lines.size(); i += 23) {
    CAPTURE(i);
    const Json alone = Json::parse(run_perrev({"diagnose", "-", "--json"}, lines[i]).out);
    for (const char* key : {"label", "rules_digest", "round"}) CHECK(answers[i][key] == alone[key]);
    const double not_listed = answers[i]["not_listed"];
    CHECK(not_listed == doctest::Approx(alone["not_listed"].get<double>()).epsilon(1e-5));
    for (std::size_t c = 0; c < 5; ++c) {
      const Json &one = answers[i]["ranking"][c], &other = alone["ranking"][c];
      CHECK(one["cause"] == other["cause"]);
      CHECK(one["state"] == other["state"]);
      const double probability = one["probability"];
      CHECK(probability == doctest::Approx(other["probability"].get<double>()).epsilon(1e-5));
      if (c >= 2) continue;
      // The evidence of a cause adds up to the same, and is of the same facts.
      REQUIRE(one["evidence"].size() == other["evidence"].size());
      for (std::size_t e = 0; e < one["evidence"].size(); ++e) {
        const Json &weight = one["evidence"][e]["weight_decibans"],
                   &weight_alone = other["evidence"][e]["weight_decibans"];
        REQUIRE(weight.is_null() == weight_alone.is_null());
        if (!weight.is_null()) {
          const double decibans = weight;
          CHECK(decibans == doctest::Approx(weight_alone.get<double>()).epsilon(1e-5));
        }
      }
    }
  }
}

TEST_CASE("a line that is no case is told in its place, and the others are answered") {
  const std::string good = R"({"perrev_case": 1, "entries": []})";
  const std::string unknown =
      R"({"perrev_case": 1, "entries": [{"id": "1", "at": "2026-05-04T09:12:00Z", "by": "bay",)"
      R"( "fact": "no_such_fact", "value": "x"}]})";
  const Ran batch =
      run_perrev({"diagnose", "--batch", "-"}, good + "\n\n{broken\n" + unknown + "\n" + good);
  CHECK(batch.code == 2);
  const std::vector<Json> answers = answers_in(batch.out);
  REQUIRE(answers.size() == 4);
  CHECK(answers[0].contains("ranking"));
  CHECK(answers[1]["line"] == 3);  // the blank line counts
  CHECK(answers[1]["problems"][0]["what"] == "this is not JSON");
  CHECK(answers[2]["problems"][0]["where"] == "/entries/0/fact");
  CHECK(answers[3]["line"] == 5);
  CHECK(answers[3].contains("ranking"));
  CHECK(batch.err.find("4 cases, 2 not understood") != std::string::npos);
}

TEST_CASE("answers do not go into the file that the cases are read from") {
  const Folder folder;
  const std::string path = folder.path("cases.jsonl"), line = R"({"perrev_case":1,"entries":[]})";
  folder.write("cases.jsonl", line + "\n");
  for (const std::string& in : {path, std::string("- < ") + path})
    CHECK(std::system((std::string(PERREV_BINARY) + " diagnose --batch " + in + " >> " + path +
                       " 2> " + folder.path("told"))
                          .c_str()) != 0);
  CHECK(folder.read("told").find("would go into the file of the cases") != std::string::npos);
  CHECK(folder.read("cases.jsonl") == line + "\n");
}

TEST_CASE("what is no file of cases is refused") {
  CHECK(run_perrev({"diagnose", "--batch", "cases"}).err.find("it is a folder") !=
        std::string::npos);
  CHECK(run_perrev({"diagnose", "--batch", "no_such_file"}).code == 2);
  CHECK(run_perrev({"diagnose"}).code == 2);
  CHECK(run_perrev({"diagnose", "--batch", "-", "--causes", "-1"}).code == 2);
  CHECK(run_perrev({"diagnose", "--batch", "-", "--explain", "many"}).code == 2);
  CHECK(run_perrev({"diagnose", "--batch", "-", "cases/shakes_after_new_tires.json"}).code == 2);
}

TEST_CASE("lines are written in the order they were read, whoever works on them") {
  for (const std::size_t count : {0U, 1U, 127U, 128U, 129U, 5000U}) {
    std::istringstream in(numbered(count));
    std::ostringstream out;
    std::atomic<int> strange{0};
    lines_in_order(
        in, out, 1000,
        [&](const NumberedLine& line) {
          // Early lines take longest: those that come later have to wait.
          volatile double busy = 0.0;
          for (std::size_t i = line.number % 128; i < 128; ++i) busy = busy + 1.0;
          strange += line.text == std::to_string(line.number) ? 0 : 1;
          return line.text + "\n";
        },
        [](std::size_t) {});
    CHECK(strange == 0);
    CHECK(out.str() == numbered(count));
  }
}

TEST_CASE("others go on while one line takes long, and none gets far ahead of it") {
  const std::size_t cores = std::thread::hardware_concurrency(), count = 2000 * cores;
  if (cores < 2) return;
  std::istringstream in(numbered(count));
  std::ostringstream out;
  std::atomic<int> worked{0}, before_first{0};
  lines_in_order(
      in, out, 1000,
      [&](const NumberedLine& line) {
        if (line.number == 1) {
          const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(20);
          while (worked < 600 && std::chrono::steady_clock::now() < until)
            std::this_thread::sleep_for(std::chrono::milliseconds(1));
          std::this_thread::sleep_for(std::chrono::milliseconds(50));
          before_first = worked.load();
        }
        ++worked;
        return line.text + "\n";
      },
      [](std::size_t) {});
  CHECK(before_first >= 600);
  CHECK(before_first < static_cast<int>(count / 2));
  CHECK(out.str() == numbered(count));
}

TEST_CASE("a line longer than may be is cut and said to be, and the next one is whole") {
  for (const std::size_t most : {10U, 65535U, 65536U, 200000U}) {
    CAPTURE(most);
    std::istringstream in(std::string(most, 'a') + "\n" + std::string(most + 1, 'b') +
                          "\r\nlast one");
    std::ostringstream out;
    lines_in_order(
        in, out, most,
        [](const NumberedLine& line) {
          return std::to_string(line.number) + line.text.substr(0, 1) +
                 std::to_string(line.text.size()) + (line.too_long ? "!" : "") + " ";
        },
        [](std::size_t) {});
    const std::string full = std::to_string(most);
    CHECK(out.str() == "1a" + full + " 2b" + full + "! 3l8 ");
  }
}
