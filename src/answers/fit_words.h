// What closed cases taught, as the command tells it: in words and as JSON.
//
// JSON: {rules_digest, cases, used, unproven, unreadable, prior: {usual_cases, strength_sd},
// usual: [{cause, cases, expected_cases, from, to}],
// strengths: [{rule, name, side, from, to, odds_ratio, cases, stands_for_cases, held, expected}],
// held_out: null | {parts, log_loss, log_loss_after, gain, gain_se},
// reference_cases: {cases, passed, passed_after, changed: [{case, before, after, true: [{cause,
// probability, probability_after, rank, rank_after}]}]}, patch}
#pragma once

#include <cstddef>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "engine/bench/case_change.h"
#include "engine/bench/fit_proposal.h"

namespace perrev {

// Of fewer closed cases nothing is proposed.
inline constexpr std::size_t kFitParts = 5, kFewestClosed = 10;

struct FitEffect {
  std::vector<HeldOut> held_out;      // empty: too few cases
  std::vector<CaseChange> reference;  // of every reference case, worst first

  std::size_t passed(CaseView CaseChange::* side) const;
};

// Everything that was found out.
struct FitFindings {
  const RuleBase& base;
  const std::vector<Claim>& claims;
  std::size_t cases = 0, used = 0, unproven = 0, unreadable = 0;
  const Proposal& proposal;
  const FitEffect& effect;
  const std::string& patch;
};

nlohmann::ordered_json to_json(const FitFindings& of);
// `patch_file` is where the patch was written, empty: nowhere; `rules` the folder it is for.
std::string to_text(const FitFindings& of, Learns learns, const std::string& patch_file,
                    const std::string& rules);

}  // namespace perrev
