// The best that anybody could make of what was heard.
#include <algorithm>

#include "engine/bench/synthetic_draw.h"

namespace perrev {

std::vector<LineShare> added_up(std::vector<LineShare> shares) {
  std::sort(shares.begin(), shares.end(),
            [](const LineShare& a, const LineShare& b) { return a.line < b.line; });
  std::vector<LineShare> out;
  for (LineShare& share : shares) {
    if (!out.empty() && out.back().line == share.line)
      out.back().probability += share.probability;
    else
      out.push_back(std::move(share));
  }
  std::sort(out.begin(), out.end(), [](const LineShare& a, const LineShare& b) {
    return a.probability != b.probability ? a.probability > b.probability : a.line < b.line;
  });
  return out;
}

double Simulator::likelihood(const SyntheticHeard& heard, const Way& way, std::size_t fault) const {
  const PhysicsFault& of = base_->physics.faults[fault];
  const SaidOfWay& said = way.said[heard.satellite ? 1 : 0];
  const AskedSpeeds& speeds = asked(heard.satellite);
  double one = heard.worst < 0 ? 1.0 : said.worst()[static_cast<std::size_t>(heard.worst)];
  if (heard.pace >= 0)
    one *= pace_shares(way.source, way.order)[static_cast<std::size_t>(heard.pace)];
  const std::size_t behaviour = static_cast<std::size_t>(behaviour_of(of, way.source));
  for (std::size_t i = 0; i < heard.finds.size(); ++i)
    if (heard.finds[i] >= 0)
      one *= synthetic_finds()[i].shares[behaviour][static_cast<std::size_t>(heard.finds[i])];
  if (heard.hz > 0.0)
    one *= reading_density(
        heard.hz, way.order * way.turns_per_metre * true_speed(heard.worst, heard.satellite));
  if (one <= 0.0) return 0.0;
  double out = 0.0;
  for (std::size_t n = 0; n < kSyntheticLevels; ++n) {
    const double db = level(fault, n), ever = said.ever(db);
    double p = way.weight[n];
    if (p < 1e-12) continue;
    if (heard.begins >= 0) p *= begins_share(said, speeds, heard.begins, db, ever);
    if (heard.ends >= 0) p *= ends_share(said, speeds, heard.ends, db, ever);
    if (heard.strength >= 0) p *= said.strength(db)[static_cast<std::size_t>(heard.strength)];
    if (heard.places)
      for (std::size_t t = 0; t < kTicks; ++t) {
        const double ticked = said.ticked(t, db);
        p *= (*heard.places)[t] ? ticked : 1.0 - ticked;
      }
    out += p;
  }
  return one * out;
}

IdealJudgement Simulator::judge(const SyntheticHeard& heard) const {
  IdealJudgement out;
  out.faults.assign(base_->physics.faults.size(), 0.0);
  double total = 0.0;
  for (std::size_t f = 0; f < out.faults.size(); ++f) {
    const double prior = usual_[f] > 0.0 ? usual_[f] * of_vehicle(heard, f) : 0.0;
    if (prior <= 0.0) continue;
    for (int size = 0; size < kSyntheticSizes; ++size)
      for (int ratio = 0; ratio < kSyntheticRatios; ++ratio) {
        if (heard.size >= 0 && size != heard.size) continue;
        if (on_shaft_[f] ? heard.ratio >= 0 && ratio != heard.ratio : ratio > 0) continue;
        double share = prior;
        if (heard.size < 0) share /= kSyntheticSizes;
        if (on_shaft_[f] && heard.ratio < 0) share /= kSyntheticRatios;
        for (const Way& way : ways({heard.kind, size, ratio, 0, 0, 0, -1}, f).ways) {
          double p = share * likelihood(heard, way, f);
          if (heard.driven_axle >= 0)
            p *= with_driven(base_->physics.faults[f], way, heard.driven_axle);
          out.faults[f] += p;
          out.lines.push_back({way.line, p});
          total += p;
        }
      }
  }
  for (double& p : out.faults) p /= total;
  for (LineShare& line : out.lines) line.probability /= total;
  out.lines = added_up(std::move(out.lines));
  return out;
}

}  // namespace perrev
