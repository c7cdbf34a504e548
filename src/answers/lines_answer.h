// The frequencies that the turning parts can make at one moment, as `perrev orders` tells them.
//
// JSON: lines (source, part, order, frequency_hz, sd_hz, about; with --measured also probability),
// sorted by frequency; measured_hz and unexplained_probability, null without --measured;
// not_told_apart (lines: two indices, about, apart_hz, advice); conflicts (part, one_hz, other_hz,
// what); parts (part, hz, sd_hz, from); notes: what was assumed and what is missing.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "engine/providers/orders.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

// Once a frequency was measured: lines less probable than this are out of the question, so nobody
// needs to tell them apart; of two more probable than that, each may be it.
inline constexpr double kInQuestion = 0.02;
inline constexpr double kMayBe = 0.15;

struct LinesQuestion {
  VehicleFacts vehicle;
  Motion motion;
  std::optional<double> measured;  // Hz
};

// Two lines that one reading cannot tell apart: nearer than two standard deviations, or both of
// them a good explanation of what was measured.
struct Twins {
  std::size_t first, second;  // of the lines
  double apart = 0.0;         // Hz
  std::string advice;
};

struct LinesAnswer {
  Rotations turning;
  std::vector<OrderLine> lines;
  std::optional<Explanation> explained;
  std::vector<Twins> twins;
  std::vector<std::string> notes;  // what was assumed, and what is missing
};

inline bool is_engines(const OrderLine& line) {
  return line.source == "engine" || line.source == "accessory";
}

LinesAnswer lines_answer(const LinesQuestion& asked);
nlohmann::ordered_json to_json(const LinesQuestion& asked, const LinesAnswer& answer);

}  // namespace perrev
