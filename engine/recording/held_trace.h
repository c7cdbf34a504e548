// A slow reading that a logger repeats until the next one comes, made continuous.
//
// Positions come once a second and their speed stands in every row until then. Between two changes
// the value goes in a line; one that stayed longer than usual is held first, and goes to the next
// value within the usual time between changes (the median of the last ones, 1 s before any is
// known, 3 s at most). Up to 5 s without a value are bridged; longer ones are missing.
#pragma once

#include <array>
#include <cstddef>
#include <limits>
#include <vector>

namespace perrev {

class HeldTrace {
 public:
  // Times rise; what lies before the last one is passed over. Not-a-number: no value there.
  void take(double time, double value);
  // Nothing more comes: the last value holds for as long as a hole may be.
  void close();
  bool empty() const { return knots_.empty(); }

  // Up to when `at` will not change by what is yet to come.
  double known_until() const { return known_; }
  // Not-a-number where it is missing. Times rise, and are not past known_until.
  double at(double time);

 private:
  struct Knot {
    double time, value;
    bool after_hole;
  };
  static constexpr std::size_t kRing = 15;
  static constexpr double kEver = std::numeric_limits<double>::infinity();
  void turn(double time, double value);
  void note_apart(double apart);
  void note_known();

  std::vector<Knot> knots_;            // lines go from each to the next
  std::size_t passed_ = 0;             // knots that lie behind
  std::array<double, kRing> apart_{};  // s, the last times between changes
  std::size_t changes_ = 0;
  double usual_time_ = 1.0;  // s between changes
  double changed_ = 0.0, seen_ = 0.0, value_ = 0.0;
  double now_ = -kEver, known_ = -kEver;
  bool begun_ = false, hole_ = false;
};

}  // namespace perrev
