#include "engine/recording/resampling.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace perrev {
namespace {

constexpr double kReach = 12.0;         // of the kernel to each side, in samples at its cut
constexpr std::size_t kFine = 1024;     // places of its table to a sample: straight lines between
                                        // them are right within 1.3e-6
constexpr double kWindow = 7.5;         // of Kaiser: 75 dB, and kPassed within kReach
constexpr std::size_t kLeastRows = 64;  // before old ones are thrown away

// I0, by its series.
double bessel(double x) {
  double sum = 1.0, term = 1.0;
  for (int n = 1; term > 1e-17 * sum; ++n) {
    term *= 0.25 * x * x / (n * n);
    sum += term;
  }
  return sum;
}

double kernel(double x) {
  const double part = x / kReach;
  if (std::abs(part) >= 1.0) return 0.0;
  const double angle = std::numbers::pi * x;
  const double sinc = x == 0.0 ? 1.0 : std::sin(angle) / angle;
  return sinc * bessel(kWindow * std::sqrt(1.0 - part * part)) / bessel(kWindow);
}

}  // namespace

Resampler::Resampler(Domain domain, double per_unit, double slowest, EvenSink sink)
    : domain_(domain), per_unit_(per_unit), slowest_(slowest), sink_(std::move(sink)) {
  const std::size_t places = static_cast<std::size_t>(kReach) * kFine + 2;
  for (std::size_t i = 0; i < places; ++i)
    kernel_.push_back(kernel(static_cast<double>(i) / static_cast<double>(kFine)));
  for (std::size_t i = 0; i + 1 < places; ++i) rise_.push_back(kernel_[i + 1] - kernel_[i]);
  kernel_.pop_back();
}

void Resampler::begin_run() {
  rows_.clear();
  speed_.clear();
  engine_hz_.clear();
  due_.clear();
  running_ = goes_on_ = false;
  next_ = std::ceil(turned_);
}

// A row further: the samples out that fall between it and the last.
void Resampler::step_to(double turns_per_second, double step, std::size_t row) {
  const double rate = per_unit_ * turns_per_second;
  if (!running_) {
    running_ = true;
    rate_ = rate;
    return;
  }
  const double gain = 0.5 * (rate - rate_) * step, steady = rate_ * step;
  const double after = turned_ + steady + gain;
  for (; next_ <= after; next_ += 1.0) {
    const double wanted = next_ - turned_;  // = steady t + gain t2, t from 0 to 1
    const double root = std::sqrt(std::max(0.0, steady * steady + 4.0 * gain * wanted));
    const double part = std::min(1.0, 2.0 * wanted / (steady + root));
    const double local = rate_ + part * (rate - rate_);
    due_.push_back({row - 1, part, std::min(1.0, local * step)});
  }
  turned_ = after;
  rate_ = rate;
}

void Resampler::take(const EvenBlock& block) {
  const std::vector<double>& turning = domain_ == Domain::road ? block.speed : block.engine_hz;
  if (turning.empty()) return;
  if (!block.goes_on) begin_run();
  for (std::size_t i = 0; i < block.size(); ++i) {
    if (!(turning[i] >= slowest_)) {  // nor if it is not known
      give(block);
      begin_run();
      continue;
    }
    step_to(turning[i], 1.0 / block.rate, rows_.size());
    Row row{};
    for (std::size_t axis = 0; axis < kAxes; ++axis)
      if (!block.acceleration[axis].empty()) row[axis] = block.acceleration[axis][i];
    rows_.push_back(row);
    if (!block.speed.empty()) speed_.push_back(block.speed[i]);
    if (!block.engine_hz.empty()) engine_hz_.push_back(block.engine_hz[i]);
  }
  give(block);
  forget(block.rate);
}

// What the rows at hand allow; the begin of a run lacks the rows before it and is left out.
void Resampler::give(const EvenBlock& like) {
  EvenBlock out;
  out.rate = per_unit_;
  std::size_t given = 0;
  for (; given < due_.size(); ++given) {
    const Due& due = due_[given];
    const double reach = kReach / due.cut;
    if (due.row + static_cast<std::size_t>(std::ceil(due.part + reach)) >= rows_.size()) break;
    if (static_cast<double>(due.row) + due.part < reach) continue;
    if (out.speed.empty() && out.engine_hz.empty()) {
      const double left = static_cast<double>(due_.size() - given);
      out.begin = (next_ - left) / per_unit_;
    }
    give_one(due, out);
  }
  due_.erase(due_.begin(), due_.begin() + static_cast<std::ptrdiff_t>(given));
  for (std::size_t axis = 0; axis < kAxes; ++axis)
    if (like.acceleration[axis].empty()) out.acceleration[axis].clear();
  if (out.size() == 0) return;
  out.goes_on = goes_on_;
  goes_on_ = true;
  sink_(out);
}

void Resampler::give_one(const Due& due, EvenBlock& out) {
  const double reach = kReach / due.cut, fine = due.cut * static_cast<double>(kFine);
  // Rows are counted from the nearest: where the blocks were cut must not show in the last bits.
  const auto before = static_cast<std::size_t>(std::floor(reach - due.part));
  const auto behind = static_cast<std::size_t>(std::floor(reach + due.part));
  const std::size_t first = due.row - before;
  weights_.resize(before + behind + 1);
  double total = 0.0;
  for (std::size_t i = 0; i < weights_.size(); ++i) {
    const double from_row = static_cast<double>(i) - static_cast<double>(before);
    const double place = std::abs(from_row - due.part) * fine;
    const auto at = static_cast<std::size_t>(place);
    const double weight = kernel_[at] + (place - static_cast<double>(at)) * rise_[at];
    weights_[i] = weight;
    total += weight;
  }
  Row even{}, odd{};  // two sums that need not wait for each other
  std::size_t i = 0;
  for (; i + 1 < weights_.size(); i += 2)
    for (std::size_t axis = 0; axis < even.size(); ++axis) {
      even[axis] += weights_[i] * rows_[first + i][axis];
      odd[axis] += weights_[i + 1] * rows_[first + i + 1][axis];
    }
  if (i < weights_.size())
    for (std::size_t axis = 0; axis < even.size(); ++axis)
      even[axis] += weights_[i] * rows_[first + i][axis];
  // Over the sum of the weights, so that gravity is no ripple.
  for (std::size_t axis = 0; axis < kAxes; ++axis)
    out.acceleration[axis].push_back((even[axis] + odd[axis]) / total);
  const auto between = [&](const std::vector<double>& values) {
    return values[due.row] + due.part * (values[due.row + 1] - values[due.row]);
  };
  if (!speed_.empty()) out.speed.push_back(between(speed_));
  if (!engine_hz_.empty()) out.engine_hz.push_back(between(engine_hz_));
}

// Rows that no sample to come reaches back to, however slow it is by then.
void Resampler::forget(double rate) {
  const double widest = kReach * std::max(1.0, rate / (slowest_ * per_unit_));
  const std::size_t oldest = due_.empty() ? rows_.size() : due_.front().row;
  const std::size_t needed = static_cast<std::size_t>(std::ceil(widest)) + 2;
  if (oldest < needed + kLeastRows) return;
  const auto gone = static_cast<std::ptrdiff_t>(oldest - needed);
  rows_.erase(rows_.begin(), rows_.begin() + gone);
  if (!speed_.empty()) speed_.erase(speed_.begin(), speed_.begin() + gone);
  if (!engine_hz_.empty()) engine_hz_.erase(engine_hz_.begin(), engine_hz_.begin() + gone);
  for (Due& due : due_) due.row -= static_cast<std::size_t>(gone);
}

}  // namespace perrev
