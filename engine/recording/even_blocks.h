// Even samples with their speed to blocks: full ones, and the rest where a stretch ends.
#pragma once

#include <cstddef>
#include <deque>
#include <optional>
#include <vector>

#include "engine/recording/even_grid.h"
#include "engine/recording/held_trace.h"
#include "engine/recording/samples.h"

namespace perrev {

// A reading beside the accelerations: not there, constant, or a trace.
struct BesideThem {
  double constant = 0.0;  // 0: none
  std::optional<HeldTrace> trace;

  bool there() const { return constant > 0.0 || trace.has_value(); }
  double known_until() const;
  double at(double time) { return trace ? trace->at(time) : constant; }
};

class EvenBlocks {
 public:
  EvenBlocks(double step, std::vector<std::size_t> axes, EvenSink sink)
      : step_(step), axes_(std::move(axes)), sink_(std::move(sink)) {}

  // What is known of the stretches is taken off them.
  void drain(std::deque<Stretch>& stretches, BesideThem& speed, BesideThem& engine);

  std::size_t samples() const { return samples_; }
  double longest_piece() const { return static_cast<double>(longest_) * step_; }  // s
  double highest_speed() const { return highest_speed_; }
  double highest_engine() const { return highest_engine_; }
  // Left out because a reading beside was missing.
  double missing_speed() const { return static_cast<double>(without_speed_) * step_; }
  double missing_engine() const { return static_cast<double>(without_engine_) * step_; }

 private:
  void drain(Stretch& stretch, BesideThem& speed, BesideThem& engine);
  void forget_used(Stretch& stretch);
  void add(const Stretch& stretch, std::size_t i, double time, double speed, double engine,
           bool has_speed, bool has_engine);
  void end_block(bool goes_on);

  double step_;
  std::vector<std::size_t> axes_;
  EvenSink sink_;
  EvenBlock block_;
  std::size_t size_ = 0;                 // of block_
  std::size_t piece_ = 0, longest_ = 0;  // samples without a gap
  double highest_speed_ = 0.0, highest_engine_ = 0.0;
  std::size_t samples_ = 0, without_speed_ = 0, without_engine_ = 0;
};

}  // namespace perrev
