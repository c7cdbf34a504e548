#include "engine/planning/road_speeds.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "engine/casefile/vehicle_of.h"

namespace perrev {

namespace {

constexpr double kMph = 0.44704, kKmh = 1.0 / 3.6;  // m/s

// The same choices in the round figures of either unit.
struct Figures {
  double unit, step, below, above, crawl, cap, spare_cap, chain_cap, least, low, high;
};
constexpr Figures kUs = {kMph, 5, 10, 3, 5, 75, 50, 30, 15, 50, 65};
constexpr Figures kMetric = {kKmh, 10, 15, 5, 8, 120, 80, 50, 20, 80, 110};

std::optional<double> number_of(const RuleBase& base, const CaseFacts& facts, const char* id) {
  const int fact = base.fact_index(id);
  const Reading* found = fact < 0 ? nullptr : facts.now().find(fact);
  if (!found || found->unsure || found->numbers.empty()) return std::nullopt;
  return found->number;
}

bool answered(const RuleBase& base, const CaseFacts& facts, const char* id, const char* answer) {
  const int fact = base.fact_index(id);
  const Reading* found = fact < 0 ? nullptr : facts.now().find(fact);
  if (!found || found->unsure || found->answers.empty()) return false;
  const int index = answer_index(base.facts[static_cast<std::size_t>(fact)], answer);
  return index >= 0 && found->answers.front() == index;
}

class Speeds {
 public:
  Speeds(const RuleBase& base, const CaseFacts& facts, Units units)
      : base_(base), facts_(facts), figures_(units == Units::us ? kUs : kMetric) {}

  RoadSpeeds made() {
    if (motion_of(base_, facts_, facts_.rounds.size() - 1).by == SpeedSource::gps)
      out_.by = SpeedSource::gps;
    cap();
    const auto felt = felt_speed();
    out_.told = felt.has_value();
    if (felt && *felt < mps(figures_.crawl)) {
      out_.standing = true;
      out_.felt = whole(*felt);
      out_.sweep_to = std::min(mps(figures_.low), out_.cap);
      out_.recording = {out_.felt};
      return out_;
    }
    out_.capped = felt && *felt > out_.cap;
    const double middle = step_above(mps(0.5 * (figures_.low + figures_.high)));
    out_.felt = std::min(felt ? whole(*felt) : middle, out_.cap);
    if (felt)
      around();
    else
      usual_band();
    return out_;
  }

 private:
  double mps(double figure) const { return figure * figures_.unit; }
  double whole(double speed) const { return std::max(0.0, mps(std::round(speed / figures_.unit))); }
  double step_below(double speed) const {
    return mps(figures_.step * std::floor(speed / mps(figures_.step) + 1e-9));
  }
  double step_above(double speed) const {
    return mps(figures_.step * std::ceil(speed / mps(figures_.step) - 1e-9));
  }

  void lower_cap(double to, SpeedCap reason) {
    if (to >= out_.cap) return;
    out_.cap = to;
    out_.cap_reason = reason;
  }

  void cap() {
    out_.cap = mps(figures_.cap);
    bool spare = answered(base_, facts_, "odd_wheel_fitted", "small_spare");
    const int size = base_.fact_index("tire_size");
    for (const Reading& reading : facts_.now().readings) {
      if (reading.fact != size || reading.unsure) continue;
      const auto tire = parse_tire(reading.text);
      if (!tire) continue;
      spare = spare || tire->temporary_spare();
      if (tire->maximum_speed) lower_cap(step_below(*tire->maximum_speed), SpeedCap::tires);
    }
    if (spare) lower_cap(mps(figures_.spare_cap), SpeedCap::small_spare);
    if (answered(base_, facts_, "odd_wheel_fitted", "snow_chain"))
      lower_cap(mps(figures_.chain_cap), SpeedCap::snow_chain);
  }

  std::optional<double> felt_speed() const {
    const auto worst = number_of(base_, facts_, "worst_speed");
    if (worst) return worst;
    const auto begins = begins_speed(), ends = number_of(base_, facts_, "ends_speed");
    if (begins && ends) return 0.5 * (*begins + *ends);
    if (begins) return *begins + mps(figures_.below);
    if (ends) return std::max(0.0, *ends - mps(figures_.step));
    return std::nullopt;
  }
  std::optional<double> begins_speed() const { return number_of(base_, facts_, "begins_speed"); }

  void around() {
    const double least = std::min(mps(figures_.least), out_.felt);
    double low = out_.felt - mps(figures_.below), high = out_.felt + mps(figures_.above);
    const auto begins = begins_speed(), ends = number_of(base_, facts_, "ends_speed");
    if (begins && *begins <= out_.felt) low = std::max(low, *begins);
    if (ends && *ends >= out_.felt) high = std::min(high, *ends);
    low = std::max(low, least);
    high = std::min(high, out_.cap);
    add_steps(low, high);
    add_felt();
    const double start = std::min(begins.value_or(out_.felt), out_.felt);
    const double end = std::max(ends.value_or(0.0), out_.felt + mps(figures_.step));
    out_.sweep_from = std::max(least, step_below(start - mps(figures_.below)));
    out_.sweep_to = std::min(out_.cap, step_above(end));
    out_.coast_from = std::min(out_.cap, step_above(out_.felt + mps(figures_.above)));
    out_.coast_to = std::max(least, step_below(out_.felt - mps(figures_.below)));
  }

  void usual_band() {
    const double high = std::min(mps(figures_.high), out_.cap);
    const double low = std::min(mps(figures_.low), high);
    add_steps(low, high);
    add_felt();
    out_.sweep_from = std::min(mps(figures_.least), high);
    out_.sweep_to = out_.coast_from = high;
    out_.coast_to = std::min(mps(figures_.low - 2 * figures_.below), high - mps(figures_.step));
  }

  void add_steps(double low, double high) {
    const double first = step_above(low), step = mps(figures_.step);
    for (int i = 0; first + i * step <= high + 1e-9; ++i)
      out_.recording.push_back(first + i * step);
  }

  // The felt speed stands in for a step next to it.
  void add_felt() {
    std::vector<double>& all = out_.recording;
    const auto near = [&](double v) { return std::abs(v - out_.felt) < 1.5 * figures_.unit; };
    all.erase(std::remove_if(all.begin(), all.end(), near), all.end());
    all.push_back(out_.felt);
    std::sort(all.begin(), all.end());
  }

  const RuleBase& base_;
  const CaseFacts& facts_;
  const Figures figures_;
  RoadSpeeds out_;
};

}  // namespace

RoadSpeeds road_speeds(const RuleBase& base, const CaseFacts& facts, Units units) {
  return Speeds(base, facts, units).made();
}

}  // namespace perrev
