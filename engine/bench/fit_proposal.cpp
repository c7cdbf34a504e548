#include "engine/bench/fit_proposal.h"

#include <algorithm>
#include <cmath>

#include "engine/knowledge/record.h"
#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

constexpr double kNear = 0.05;  // in the natural logarithm

NumberWord rounded(double number, const std::vector<NumberWord>& words) {
  for (const NumberWord& word : words)
    if (std::abs(std::log(number / word.number)) < kNear) return word;
  const double step = std::pow(10.0, std::floor(std::log10(number)) - 1.0);
  const std::string shown = show_number(std::round(number / step) * step);
  return {shown, parse_decimal(shown).value_or(number)};
}

double change_of(const Proposal::Usual& one) { return std::log(one.to.number / one.fit.from); }
double change_of(const Proposal::Strength& one, const std::vector<Claim>& claims) {
  return std::log(one.to.number) - std::abs(claims[one.fit.claim].log_ratio);
}

}  // namespace

Proposal propose(const RuleBase& base, const std::vector<Claim>& claims, const Fit& learned,
                 Learns learns) {
  Proposal out;
  for (const UsualFit& one : learned.usual) {
    if (learns == Learns::strengths) break;
    Proposal::Usual made{one, rounded(std::min(one.to, kMostUsual), base.usual_words)};
    if (std::abs(change_of(made)) >= kLeastChange) out.usual.push_back(std::move(made));
  }
  for (const StrengthFit& one : learned.strengths) {
    if (learns == Learns::usual) break;
    Proposal::Strength made{one, rounded(std::exp(std::abs(one.log_ratio)), base.strengths)};
    if (std::abs(change_of(made, claims)) >= kLeastChange) out.strengths.push_back(std::move(made));
  }
  std::sort(out.usual.begin(), out.usual.end(),
            [](const Proposal::Usual& a, const Proposal::Usual& b) {
              const double x = std::abs(change_of(a)), y = std::abs(change_of(b));
              return x != y ? x > y : a.fit.cause < b.fit.cause;
            });
  std::sort(out.strengths.begin(), out.strengths.end(),
            [&](const Proposal::Strength& a, const Proposal::Strength& b) {
              const double x = std::abs(change_of(a, claims)), y = std::abs(change_of(b, claims));
              return x != y ? x > y : a.fit.claim < b.fit.claim;
            });
  return out;
}

RuleBase proposed(const RuleBase& base, const std::vector<Claim>& claims,
                  const Proposal& proposal) {
  RuleBase out = base;
  for (const Proposal::Usual& one : proposal.usual)
    out.causes[static_cast<std::size_t>(one.fit.cause)].usual = one.to.number;
  for (const Proposal::Strength& one : proposal.strengths) say(out, claims[one.fit.claim], one.to);
  return out;
}

std::vector<ScalarEdit> edits_of(const Written& written, const std::vector<Claim>& claims,
                                 const Proposal& proposal) {
  std::vector<ScalarEdit> out;
  for (const Proposal::Usual& one : proposal.usual) {
    const Cause& cause = written.base().causes[static_cast<std::size_t>(one.fit.cause)];
    if (const auto [value, file] = written.in_cause(cause, "usual"); value)
      out.push_back({file, value->line, value->column, value->scalar, one.to.word});
  }
  for (const Proposal::Strength& one : proposal.strengths) {
    const Claim& claim = claims[one.fit.claim];
    out.push_back({claim.file, claim.line, claim.column, claim.strength, one.to.word});
  }
  return out;
}

std::vector<HeldOut> held_out(const RuleBase& base, const std::vector<Claim>& claims,
                              const std::vector<ClosedCase>& cases, std::size_t fold,
                              std::size_t folds, Learns learns) {
  std::vector<ClosedCase> taught;
  for (std::size_t i = 0; i < cases.size(); ++i)
    if (i % folds != fold) taught.push_back(cases[i]);
  const Fit learned = fit(base, claims, taught);
  const RuleBase then = proposed(base, claims, propose(base, claims, learned, learns));
  const Reasoner before(base), after(then);
  std::vector<HeldOut> out;
  for (std::size_t i = fold; i < cases.size(); i += folds)
    out.push_back({log_loss(before, cases[i]), log_loss(after, cases[i])});
  return out;
}

Gain gain_of(const std::vector<HeldOut>& cases) {
  Gain out;
  const double count = static_cast<double>(cases.size());
  if (cases.size() < 2) return out;
  for (const HeldOut& one : cases) out.mean += (one.before - one.after) / count;
  for (const HeldOut& one : cases) out.error += std::pow(one.before - one.after - out.mean, 2);
  out.error = std::sqrt(out.error / (count - 1.0) / count);
  return out;
}

}  // namespace perrev
