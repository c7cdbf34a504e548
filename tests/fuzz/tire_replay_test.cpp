// The inputs of tests/fuzz/tire/ held to the law of tires.
#include <doctest/doctest.h>

#include "tests/fuzz/replay.h"
#include "tests/fuzz/tire_law.h"

using namespace perrev::fuzz;

TEST_CASE("inputs of the fuzz target keep the law of tires") {
  replay({"tire", broken_tire_law, tire_comes_through, 10, 10});
}
