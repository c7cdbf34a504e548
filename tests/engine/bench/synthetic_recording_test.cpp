// Recordings of made-up drives: the line of the truth stands where the truth has it.
#include "engine/bench/synthetic_recording.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <sstream>

#include "tests/engine/bench/shipped_simulator.h"

using namespace perrev;
using perrev::testing::shipped_rules;
using perrev::testing::simulator;

namespace {

// Amplitude of what turns `order` times a turn of the part, by the speed alone.
double amplitude(const SyntheticRecording& recording, const std::vector<double>& of,
                 double turns_per_metre, double order) {
  double turn = 0.0, real = 0.0, imaginary = 0.0;
  for (std::size_t i = 0; i < of.size(); ++i) {
    if (i > 0)
      turn += 0.5 * (recording.speed[i] + recording.speed[i - 1]) *
              (recording.time[i] - recording.time[i - 1]) * turns_per_metre;
    const double angle = 2.0 * 3.14159265358979323846 * order * turn;
    // Hann's window.
    const double window = 1.0 - std::cos(2.0 * 3.14159265358979323846 * static_cast<double>(i) /
                                         static_cast<double>(of.size() - 1));
    real += window * of[i] * std::cos(angle);
    imaginary += window * of[i] * std::sin(angle);
  }
  return 2.0 * std::hypot(real, imaginary) / static_cast<double>(of.size());
}

SyntheticComplaint loud(const char* cause, std::uint64_t seed) {
  SyntheticComplaint out = simulator().draw(seed, 0, shipped_rules().cause_index(cause));
  out.truth.number_db = 20.0;  // well above the road
  out.truth.worst_speed = 27.0;
  return out;
}

}  // namespace

TEST_CASE("the order line of a recording is where the truth says") {
  for (const char* cause : {"static_imbalance", "tire_force_higher", "driveshaft_imbalance",
                            "bent_rim_radial", "rotor_runout"}) {
    CAPTURE(cause);
    const SyntheticComplaint complaint = loud(cause, 2);
    const SyntheticRecording made = record(simulator(), complaint, {200.0, 60.0}, 2);
    REQUIRE(made.z.size() == 12001);
    const SyntheticTruth& truth = complaint.truth;
    const double line = amplitude(made, made.z, truth.turns_per_metre, truth.order);
    for (const double beside : {0.93, 0.97, 1.03, 1.07}) {
      CAPTURE(beside);
      CHECK(line > 3.0 * amplitude(made, made.z, truth.turns_per_metre, beside * truth.order));
    }
  }
}

TEST_CASE("a recording drives through the worst speed, and a brake's shake while it slows down") {
  const SyntheticComplaint turning = loud("static_imbalance", 3), braking = loud("rotor_runout", 3);
  const SyntheticRecording faster = record(simulator(), turning, {50.0, 30.0}, 3);
  const SyntheticRecording slower = record(simulator(), braking, {50.0, 30.0}, 3);
  CHECK(faster.speed.front() < 27.0);
  CHECK(faster.speed.back() > 27.0);
  CHECK(slower.speed.front() > 27.0);
  CHECK(slower.speed.back() < 27.0);
  CHECK(faster.time.back() == doctest::Approx(30.0));
}

TEST_CASE("lines that the sampling cannot hold are left out, and the same seed gives the same") {
  SyntheticComplaint complaint = loud("static_imbalance", 4);
  complaint.truth.worst_speed = 36.0;
  REQUIRE(0.85 * 36.0 * complaint.truth.turns_per_metre > 10.0);  // half of 20 Hz, all along
  const SyntheticRecording coarse = record(simulator(), complaint, {20.0, 30.0}, 4);
  const SyntheticRecording fine = record(simulator(), complaint, {100.0, 30.0}, 4);
  const auto power = [](const std::vector<double>& of) {
    double sum = 0.0;
    for (const double a : of) sum += a * a;
    return sum / static_cast<double>(of.size());
  };
  CHECK(power(coarse.z) < power(fine.z));
  CHECK(recording_csv(coarse) == recording_csv(record(simulator(), complaint, {20.0, 30.0}, 4)));
}

TEST_CASE("a recording as text: a head, and a line a sample") {
  const SyntheticRecording made = record(simulator(), loud("static_imbalance", 5), {100.0, 5.0}, 5);
  std::istringstream lines(recording_csv(made));
  std::string line;
  REQUIRE(std::getline(lines, line));
  CHECK(line == "time_s,speed_m_s,acceleration_x_m_s2,acceleration_y_m_s2,acceleration_z_m_s2");
  std::size_t count = 0;
  while (std::getline(lines, line)) {
    CHECK(std::count(line.begin(), line.end(), ',') == 4);
    ++count;
  }
  CHECK(count == made.time.size());
}
