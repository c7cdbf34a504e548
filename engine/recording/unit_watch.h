// Whether accelerations are in the unit they are said to be: gravity tells.
//
// A recorder that does not take gravity out reads 1 g on the whole, however it lies: 0.9 to 1.1 in
// g, 9.3 to 10.3 in m/s2, 900 to 1100 in mg (braking at 0.4 g adds 8 %). A unit that nothing names
// is settled by the mean of the first rows; a named one is refused where the mean of nearly every
// second is gravity in another unit. Where gravity was taken out only size can tell: nobody drives
// at 50 m/s2 r.m.s. for most of the seconds.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "engine/recording/finding_log.h"
#include "engine/recording/recorded_column.h"
#include "engine/result.h"

namespace perrev {

// Units of accelerations that nothing names, from rows in the file's own units; sets them.
std::optional<Problem> settle_accelerations(std::vector<RecordedColumn>& columns,
                                            const Samples& first_rows, FindingLog& log);

class UnitWatch {
 public:
  // `unit` of the accelerations, `size` in SI; no unit: gravity is not looked for.
  UnitWatch(std::string unit, double size) : unit_(std::move(unit)), size_(size) {}

  void take(const Samples& samples);  // in SI
  std::optional<Problem> finish();

 private:
  static constexpr std::size_t kUnits = 3;
  void close_window();

  std::string unit_;
  double size_;
  std::array<double, kAxes> sum_{};
  std::size_t in_window_ = 0;
  double window_from_ = 0.0;
  std::size_t windows_ = 0;
  std::array<std::size_t, kUnits> alike_{};  // windows whose mean is gravity in that unit
  double squares_ = 0.0;
  std::size_t loud_ = 0;       // windows
  double loud_squares_ = 0.0;  // means of them, added up
};

}  // namespace perrev
