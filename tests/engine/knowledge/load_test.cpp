#include <doctest/doctest.h>
#include "tests/engine/knowledge/small_base.h"
TEST_CASE("x") { CHECK(perrev::listed(perrev::SmallBase().complaints()) == ""); }
