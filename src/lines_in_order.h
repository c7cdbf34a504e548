// Work on the lines of a stream on all cores; what comes of them is written in their order.
//
// Each thread reads some lines, works on them, and leaves what comes of them to be written in turn;
// none gets far ahead of the slowest: memory is that of some thousand lines, however long the
// stream.
#pragma once

#include <cstddef>
#include <functional>
#include <iosfwd>
#include <string>

namespace perrev {

struct NumberedLine {
  std::size_t number = 0;  // from 1
  std::string text;        // without its end; what is beyond `most` is dropped
  bool too_long = false;
};

// `work` may be called from any thread; what it gives is written as it is. Blank lines are passed
// over. `read_mib` is told how far the reading is, from the calling thread alone.
void lines_in_order(std::istream& in, std::ostream& out, std::size_t most,
                    const std::function<std::string(const NumberedLine&)>& work,
                    const std::function<void(std::size_t)>& read_mib);

}  // namespace perrev
