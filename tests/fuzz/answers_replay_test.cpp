// The inputs of tests/fuzz/answers/ held to the law of requests in JSON.
#include <doctest/doctest.h>

#include "tests/fuzz/answers_law.h"
#include "tests/fuzz/replay.h"

using namespace perrev::fuzz;

TEST_CASE("inputs of the fuzz target keep the law of requests in JSON") {
  replay({"answers", broken_answers_law, answers_comes_through, 10, 10});
}
