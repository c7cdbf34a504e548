#include "src/server/rankings.h"

#include <doctest/doctest.h>

#include <atomic>
#include <chrono>
#include <future>
#include <thread>

using perrev::Rankings;
using perrev::Workers;

TEST_CASE("whoever asks while a ranking is worked out shares the next one") {
  Workers workers(2);
  std::promise<void> begun, go_on;
  auto released = go_on.get_future().share();
  std::atomic<int> ranked{0}, given{0};
  {
    Rankings rankings(workers, [&](const std::string&) {
      const int which = ++ranked;
      if (which == 1) {
        begun.set_value();
        released.wait();
      }
      return std::to_string(which);
    });
    rankings.want("case-1", [&](const Rankings::Text& text) {
      CHECK(*text == "1");
      ++given;
    });
    begun.get_future().wait();
    for (int i = 0; i < 20; ++i)
      rankings.want("case-1", [&](const Rankings::Text& text) {
        CHECK(*text == "2");
        ++given;
      });
    go_on.set_value();
  }
  CHECK(given == 21);
  CHECK(ranked == 2);
}

TEST_CASE("rankings end only when the last one is given and nothing of them is in use") {
  Workers workers(2);
  for (int round = 0; round < 200; ++round) {
    std::promise<void> given;
    auto rankings = std::make_unique<Rankings>(workers, [](const std::string&) { return "[]"; });
    rankings->want("case-1", [&](const Rankings::Text&) { given.set_value(); });
    given.get_future().wait();
    rankings.reset();
  }

  std::promise<void> given;
  std::atomic<bool> ended{false};
  auto rankings = std::make_unique<Rankings>(workers, [](const std::string&) { return "[]"; });
  bool ended_early = true;
  rankings->want("case-1", [&](const Rankings::Text&) {
    given.set_value();
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
    ended_early = ended;
  });
  given.get_future().wait();
  rankings.reset();
  ended = true;
  CHECK(!ended_early);
}
