#include "engine/shopmath/trim.h"

#include <algorithm>
#include <cmath>

#include "engine/quantity/angle.h"

namespace perrev {

namespace {

constexpr double kAmountOff = 0.2, kLagOff = 15.0 * kDegree;

Trim trim_by(const VectorEstimate& add, Vector on) {
  Trim out;
  out.add = add;
  out.replaced = on + add.value;
  const double wanted = std::abs(out.replaced), there = std::abs(on);
  out.moved = wanted > 0.0 ? there / wanted * out.replaced : on;
  out.left_when_moved = std::abs(out.moved - out.replaced);
  return out;
}

}  // namespace

bool Response::reads_true() const {
  const auto holds_one = [](const Interval& of, double one) {
    return of.low <= one && one <= of.high;
  };
  if (holds_one(factor.x(), 1.0) && holds_one(factor.y(), 0.0)) return true;
  return std::abs(amount() - 1.0) <= kAmountOff && std::abs(lag()) <= kLagOff;
}

Result<Response> response(const VectorEstimate& before, const VectorEstimate& after,
                          Vector put_on) {
  if (!(std::abs(put_on) > 0.0))
    return problem("no weight was put on between the spins", "the weight and its place");
  const VectorEstimate change = difference(after, before);
  if (!(change.amount().low > 0.0))
    return problem("the weight changed nothing that the balancer can tell",
                   "a heavier weight; readings that repeat; the weight in the plane that is read");
  return Response{times(change, 1.0 / put_on)};
}

Trim trim(const VectorEstimate& check_spin, Vector that_are_on) {
  return trim_by(times(check_spin, -1.0), that_are_on);
}

Result<Trim> trim_by_response(const VectorEstimate& before, const VectorEstimate& check_spin,
                              Vector put_on, Vector that_are_on) {
  const auto found = response(before, check_spin, put_on);
  if (!found.ok()) return found.error();
  // add = -after put_on / (after - before); its slopes to both readings.
  const Vector change = check_spin.value - before.value;
  const Vector to_before = -check_spin.value * put_on / (change * change);
  const Vector to_after = before.value * put_on / (change * change);
  VectorEstimate add = difference(times(check_spin, to_after), times(before, -to_before));
  add.value = -check_spin.value * put_on / change;
  return trim_by(add, that_are_on);
}

}  // namespace perrev
