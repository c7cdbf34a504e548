#include "engine/shopmath/weights.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "engine/quantity/angle.h"

namespace perrev {

namespace {

double in_billionths(double value) { return std::round(value * 1e9); }

// Sizes beside the exact mass, two below and two above, and none at all.
std::vector<double> sizes_beside(double exact, const std::vector<double>& sizes) {
  if (sizes.empty()) return {exact};
  std::vector<double> out{0.0};
  const auto above = std::lower_bound(sizes.begin(), sizes.end(), exact) - sizes.begin();
  const auto count = static_cast<std::ptrdiff_t>(sizes.size());
  for (auto i = std::max<std::ptrdiff_t>(0, above - 2); i < std::min(count, above + 2); ++i)
    out.push_back(sizes[static_cast<std::size_t>(i)]);
  return out;
}

// What is left, static part and couple in units of their limits.
struct Left {
  Vector static_part, couple;
  double cost() const { return std::norm(static_part) + std::norm(couple); }
  bool passes() const {
    return std::abs(static_part) <= 1.0 + 1e-9 && std::abs(couple) <= 1.0 + 1e-9;
  }
};

// A plane, what a kg there does in units of the limits, and how its weights are chosen.
struct PlaneSearch {
  double on_static = 0.0, on_couple = 0.0;
  const CorrectionPlane* plane = nullptr;

  bool any_place() const { return plane->angle_step <= 0.0; }
  Left with(const Left& left, Vector mass) const {
    return {left.static_part + on_static * mass, left.couple + on_couple * mass};
  }
  // The mass that leaves least.
  Vector wanted(const Left& left) const {
    return -(on_static * left.static_part + on_couple * left.couple) /
           (on_static * on_static + on_couple * on_couple);
  }
  std::vector<Vector> beside(Vector exact) const {
    std::vector<Vector> out;
    const double step = plane->angle_step;
    for (const double size : sizes_beside(std::abs(exact), plane->sizes)) {
      if (any_place() || size <= 0.0) out.push_back(vector_at(size, angle_of(exact)));
      if (any_place() || size <= 0.0) continue;
      const double below = std::floor(angle_of(exact) / step);
      for (int i = -1; i <= 2; ++i) out.push_back(vector_at(size, (below + i) * step));
    }
    return out;
  }
  // Every weight there is.
  std::vector<Vector> every(Vector exact) const {
    std::vector<double> sizes = plane->sizes;
    if (sizes.empty()) sizes.push_back(std::abs(exact));
    const double step = any_place() ? kTurn : plane->angle_step;
    const double start = any_place() ? angle_of(exact) : 0.0;
    std::vector<Vector> out{0.0};
    for (const double size : sizes)
      for (int i = 0; i * step < kTurn - 1e-9; ++i)
        out.push_back(vector_at(size, start + i * step));
    return out;
  }
  // What may still be changed for nothing: the place, and the mass where any is to be had.
  Vector eased(const Left& others, Vector now) const {
    if (!any_place()) return now;
    const Vector want = wanted(others);
    if (plane->sizes.empty() || std::abs(want) <= 0.0) return plane->sizes.empty() ? want : now;
    return std::abs(now) / std::abs(want) * want;
  }
};

struct Search {
  Left start;
  std::vector<PlaneSearch> planes;
  std::optional<std::tuple<bool, double, double>> cost;
  std::vector<Vector> best;

