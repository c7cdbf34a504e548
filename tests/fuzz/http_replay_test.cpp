// The inputs of tests/fuzz/http/ held to the law of the server.
#include <doctest/doctest.h>

#include "tests/fuzz/http_law.h"
#include "tests/fuzz/replay.h"

using namespace perrev::fuzz;

TEST_CASE("inputs of the fuzz target keep the law of the server") {
  replay({"http", broken_http_law, http_comes_through, 6, 6});
}
