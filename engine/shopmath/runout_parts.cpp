#include "engine/shopmath/runout_parts.h"

#include <array>
#include <cmath>

namespace perrev {
namespace {

enum Read : std::size_t { on_car, off_car, rim_alone, hub_alone, seating_alone, reads };

// The share of each vector that was read in a part.
struct PartFactors {
  std::vector<RunoutPart> parts;
  std::array<double, reads> by{};
};

struct ReadVectors {
  std::array<bool, reads> has{};
  std::vector<VectorEstimate> all;

  VectorEstimate sum(const std::array<double, reads>& by) const {
    return blend(all, std::vector<Vector>(by.begin(), by.end()));
  }
};

ReadVectors gather(const RunoutVectors& of) {
  ReadVectors out;
  const std::array<const std::optional<VectorEstimate>*, reads> given{
      &of.on_car, &of.off_car, &of.rim, &of.hub, &of.seating};
  for (std::size_t i = 0; i < reads; ++i) {
    out.has[i] = given[i]->has_value();
    out.all.push_back(given[i]->value_or(VectorEstimate{}));
  }
  if (out.has[on_car] && out.has[off_car]) {
    const std::vector<VectorEstimate> tread = pooled({out.all[on_car], out.all[off_car]});
    out.all[on_car] = tread[0];
    out.all[off_car] = tread[1];
  }
  return out;
}

// What has to be read to know a part by itself, with its place in the order of `Read`.
constexpr std::array<std::pair<RunoutPart, Read>, 3> kAlone{{{RunoutPart::rim, rim_alone},
                                                             {RunoutPart::hub, hub_alone},
                                                             {RunoutPart::seating, seating_alone}}};

// What was read alone is taken off the rest; what was not stays a part of it.
void take_off(const ReadVectors& read, const std::pair<RunoutPart, Read>& alone,
              PartFactors& rest) {
  if (read.has[alone.second])
    rest.by[alone.second] = -1.0;
  else
    rest.parts.push_back(alone.first);
}

void add_fit(const ReadVectors& read, std::vector<PartFactors>& out) {
  if (!read.has[on_car] || !read.has[off_car]) return;
  PartFactors rest;
  rest.by[on_car] = 1.0;
  rest.by[off_car] = -1.0;
  for (const auto& alone : kAlone) {
    if (alone.first == RunoutPart::rim) continue;
    take_off(read, alone, rest);
  }
  if (!rest.parts.empty()) out.push_back(rest);
}

void add_tire(const ReadVectors& read, std::vector<PartFactors>& out) {
  PartFactors rest{{RunoutPart::tire}, {}};
  if (!read.has[on_car] && !read.has[off_car]) return;
  const bool off = read.has[off_car];
  rest.by[off ? off_car : on_car] = 1.0;
  for (const auto& alone : kAlone) {
    if (off && alone.first != RunoutPart::rim) continue;
    take_off(read, alone, rest);
  }
  out.push_back(rest);
}

std::vector<PartFactors> factors_of(const ReadVectors& read) {
  std::vector<PartFactors> out;
  add_tire(read, out);
  for (const auto& alone : kAlone) {
    if (!read.has[alone.second]) continue;
    PartFactors own{{alone.first}, {}};
    own.by[alone.second] = 1.0;
    out.push_back(own);
  }
  add_fit(read, out);
  return out;
}

FitSays fit_of(const VectorEstimate& on_less_off) {
  const Interval amount = on_less_off.amount();
  if (2.0 * amount.high < kFitOpen) return FitSays::clears_fit;
  return 2.0 * amount.low > kFitAccused ? FitSays::accuses_fit : FitSays::leaves_open;
}

void find_most(const ReadVectors& read, const std::vector<PartFactors>& factors, RunoutParts& out) {
  const auto rounded = [&](std::size_t i) {
    return std::round(std::abs(out.shares[i].vector.value) * 1e9);
  };
  for (std::size_t i = 1; i < out.shares.size(); ++i)
    if (rounded(i) > rounded(out.most)) out.most = i;
  out.clearly_most = out.shares.size() > 1 && out.shares[out.most].stands;
  const auto& largest = factors[out.most].by;
  for (std::size_t i = 0; i < factors.size(); ++i) {
    if (i == out.most) continue;
    const auto& other = factors[i].by;
    const Interval apart =
        amount_apart(read.all, std::vector<Vector>(largest.begin(), largest.end()),
                     std::vector<Vector>(other.begin(), other.end()));
    out.clearly_most = out.clearly_most && apart.low > 0.0;
  }
}

}  // namespace

std::string_view name_of(RunoutPart part) {
  switch (part) {
    case RunoutPart::tire:
      return "tire";
    case RunoutPart::rim:
      return "rim";
    case RunoutPart::hub:
      return "hub";
    case RunoutPart::seating:
      return "seating";
  }
  return "";
}

Result<RunoutParts> runout_parts(const RunoutVectors& of) {
  const ReadVectors read = gather(of);
  const std::vector<PartFactors> factors = factors_of(read);
  if (factors.empty())
    return problem("there is no runout to take apart",
                   "read the tread on the car and off it, or the rim, or the hub");
  for (std::size_t i = 0; i < reads; ++i)
    if (!std::isfinite(std::abs(read.all[i].value)))
      return problem("a runout is no number", "write amount and angle of each");
  RunoutParts out;
  for (const PartFactors& part : factors) {
    const VectorEstimate vector = read.sum(part.by);
    out.shares.push_back({part.parts, vector, stands_out(vector)});
  }
  if (read.has[on_car] && read.has[off_car]) {
    out.on_less_off = read.sum({1.0, -1.0, 0.0, 0.0, 0.0});
    out.fit_says = fit_of(*out.on_less_off);
    if (read.has[hub_alone] && read.has[seating_alone]) {
      out.gap = read.sum({1.0, -1.0, 0.0, -1.0, -1.0});
      out.gap_stands = stands_out(*out.gap);
    }
  }
  find_most(read, factors, out);
  return out;
}

}  // namespace perrev
