// Choosing manoeuvres: tables worked by hand.
#include "engine/planning/road_choice.h"

#include <doctest/doctest.h>

#include <string>
#include <vector>

using namespace perrev;

TEST_CASE("pairs stand in one row") {
  for (std::size_t n = 0; n < 9; ++n) {
    std::size_t next = 0;
    for (std::size_t i = 0; i < n; ++i)
      for (std::size_t j = i + 1; j < n; ++j) CHECK(pair_index(i, j, n) == next++);
    CHECK(pair_count(n) == next);
  }
}

TEST_CASE("the most a minute first, near the best there is, nothing superfluous") {
  using Chosen = std::vector<std::size_t>;
  struct Row {
    std::string what;
    std::vector<RoadOption> options;
    std::vector<char> told;
    Chosen chosen;
  };
  // Three suspects: pairs 01, 02, 12, each as heavy. Set-up 0 takes ten minutes.
  const std::vector<Row> rows = {
      {"nothing reaches the threshold", {{0, 1.0, -1, false, {0.29, 0.0, 0.0}}}, {0, 0, 0}, {}},
      {"one reaches it", {{0, 1.0, -1, false, {0.30, 0.0, 0.0}}}, {0, 0, 0}, {0}},
      {"the cheaper of two alike",
       {{0, 4.0, -1, false, {0.5, 0.0, 0.0}}, {1, 2.0, -1, false, {0.5, 0.0, 0.0}}},
       {0, 0, 0},
       {1}},
      {"the lower check of two the same",
       {{7, 2.0, -1, false, {0.5, 0.0, 0.0}}, {3, 2.0, -1, false, {0.5, 0.0, 0.0}}},
       {0, 0, 0},
       {1}},
      {"the weak and cheap one does not stand in for a good one: 0.35 < 0.7 - 0.1",
       {{0, 0.5, -1, false, {0.35, 0.0, 0.0}}, {1, 5.0, -1, false, {0.7, 0.0, 0.0}}},
       {0, 0, 0},
       {1}},
      {"nearly as good is good enough: 0.62 >= 0.7 - 0.1",
       {{0, 0.5, -1, false, {0.62, 0.0, 0.0}}, {1, 5.0, -1, false, {0.7, 0.0, 0.0}}},
       {0, 0, 0},
       {0}},
      {"a set-up is paid once: 2 minutes after it beat 7 without",
       {{0, 1.0, 0, false, {0.9, 0.0, 0.0}},
        {1, 2.0, 0, false, {0.0, 0.5, 0.0}},
        {2, 7.0, -1, false, {0.0, 0.5, 0.0}}},
       {0, 0, 0},
       {0, 1}},
      {"nothing is taken for what two others do together",
       {{0, 1.0, -1, false, {0.4, 0.4, 0.0}},
        {1, 2.0, -1, false, {0.4, 0.0, 0.4}},
        {2, 2.5, -1, false, {0.0, 0.4, 0.4}}},
       {0, 0, 0},
       {0, 1}},
      {"the first one taken is left out when a later one does its work: 0.4 / 1 before 0.8 / 2.1",
       {{0, 1.0, -1, false, {0.4, 0.0, 0.0}}, {1, 2.1, -1, false, {0.4, 0.4, 0.0}}},
       {0, 0, 0},
       {1}},
      {"what is needed is in whatever it tells, and what it tells is told",
       {{0, 9.0, -1, true, {0.5, 0.0, 0.0}}, {1, 1.0, -1, false, {0.5, 0.0, 0.0}}},
       {0, 0, 0},
       {0}},
      {"what is told already is not wanted", {{0, 1.0, -1, false, {0.9, 0.0, 0.0}}}, {1, 0, 0}, {}},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    CHECK(choose_manoeuvres(row.options, {1.0, 1.0, 1.0}, row.told, {10.0}) == row.chosen);
  }
}

TEST_CASE("the pair that is more probable weighs more") {
  // Greedy takes option 1 first, and then nothing is left for option 0 but the light pair.
  const std::vector<RoadOption> options = {{0, 1.0, -1, false, {0.0, 0.0, 0.5}},
                                           {1, 1.0, -1, false, {0.5, 0.0, 0.5}}};
  CHECK(choose_manoeuvres(options, {1.0, 1.0, 0.1}, {0, 0, 0}, {}) == std::vector<std::size_t>{1});
}
