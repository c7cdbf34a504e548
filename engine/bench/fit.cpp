#include "engine/bench/fit.h"

#include "engine/bench/fit_strengths.h"

namespace perrev {

namespace {

std::vector<UsualFit> fit_usual(const RuleBase& base, const std::vector<ClosedCase>& cases,
                                double prior) {
  double all = 0.0, closed = 0.0;
  std::vector<UsualFit> out;
  for (std::size_t c = 0; c < base.causes.size(); ++c) {
    out.push_back({static_cast<int>(c), base.causes[c].usual, 0.0, 0.0, 0.0});
    all += base.causes[c].usual;
  }
  for (const ClosedCase& one : cases)
    for (const int cause : one.causes) {
      out[static_cast<std::size_t>(cause)].cases += 1.0;
      closed += 1.0;
    }
  double sum = 0.0;
  for (UsualFit& one : out) {
    one.expected = closed * one.from / all;
    one.to = one.from * (prior + one.cases) / (prior + one.expected);
    sum += one.to;
  }
  for (UsualFit& one : out) one.to *= all / sum;
  return out;
}

}  // namespace

Fit fit(const RuleBase& base, const std::vector<Claim>& claims,
        const std::vector<ClosedCase>& cases, const FitPrior& prior) {
  return {fit_usual(base, cases, prior.usual),
          fit_strengths(AnswerModel(base), claims, cases, prior.strength)};
}

}  // namespace perrev
