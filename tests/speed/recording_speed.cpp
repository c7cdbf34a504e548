// An hour of three axes at 1 kHz analysed, from even blocks to tracks;
// tests/speed/recording_scipy.py does the same work with numpy and scipy and says the ratio.
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "engine/random.h"
#include "engine/recording/analysis.h"

namespace {

using namespace perrev;

constexpr double kRate = 1000.0;
constexpr int kMinutes = 60;

// A minute that goes on into itself: noise, a wheel that shakes, 20 to 30 m/s.
std::vector<EvenBlock> minute(bool engine) {
  std::vector<EvenBlock> blocks;
  Random random(1);
  double metres = 0.0;
  for (int b = 0; b < 15; ++b) {
    EvenBlock block;
    block.rate = kRate;
    for (int i = 0; i < 4000; ++i) {
      const double part = (4000.0 * b + i) / 60000.0;
      block.speed.push_back(25.0 + 5.0 * std::sin(2.0 * std::numbers::pi * part));
      if (engine) block.engine_hz.push_back(1.5 * block.speed.back());
      metres += block.speed.back() / kRate;
      for (auto& axis : block.acceleration)
        axis.push_back(0.2 * random.normal() + 0.1 * std::cos(std::numbers::pi * metres));
    }
    blocks.push_back(block);
  }
  return blocks;
}

void analyse_hour(benchmark::State& state) {
  std::vector<EvenBlock> blocks = minute(state.range(0) != 0);
  for (auto _ : state) {
    Analyser analyser({});
    for (int i = 0; i < kMinutes; ++i)
      for (EvenBlock& block : blocks) {
        block.goes_on = i > 0 || &block != &blocks.front();
        analyser.take(block);
      }
    benchmark::DoNotOptimize(analyser.finish());
  }
  rusage used{};
  getrusage(RUSAGE_SELF, &used);
  state.counters["peak_MB"] = static_cast<double>(used.ru_maxrss) / 1024.0;
}
// Without and with the engine's speed.
BENCHMARK(analyse_hour)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

}  // namespace
