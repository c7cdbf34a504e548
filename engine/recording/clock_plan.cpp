#include "engine/recording/clock_plan.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

// A gap is longer than three steps and than 20 ms, or 100 steps where those are less.
constexpr double kSteps = 3.0, kLeastGap = 0.02, kMostSteps = 100.0;
constexpr double kManyBack = 0.25;     // of stamps that go back: they are in no order
constexpr double kManyRepeats = 0.05;  // of stamps: they stand for batches
constexpr double kCoarse = 1.0 / 8.0;  // of a step: a tick that is no small part of it
constexpr double kLowestRate = 20.0, kHighestRate = 100'000.0;     // Hz
constexpr double kLastBit = 2.3e-16, kFineEnough = 0.02;           // of a double, of a step
constexpr std::array kTicks = {1.0, 0.1, 0.01, 1e-3, 1e-4, 1e-5};  // s, of written stamps

double middle_of(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

struct Batch {
  double stamp;
  double rows;
  bool after_hole;  // rows between it and the one before are not known
};

// The longest piece in which stamps rise; single ones that go back or leap are left out. Holes
// after most of them are none: it is how this logger writes.
std::vector<Batch> batches_of(const std::vector<double>& stamps) {
  std::vector<Batch> longest, out;
  std::size_t back = 0;
  double back_stamp = 0.0;
  bool hole = false;
  for (const double stamp : stamps) {
    if (std::isnan(stamp)) {
      hole = true;
      continue;
    }
    if (!out.empty() && stamp < out.back().stamp) {
      const bool leapt =
          out.back().rows == 1.0 && (out.size() == 1 || stamp > out[out.size() - 2].stamp);
      if (leapt) {
        out.pop_back();
      } else {
        if (back == 0 || stamp < back_stamp)
          back = 1;
        else if (stamp > back_stamp)
          ++back;
        back_stamp = stamp;
        if (back < kSetBack) continue;
        if (out.size() > longest.size()) longest = std::move(out);
        out.clear();
      }
    }
    back = 0;
    if (out.empty() || stamp > out.back().stamp) out.push_back({stamp, 0.0, hole});
    out.back().rows += 1.0;
    hole = false;
  }
  if (longest.size() > out.size()) out = std::move(longest);
  const auto holes =
      std::count_if(out.begin(), out.end(), [](const Batch& each) { return each.after_hole; });
  if (2 * static_cast<std::size_t>(holes) > out.size())
    for (Batch& each : out) each.after_hole = false;
  return out;
}

double share_going_back(const std::vector<double>& stamps) {
  double back = 0.0, last = -std::numeric_limits<double>::infinity();
  for (const double stamp : stamps) {
    if (stamp < last) back += 1.0;
    if (!std::isnan(stamp)) last = stamp;
  }
  return back / static_cast<double>(stamps.size());
}

// Of exact stamps, whatever rows are missing between them.
double even_step(const std::vector<Batch>& batches) {
  std::vector<double> apart;
  for (std::size_t i = 0; i + 1 < batches.size(); ++i)
    if (!batches[i + 1].after_hole) apart.push_back(batches[i + 1].stamp - batches[i].stamp);
  const double usual = middle_of(apart);
  double sum = 0.0, steps = 0.0;
  for (const double each : apart) {
    if (each > (kSteps + 0.5) * usual) continue;
    sum += each;
    steps += std::max(1.0, std::round(each / usual));
  }
  return sum / steps;
}

// Slope of the stamps over the rows before them, batches `from` to `to`, by least squares.
double slope_of(const std::vector<Batch>& batches, std::size_t from, std::size_t to) {
  double mean_row = 0.0, mean_stamp = 0.0, row = 0.0;
  const double count = static_cast<double>(to - from);
  for (std::size_t i = from; i < to; ++i) {
    mean_row += row / count;
    mean_stamp += (batches[i].stamp - batches[from].stamp) / count;
    row += batches[i].rows;
  }
  double both = 0.0, rows = 0.0;
  row = 0.0;
  for (std::size_t i = from; i < to; ++i) {
    both += (row - mean_row) * (batches[i].stamp - batches[from].stamp - mean_stamp);
    rows += (row - mean_row) * (row - mean_row);
    row += batches[i].rows;
  }
  return both / rows;
}

// Of coarse stamps, over the longest piece without a leap. The last batch may be cut off by the end
// of the rows at hand, the first by the begin of the recording. With holes the mean between them.
double counted_step(const std::vector<Batch>& batches) {
  std::vector<double> steps;
  for (std::size_t i = 0; i + 1 < batches.size(); ++i)
    steps.push_back((batches[i + 1].stamp - batches[i].stamp) / batches[i].rows);
  const double usual = middle_of(steps);
  double between = 0.0, rows = 0.0;
  bool holes = false;
  for (std::size_t i = 1; i + 1 < batches.size(); ++i) {
    holes = holes || batches[i + 1].after_hole;
    if (batches[i + 1].after_hole || steps[i] > 2.5 * usual) continue;
    between += batches[i + 1].stamp - batches[i].stamp;
    rows += batches[i].rows;
  }
  if (holes && rows > 0.0) return between / rows;
  std::size_t from = 1, best_from = 1, best_to = 1;
  for (std::size_t i = 1; i < batches.size(); ++i) {
    if (i + 1 - from > best_to - best_from) {
      best_from = from;
      best_to = i + 1;
    }
    if (i < steps.size() && steps[i] > 2.5 * usual) from = i + 1;
  }
  return best_to - best_from < 2 ? usual : slope_of(batches, best_from, best_to);
}

double tick_of(const std::vector<Batch>& batches) {
  for (const double tick : kTicks) {
    const bool fits = std::all_of(batches.begin(), batches.end(), [&](const Batch& each) {
      const double ticks = (each.stamp - batches.front().stamp) / tick;
      return std::fabs(ticks - std::round(ticks)) < 0.01;
    });
    if (fits) return tick;
  }
  return 0.0;
}

// Whether more than a few of the stamps lie off the steps between them, be it for missing rows.
bool uneven(const std::vector<Batch>& batches, double step) {
  std::size_t off = 0;
  for (std::size_t i = 0; i + 1 < batches.size(); ++i) {
    if (batches[i + 1].after_hole) continue;
    const double steps = (batches[i + 1].stamp - batches[i].stamp) / step;
    if (std::fabs(steps - std::max(1.0, std::round(steps))) > 0.05) ++off;
  }
  return off * 100 > batches.size();
}

void plan_coarse(ClockPlan& plan, const std::vector<Batch>& batches, double tick) {
  plan.coarse = true;
  std::vector<double> apart, rows;
  for (std::size_t i = 0; i + 1 < batches.size(); ++i) {
    apart.push_back(batches[i + 1].stamp - batches[i].stamp);
    rows.push_back(batches[i].rows);
  }
  const double interval = middle_of(apart);
  plan.batch = middle_of(rows);
  const bool ticks = tick >= 0.5 * interval;  // stamps count up by the tick: they are cut, not late
  plan.room = std::min(plan.step, ticks ? tick : plan.step);
  plan.slack = ticks ? 0.0 : interval;
  if (plan.first == batches[0].stamp)
    plan.first = std::max(batches[0].stamp, batches[1].stamp - batches[0].rows * plan.step);
}

}  // namespace

