#include "engine/recording/severity.h"

#include <cstddef>
#include <iterator>
#include <limits>

namespace perrev {

namespace {

// ISO 2631-1:1997, C.2.3; m/s2. The ranges overlap on purpose.
struct Comfort {
  double low, high;
  std::string_view words;
  std::string_view with_next;  // where the next range has begun
};
constexpr Comfort kComfort[] = {
    {0.0, 0.315, "not uncomfortable", "a little uncomfortable"},
    {0.315, 0.63, "a little uncomfortable", "a little to fairly uncomfortable"},
    {0.5, 1.0, "fairly uncomfortable", "fairly uncomfortable to uncomfortable"},
    {0.8, 1.6, "uncomfortable", "uncomfortable to very uncomfortable"},
    {1.25, 2.5, "very uncomfortable", "very to extremely uncomfortable"},
    {2.0, std::numeric_limits<double>::infinity(), "extremely uncomfortable", ""},
};

}  // namespace

std::string_view comfort_of(double total) {
  for (std::size_t i = 0; i < std::size(kComfort); ++i) {
    if (!(total <= kComfort[i].high)) continue;
    const bool next = i + 1 < std::size(kComfort) && total >= kComfort[i + 1].low;
    return next ? kComfort[i].with_next : kComfort[i].words;
  }
  return "";
}

}  // namespace perrev
