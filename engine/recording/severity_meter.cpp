#include "engine/recording/severity_meter.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <optional>

#include "engine/recording/weighting_filter.h"

namespace perrev {

namespace {

constexpr std::array kWeightings = {Weighting::wd, Weighting::wd, Weighting::wk};  // by axis
constexpr std::size_t kMostSteps = 3600;

std::size_t samples_a_second(double rate) {
  return static_cast<std::size_t>(std::max(std::round(rate), 1.0));
}

// Sums over the weighted samples of one axis.
struct AxisSums {
  double squares = 0.0, fourths = 0.0, peak = 0.0;

  void add(double value) {
    const double square = value * value;
    squares += square;
    fourths += square * square;
    peak = std::max(peak, std::fabs(value));
  }
};

// The highest mean of so many values in a row, wherever they begin.
class HighestMean {
 public:
  explicit HighestMean(std::size_t length) : last_(length) {}

  void restart() { at_ = 0, full_ = false, sum_ = 0.0; }
  void add(double value) {
    sum_ += value - (full_ ? last_[at_] : 0.0);
    last_[at_++] = value;
    if (at_ == last_.size()) {
      at_ = 0, full_ = true;
      // Anew, or what a large value rounded off would stay for good.
      sum_ = std::accumulate(last_.begin(), last_.end(), 0.0);
    }
    if (full_) highest_ = std::max(highest_, sum_ / static_cast<double>(last_.size()));
  }
  double highest() const { return highest_; }

 private:
  std::vector<double> last_;
  std::size_t at_ = 0;
  bool full_ = false;
  double sum_ = 0.0, highest_ = 0.0;
};

// Means over equal steps; where they become too many, two make one.
class StepMeans {
 public:
  explicit StepMeans(std::size_t length) : length_(length) {}

  void add(double value) {
    sum_ += value;
    if (++count_ < length_) return;
    means_.push_back(sum_ / static_cast<double>(length_));
    sum_ = 0.0, count_ = 0;
    if (means_.size() == kMostSteps) halve();
  }
  const std::vector<double>& means() const { return means_; }
  std::size_t length() const { return length_; }

 private:
  void halve() {
    for (std::size_t i = 0; i < kMostSteps / 2; ++i)
      means_[i] = 0.5 * (means_[2 * i] + means_[2 * i + 1]);
    means_.resize(kMostSteps / 2);
    length_ *= 2;
  }

  std::size_t length_, count_ = 0;
  double sum_ = 0.0;
  std::vector<double> means_;
};

}  // namespace

struct SeverityMeter::State {
  explicit State(const EvenBlock& first)
      : rate(first.rate),
        settling(static_cast<std::size_t>(std::ceil(kSettling * rate))),
        window(samples_a_second(rate)),
        levels(samples_a_second(rate)),
        speeds(samples_a_second(rate)) {
    for (std::size_t axis = 0; axis < kAxes; ++axis)
      if (!first.acceleration[axis].empty()) filters[axis].emplace(kWeightings[axis], rate);
  }

  void take(const EvenBlock& block) {
    if (!block.goes_on) end_stretch();
    for (std::size_t axis = 0; axis < kAxes; ++axis)
      if (filters[axis]) filters[axis]->take(block.acceleration[axis], weighted[axis]);
    speed.insert(speed.end(), block.speed.begin(), block.speed.end());
    taken += block.size();
    add_ready();
  }

  void end_stretch() {
    // Of a stretch that never settles nothing would be left: a recording full of gaps costs little.
    const bool settles = taken > settling;
    for (std::size_t axis = 0; axis < kAxes; ++axis) {
      if (!filters[axis]) continue;
      if (settles) {
        filters[axis]->finish(weighted[axis]);
      } else {
        filters[axis]->restart();
      }
    }
    add_ready();
    speed.clear();
    window.restart();
    taken = settled = 0;
  }

  // What the filters, all as far as one another, have brought.
  void add_ready() {
    std::size_t ready = 0;
    for (const std::vector<double>& axis : weighted) ready = std::max(ready, axis.size());
    for (std::size_t i = 0; i < ready; ++i) {
      if (settled < settling) {
        ++settled;
        continue;
      }
      double square = 0.0;
      for (std::size_t axis = 0; axis < kAxes; ++axis) {
        if (!filters[axis]) continue;
        sums[axis].add(weighted[axis][i]);
        square += weighted[axis][i] * weighted[axis][i];
      }
      window.add(square);
      levels.add(square);
      if (!speed.empty()) speeds.add(speed[i]);
      ++count;
    }
    for (std::vector<double>& axis : weighted) axis.clear();
    speed.erase(speed.begin(),
                speed.begin() + static_cast<std::ptrdiff_t>(std::min(ready, speed.size())));
  }

  Severity severity() const {
    Severity out;
    if (count == 0) return out;
    const double samples = static_cast<double>(count);
    out.seconds = samples / rate;
    double most = 0.0, square = 0.0;
    for (std::size_t axis = 0; axis < kAxes; ++axis) {
      const AxisSums& of = sums[axis];
      const double rms = out.weighted[axis] = std::sqrt(of.squares / samples);
      square += rms * rms;
      out.dose = std::max(out.dose, std::pow(of.fourths / rate, 0.25));
      if (rms > most) most = rms, out.crest = of.peak / rms;
    }
    out.total = std::sqrt(square);
    out.highest_running = std::sqrt(window.highest());
    for (const double mean : levels.means()) out.running.push_back(std::sqrt(mean));
    out.running_step = static_cast<double>(levels.length()) / rate;
    out.running_speed = speeds.means();
    return out;
  }

  double rate;
  std::size_t settling;  // samples
  std::array<std::optional<WeightingFilter>, kAxes> filters;
  std::array<std::vector<double>, kAxes> weighted;  // brought by the filters, not yet added
  std::vector<double> speed;                        // of samples that the filters still hold
  std::size_t taken = 0, settled = 0;               // samples of this stretch; left out so far
  std::array<AxisSums, kAxes> sums;
  HighestMean window;
  StepMeans levels, speeds;
  std::size_t count = 0;
};

SeverityMeter::SeverityMeter() = default;
SeverityMeter::~SeverityMeter() = default;

void SeverityMeter::take(const EvenBlock& block) {
  if (block.size() == 0) return;
  if (!state_) state_ = std::make_unique<State>(block);
  state_->take(block);
}

Severity SeverityMeter::finish() {
  if (!state_) return {};
  state_->end_stretch();
  return state_->severity();
}

}  // namespace perrev