std::string in_seconds(double value) {
  const bool small = value < 1.0;
  return show_rounded(small ? 1000.0 * value : value, Dimension::count, Units::metric) +
         (small ? " ms" : " s");
}

std::string rows_a_second(double rate) {
  return show_rounded(rate, Dimension::count, Units::metric) + " rows a second";
}

Result<ClockPlan> plan_clock(const std::vector<double>& stamps) {
  if (const double back = share_going_back(stamps); back > kManyBack)
    return problem("the time goes back in " +
                       show_rounded(100.0 * back, Dimension::count, Units::metric) +
                       " % of the first rows",
                   "rows in the order they were measured");
  const std::vector<Batch> batches = batches_of(stamps);
  if (batches.size() < 3)
    return problem("the time stands still: " + std::to_string(batches.size()) + " moments in " +
                       std::to_string(stamps.size()) + " rows",
                   "a time for every row, or stamps that rows can be counted between");
  double rows = 0.0;
  for (const Batch& each : batches) rows += each.rows;
  const double repeats = 1.0 - static_cast<double>(batches.size()) / rows;
  ClockPlan plan;
  plan.first =
      *std::find_if(stamps.begin(), stamps.end(), [](double stamp) { return !std::isnan(stamp); });
  plan.step = counted_step(batches);
  const double tick = tick_of(batches);
  const bool batched = repeats > kManyRepeats;
  const bool coarse = batched || (tick > kCoarse * plan.step && uneven(batches, plan.step));
  if (!coarse) plan.step = even_step(batches);
  const double rate = 1.0 / plan.step;
  if (std::fabs(plan.first) * kLastBit > kFineEnough * plan.step)
    return problem("the times are too large to tell rows " + in_seconds(plan.step) + " apart",
                   "times counted from a later moment, or check their unit");
  if (rate < kLowestRate)
    return problem("only " + rows_a_second(rate) + ", which shows nothing a wheel does",
                   "100 rows a second or more, 20 at the least");
  if (rate > kHighestRate)
    return problem(rows_a_second(rate) + " are more than any sensor gives",
                   "check the unit of the time");
  plan.gap = std::max(kSteps * plan.step, std::min(kLeastGap, kMostSteps * plan.step));
  if (coarse) plan_coarse(plan, batches, tick);
  return plan;
}

}  // namespace perrev
