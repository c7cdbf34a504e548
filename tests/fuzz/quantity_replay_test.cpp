// The inputs of tests/fuzz/quantity/ held to the law of quantities.
#include <doctest/doctest.h>

#include "tests/fuzz/quantity_law.h"
#include "tests/fuzz/replay.h"

using namespace perrev::fuzz;

TEST_CASE("inputs of the fuzz target keep the law of quantities") {
  replay({"quantity", broken_quantity_law, quantity_comes_through, 10, 10});
}
