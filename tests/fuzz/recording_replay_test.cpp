// The inputs of tests/fuzz/recording/ held to the law of recordings.
#include <doctest/doctest.h>

#include "tests/fuzz/recording_law.h"
#include "tests/fuzz/replay.h"

using namespace perrev::fuzz;

TEST_CASE("inputs of the fuzz target keep the law of recordings") {
  replay({"recording", broken_recording_law, recording_comes_through, 9, 6});
}