  Left left(const std::vector<Vector>& masses) const {
    Left out = start;
    for (std::size_t i = 0; i < masses.size(); ++i) out = planes[i].with(out, masses[i]);
    return out;
  }
  // In turn, each weight to its best place while the other stands.
  void ease(std::vector<Vector>& masses) const {
    for (int round = 0; round < 30; ++round)
      for (std::size_t i = 0; i < masses.size(); ++i)
        masses[i] = planes[i].eased(planes[i].with(left(masses), -masses[i]), masses[i]);
  }
  void consider(std::vector<Vector> masses) {
    if (std::any_of(planes.begin(), planes.end(), [](auto& of) { return of.any_place(); }))
      ease(masses);
    const Left after = left(masses);
    double total = 0.0;
    for (const Vector& mass : masses) total += std::abs(mass);
    const std::tuple here{!after.passes(), in_billionths(after.cost()), in_billionths(total)};
    if (cost && *cost <= here) return;
    cost = here;
    best = std::move(masses);
  }
  void run(const std::vector<Vector>& exact) {
    if (planes.size() == 1) {
      for (const Vector& mass : planes[0].beside(exact[0])) consider({mass});
      return;
    }
    for (const Vector& first : planes[0].every(exact[0]))
      for (const Vector& second : planes[1].beside(planes[1].wanted(planes[0].with(start, first))))
        consider({first, second});
  }
};

Result<std::vector<Vector>> exact_masses(const Unbalance& of,
                                         const std::vector<CorrectionPlane>& planes) {
  if (planes.size() == 1) return std::vector<Vector>{-of.static_part().value / planes[0].at.radius};
  const auto moments = of.moments_at(planes[0].at.position, planes[1].at.position);
  if (!moments.ok()) return moments.error();
  return std::vector<Vector>{-moments->first.value / planes[0].at.radius,
                             -moments->second.value / planes[1].at.radius};
}

std::optional<Problem> planes_problem(const std::vector<CorrectionPlane>& planes,
                                      const BalanceLimits& limits) {
  if (planes.empty() || planes.size() > 2)
    return problem("weights go in one plane or in two", "one or two planes");
  if (!(limits.static_moment > 0.0) || !(limits.couple > 0.0))
    return problem("a limit is not above zero", "what may be left, static and couple");
  for (const CorrectionPlane& plane : planes) {
    const auto arm = weight_radius(plane.at.radius);
    if (!arm.ok()) return arm.error();
    double last = 0.0;
    for (const double size : plane.sizes) {
      if (!(size > last))
        return problem("sizes of weights do not rise", "sizes above zero, rising");
      last = size;
    }
  }
  return std::nullopt;
}

}  // namespace

std::vector<double> sizes_of(double step, double most) {
  std::vector<double> out;
  for (int i = 1; i * step <= most + 1e-9; ++i) out.push_back(i * step);
  return out;
}

int segments_in(double weight, double segment) {
  return static_cast<int>(std::lround(weight / segment));
}

Result<WeightPlan> plan_weights(const Unbalance& of, const std::vector<CorrectionPlane>& planes,
                                const BalanceLimits& limits) {
  if (const auto wrong = planes_problem(planes, limits)) return *wrong;
  const auto exact = exact_masses(of, planes);
  if (!exact.ok()) return exact.error();
  const bool alone = planes.size() == 1;
  Search search;
  search.start = {of.static_part().value / limits.static_moment,
                  alone ? 0.0 : of.couple(limits.about).value / limits.couple};
  WeightPlan out{{}, of, false};
  for (std::size_t i = 0; i < planes.size(); ++i) {
    const Plane& at = planes[i].at;
    search.planes.push_back({at.radius / limits.static_moment,
                             alone ? 0.0 : at.radius * (at.position - limits.about) / limits.couple,
                             &planes[i]});
    const auto& sizes = planes[i].sizes;
    // More than half a step beyond the largest.
    if (!sizes.empty() && std::abs((*exact)[i]) > sizes.back() + 0.5 * sizes.front())
      out.beyond_sizes = true;
  }
  search.run(*exact);
  const std::vector<Vector>& chosen = search.best;
  for (std::size_t i = 0; i < planes.size(); ++i) {
    if (std::abs(chosen[i]) <= 0.0) continue;
    out.weights.push_back({i, std::abs(chosen[i]), angle_of(chosen[i])});
    out.left = out.left.with(chosen[i] * planes[i].at.radius, planes[i].at.position);
  }
  return out;
}

Result<SplitWeight> split_weight(double mass, double angle, double first, double second,
                                 const std::vector<double>& sizes) {
  const double open = std::remainder(second - first, kTurn);
  if (std::abs(std::sin(open)) < 0.01)
    return problem("the two places are one place or opposite",
                   "two places on both sides of the weight, less than half a turn apart");
  SplitWeight out;
  out.first = mass * std::sin(second - angle) / std::sin(open);
  out.second = mass * std::sin(angle - first) / std::sin(open);
  if (out.first < -1e-9 * mass || out.second < -1e-9 * mass)
    return problem("the weight does not lie between the two places",
                   "two places on both sides of the weight, less than half a turn apart");
  const Vector whole = vector_at(mass, angle);
  std::optional<std::pair<double, double>> best;
  for (const double one : sizes_beside(out.first, sizes))
    for (const double other : sizes_beside(out.second, sizes)) {
      const Vector left = whole - vector_at(one, first) - vector_at(other, second);
      const std::pair cost{in_billionths(1e3 * std::abs(left)), in_billionths(one + other)};
      if (best && *best <= cost) continue;
      best = cost;
      out.first_size = one;
      out.second_size = other;
      out.left = left;
    }
  return out;
}

std::pair<double, double> spokes_beside(double angle, int count, double one) {
  const double apart = kTurn / count;
  const double below = one + std::floor((angle - one) / apart) * apart;
  const auto in_turn = [](double at) { return angle_of(vector_at(1.0, at)); };
  return {in_turn(below), in_turn(below + apart)};
}

}  // namespace perrev
