#include "engine/recording/columns.h"

#include <algorithm>

namespace perrev {
namespace {

void append(std::vector<double>& to, const std::vector<double>& from) {
  to.insert(to.end(), from.begin(), from.end());
}

void drop_first(std::vector<double>& column, std::size_t rows) {
  const std::size_t gone = std::min(rows, column.size());
  column.erase(column.begin(), column.begin() + static_cast<std::ptrdiff_t>(gone));
}

}  // namespace

void append(EvenBlock& to, const EvenBlock& from) {
  for (std::size_t axis = 0; axis < kAxes; ++axis)
    append(to.acceleration[axis], from.acceleration[axis]);
  append(to.speed, from.speed);
  append(to.engine_hz, from.engine_hz);
}

void drop_first(EvenBlock& block, std::size_t rows) {
  for (std::vector<double>& axis : block.acceleration) drop_first(axis, rows);
  drop_first(block.speed, rows);
  drop_first(block.engine_hz, rows);
}

}  // namespace perrev
