// The frequencies that the turning parts can make at one moment, as `perrev orders` tells them.
//
// JSON keys: docs/json.md, "orders".
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/knowledge/rule_base.h"
#include "engine/providers/orders.h"
#include "engine/providers/orders_feel.h"
#include "engine/quantity/quantity.h"
#include "engine/vehicle/beating.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

// Once a frequency was measured: lines less probable than this are out of the question, so nobody
// needs to tell them apart; of two more probable than that, each may be it.
inline constexpr double kInQuestion = 0.02;
inline constexpr double kMayBe = 0.15;

struct LinesQuestion {
  VehicleFacts vehicle;
  Motion motion;
  std::vector<double> measured;   // Hz, all readings
  std::optional<FeltRate> feels;  // how fast it feels
  std::optional<double> beat;     // s from one swelling to the next
  // Of two wheels with the front tire's size: what makes them swell together.
  std::optional<std::pair<double, double>> treads;     // m
  std::optional<std::pair<double, double>> pressures;  // Pa
};

// Two lines that one reading cannot tell apart: nearer than two standard deviations, or both of
// them a good explanation of what was measured.
struct Twins {
  std::size_t first, second;  // of the lines
  double apart = 0.0;         // Hz
  std::string advice;
};

struct ExplainedPeak {
  Peak peak;
  Explanation explained;  // by lines that are all as likely before
};

// Two lines of different parts that would swell together in about the time that was counted.
struct BeatingLines {
  std::size_t first, second;  // of the lines
  Estimate hz;                // of the swelling
};

// What swelling says of two wheels.
struct BeatingWheels {
  double wheel_hz = 0.0;
  std::optional<BehindBeat> behind;    // with a period: the difference behind it
  std::optional<Estimate> difference;  // with treads or pressures: relative
};

struct LinesAnswer {
  Rotations turning;
  std::vector<OrderLine> lines;
  std::vector<ExplainedPeak> peaks;
  // That a line is the one felt, each peak as likely to be it; empty where nothing was measured or
  // felt. With `unexplained` it sums to one.
  std::vector<double> probability;
  double unexplained = 1.0;
  std::vector<Twins> twins;
  std::vector<BeatingLines> beating;  // the nearest to what was counted first
  std::optional<BeatingWheels> wheels;
  std::vector<std::string> notes;  // what was assumed, and what is missing
};

inline bool is_engines(const OrderLine& line) { return is_engines(line.source); }

// What would part two lines: another gear, neutral, another speed, standing, a look.
std::string advice_for(const OrderLine& a, const OrderLine& b);

LinesAnswer lines_answer(const LinesQuestion& asked);
nlohmann::ordered_json to_json(const LinesQuestion& asked, const LinesAnswer& answer);
std::string lines_text(const LinesQuestion& asked, const LinesAnswer& answer, Units units);

// The parts of the answer about swelling (lines_answer_beat.cpp); lines and turning are there.
void add_beating(const LinesQuestion& asked, LinesAnswer& answer);
nlohmann::ordered_json beat_json(const LinesQuestion& asked, const LinesAnswer& answer);

}  // namespace perrev
