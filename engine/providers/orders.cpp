#include "engine/providers/orders.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/casefile/vehicle_of.h"

namespace perrev {

namespace {

constexpr double kLowest = 1.0, kHighest = 200.0;  // Hz
constexpr double kSomethingElse =
    0.1;                    // share of readings that caught another vibration; from memory
constexpr int kBands = 48;  // for what a reading could show, even in the logarithm

double log_uniform(double hz) { return 1.0 / (hz * std::log(kHighest / kLowest)); }

double normal(double x, double mean, double sd) {
  const double z = (x - mean) / sd;
  return std::exp(-0.5 * z * z) / (sd * std::sqrt(2.0 * std::numbers::pi));
}

double normal_share(double low, double high, double mean, double sd) {
  const double root = sd * std::numbers::sqrt2;
  return 0.5 * (std::erf((high - mean) / root) - std::erf((low - mean) / root));
}

// A line that a cause may shake on; its share of the cause's readings.
struct CauseLine {
  Estimate hz;
  double share = 0.0;
  std::string about;
};

// Lines of one part at every order of a range share the range's probability. Empty when one entry
// of the cause cannot be computed: then nothing is known of where it would lie.
std::vector<CauseLine> lines_of(const Cause& cause, const VehicleFacts& vehicle,
                                const std::vector<OrderLine>& all) {
  std::vector<CauseLine> out;
  for (const Shake& shake : cause.shakes) {
    double low = shake.low_order, high = shake.high_order;
    if (shake.kind != Shake::Kind::number) {
      if (!vehicle.cylinders) return {};
      low = high = *vehicle.cylinders / (shake.kind == Shake::Kind::firing ? 2.0 : 4.0);
    }
    std::vector<CauseLine> found;
    for (const OrderLine& line : all) {  // one first order for each part of the source
      if (line.source != shake.source || line.order != 1.0) continue;
      const int orders = 1 + static_cast<int>(std::floor(high - low + 1e-9));
      for (int i = 0; i < orders; ++i) {
        const double order = low + i;
        found.push_back({{line.hz.mean * order, line.hz.sd * order},
                         0.0,
                         shake.source + " order " + show_number(order)});
      }
    }
    if (found.empty()) return {};
    for (CauseLine& line : found) {
      line.share = shake.share / static_cast<double>(found.size());
      out.push_back(std::move(line));
    }
  }
  return out;
}

struct Setting {
  VehicleFacts vehicle;
  std::vector<OrderLine> lines;
};

Setting setting_of(const RuleBase& base, const CaseFacts& facts, std::size_t round) {
  Setting out{vehicle_of(base, facts, round), {}};
  out.lines = order_lines(out.vehicle, rotations(out.vehicle, motion_of(base, facts, round)));
  return out;
}

double together(double a, double b) { return std::sqrt(a * a + b * b); }

}  // namespace

double reading_sd(double hz) { return std::max(0.2, 0.02 * hz); }

std::vector<int> OrdersProvider::facts(const RuleBase& base) const {
  const int fact = base.fact_index("measured_frequency");
  return fact < 0 ? std::vector<int>{} : std::vector<int>{fact};
}

ProviderWeights OrdersProvider::weigh(const RuleBase& base, const CaseFacts& facts,
                                      std::size_t round) const {
  ProviderWeights out;
  const std::vector<int> owned = this->facts(base);
  const Reading* reading = owned.empty() ? nullptr : facts.rounds[round].find(owned[0]);
  if (!reading || reading->unsure) return out;
  const Setting setting = setting_of(base, facts, round);
  if (setting.lines.empty()) return out;
  out.facts = owned;
  out.by_cause.assign(base.causes.size(), 0.0);
  out.models.assign(base.causes.size(), 0);
  out.because.assign(base.causes.size(), "");
  // The mean of several readings is as sharp as their number allows.
  const double sd =
      reading_sd(reading->number) / std::sqrt(static_cast<double>(reading->numbers.size()));
  const double other = log_uniform(reading->number);
  for (std::size_t c = 0; c < base.causes.size(); ++c) {
    const std::vector<CauseLine> lines = lines_of(base.causes[c], setting.vehicle, setting.lines);
    if (lines.empty()) continue;
    out.models[c] = 1;
    double density = 0.0;
    const CauseLine* nearest_line = &lines.front();
    for (const CauseLine& line : lines) {
      density += line.share * normal(reading->number, line.hz.mean, together(line.hz.sd, sd));
      if (std::abs(line.hz.mean - reading->number) <
          std::abs(nearest_line->hz.mean - reading->number))
        nearest_line = &line;
    }
    out.by_cause[c] = std::log(((1.0 - kSomethingElse) * density + kSomethingElse * other) / other);
    out.because[c] = "The frequency " + show(reading->number, Dimension::frequency, Units::us) +
                     (out.by_cause[c] > 0.0 ? " lies on " : " does not lie on ") +
                     nearest_line->about + ", computed at " +
                     show(nearest_line->hz.mean, Dimension::frequency, Units::us) + ".";
  }
  return out;
}

ProviderTable OrdersProvider::expect(const RuleBase& base, const CaseFacts& facts, int) const {
  ProviderTable out;
  const Setting setting = setting_of(base, facts, facts.rounds.size() - 1);
  if (setting.lines.empty()) return out;
  std::vector<double>& edges = out.edges;
  for (int i = 0; i <= kBands; ++i)
    edges.push_back(kLowest * std::pow(kHighest / kLowest, static_cast<double>(i) / kBands));
  out.base.assign(kBands, 1.0 / kBands);
  for (const Cause& cause : base.causes) {
    std::vector<double> row;
    const std::vector<CauseLine> lines = lines_of(cause, setting.vehicle, setting.lines);
    if (!lines.empty()) {
      row.assign(kBands, kSomethingElse / kBands);
      double inside = 0.0;
      std::vector<double> share(kBands, 0.0);
      for (std::size_t b = 0; b < share.size(); ++b)
        for (const CauseLine& line : lines)
          share[b] += line.share * normal_share(edges[b], edges[b + 1], line.hz.mean,
                                                together(line.hz.sd, reading_sd(line.hz.mean)));
      for (const double s : share) inside += s;
      for (std::size_t b = 0; b < share.size(); ++b)
        row[b] += (1.0 - kSomethingElse) * (inside > 0.0 ? share[b] / inside : 1.0 / kBands);
    }
    out.by_cause.push_back(std::move(row));
  }
  return out;
}

Explanation explain_frequency(const std::vector<OrderLine>& lines, double measured, double sd) {
  Explanation out;
  double total = log_uniform(measured);
  const double other = total;
  for (const OrderLine& line : lines) {
    const double density = normal(measured, line.hz.mean, together(line.hz.sd, sd));
    out.lines.push_back({line, density});
    total += density;
  }
  for (ExplainedLine& line : out.lines) line.probability /= total;
  out.unexplained = other / total;
  return out;
}

}  // namespace perrev
