// What stands out of recordings made up: noise alone, tones in it, and what must not be told twice.
#include "engine/recording/analysis.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "engine/random.h"
#include "tests/engine/recording/made_up_drive.h"

using namespace perrev;

namespace {

constexpr double kTurnsPerMetre = 0.5;  // of the wheel, as AnalysisTerms has it

// Steady and sweeping, smooth and rough, with and without potholes and engine.
MadeUpDrive any_drive(std::uint64_t seed) {
  Random random = Random::stream(seed, 99);
  MadeUpDrive drive;
  drive.seed = seed;
  drive.seconds = 20.0 + 70.0 * random.real();
  drive.rate = 100.0 + 100.0 * static_cast<double>(random.below(3));
  drive.from = drive.to = 10.0 + 23.0 * random.real();
  if (random.below(2) == 0) drive.to *= 0.65 + 0.7 * random.real();
  if (random.below(2) == 0) drive.holes = 12.0 * random.real();
  drive.engine_turns_per_metre = random.below(3) == 0 ? 0.0 : 1.0 + random.real();
  drive.level = 0.1 * std::pow(10.0, random.real());
  return drive;
}

const Spectrum& spectrum_of(const Analysis& analysis, Domain domain) {
  return *std::find_if(analysis.spectra.begin(), analysis.spectra.end(),
                       [&](const Spectrum& one) { return one.domain == domain; });
}

const FoundLine* line_at(const Analysis& analysis, Domain domain, double at, double within) {
  for (const FoundLine& line : analysis.lines)
    if (line.domain == domain && std::abs(line.at - at) <= within) return &line;
  return nullptr;
}

std::size_t lines_in(const Analysis& analysis, Domain domain) {
  return static_cast<std::size_t>(
      std::count_if(analysis.lines.begin(), analysis.lines.end(),
                    [&](const FoundLine& line) { return line.domain == domain; }));
}

// Amplitude that stands `db` over the noise that one bandwidth holds near `at`.
double amplitude_over(const Spectrum& noise, std::size_t axis, double at, double db) {
  const auto middle = static_cast<std::size_t>(at / noise.step);
  double sum = 0.0;
  for (std::size_t k = middle - 8; k <= middle + 8; ++k) sum += noise.density[axis][k] / 17.0;
  return std::sqrt(2.0 * sum * noise.bandwidth * std::pow(10.0, db / 10.0));
}

struct Score {
  int found = 0, covered = 0, extra = 0;
  double order_error = 0.0, amplitude_error = 0.0, worst_order = 0.0;
};

// A tone of the road on one axis, `db` over the noise.
Score tones(int recordings, double db) {
  Score score;
  for (int i = 0; i < recordings; ++i) {
    MadeUpDrive drive = any_drive(5000 + static_cast<std::uint64_t>(i));
    drive.seconds = std::max(drive.seconds, 30.0);
    Random random = Random::stream(drive.seed, 100);
    MadeUp made = made_up(drive);
    const double orders[] = {1.0, 1.0, 1.0, 2.0, 3.0, 3.42};
    const double order = orders[random.below(6)] * (0.97 + 0.06 * random.real());
    const double at = order * kTurnsPerMetre;
    const std::size_t axis = random.below(kAxes);
    const double amplitude =
        amplitude_over(spectrum_of(analysed(made.block), Domain::road), axis, at, db);
    add_tone(made, axis, amplitude, at, made.metres, 6.28 * random.real());
    const Analysis analysis = analysed(made.block);
    const FoundLine* line = line_at(analysis, Domain::road, at, 0.01 * kTurnsPerMetre);
    if (lines_in(analysis, Domain::road) > (line == nullptr ? 0U : 1U)) ++score.extra;
    if (line == nullptr) continue;
    ++score.found;
    const double off = std::abs(line->at - at);
    if (off < 1.96 * line->sd) ++score.covered;
    score.worst_order = std::max(score.worst_order, off / kTurnsPerMetre);
    score.order_error += off * off / (kTurnsPerMetre * kTurnsPerMetre);
    score.amplitude_error += std::pow(line->amplitude[axis] / amplitude - 1.0, 2);
  }
  score.order_error = std::sqrt(score.order_error / score.found);
  score.amplitude_error = std::sqrt(score.amplitude_error / score.found);
  return score;
}

}  // namespace

// 5 % of 400 are 20; were it 5 %, more than 31 would come once in 170 times (binomial).
TEST_CASE("of recordings without a fault, no more than the false alarms asked for show a line") {
  int alarms = 0;
  for (std::uint64_t seed = 0; seed < 400; ++seed)
    if (!analysed(made_up(any_drive(seed)).block).lines.empty()) ++alarms;
  MESSAGE(alarms << " of 400");
  CHECK(alarms <= 31);
}

TEST_CASE("tones") {
  for (const double db : {6.0, 12.0, 20.0, 40.0}) {
    const Score score = tones(100, db);
    MESSAGE(db << " dB: found " << score.found << ", covered " << score.covered << ", extra "
               << score.extra << ", order r.m.s. " << score.order_error << ", worst "
               << score.worst_order << ", amplitude r.m.s. " << score.amplitude_error);
  }
}
