// The inputs of tests/fuzz/case/ held to the law of cases.
#include <doctest/doctest.h>

#include "tests/fuzz/case_law.h"
#include "tests/fuzz/replay.h"

using namespace perrev::fuzz;

TEST_CASE("inputs of the fuzz target keep the law of cases") {
  replay({"case", broken_case_law, case_comes_through, 6, 10});
}
