#include "src/answers/fit_words.h"

#include <algorithm>
#include <cmath>

#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"
#include "src/answers/rules_diff.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kMostLines = 20;

double mean(const std::vector<HeldOut>& cases, double HeldOut::* loss) {
  double sum = 0.0;
  for (const HeldOut& one : cases) sum += one.*loss;
  return sum / static_cast<double>(cases.size());
}

bool is_told(const CaseChange& change) { return change.otherwise || change.size >= kHardly; }

Json change_json(const CaseChange& of) {
  Json truth = Json::array();
  for (std::size_t t = 0; t < of.before.truth.size(); ++t)
    truth.push_back({{"cause", of.before.truth[t].cause},
                     {"probability", six_digits(of.before.truth[t].probability)},
                     {"probability_after", six_digits(of.after.truth[t].probability)},
                     {"rank", of.before.truth[t].rank},
                     {"rank_after", of.after.truth[t].rank}});
  return {{"case", of.before.tested.name},
          {"before", name_of(of.before.tested.standing)},
          {"after", name_of(of.after.tested.standing)},
          {"true", truth}};
}

std::string counted(std::size_t count, const std::string& one, const std::string& many) {
  return std::to_string(count) + " " + (count == 1 ? one : many);
}

// Columns of a table, each as wide as said; a negative width sets to the right.
std::string cells(const std::vector<std::pair<std::string, int>>& row) {
  std::string out;
  for (const auto& [text, width] : row) {
    const std::size_t room = static_cast<std::size_t>(std::abs(width));
    const std::string blanks(text.size() < room ? room - text.size() : 0, ' ');
    out += width < 0 ? blanks + text : text + blanks;
  }
  return out.erase(out.find_last_not_of(' ') + 1) + "\n";
}

std::string left_out(std::size_t all, const std::string& where = "in the patch and in --json") {
  return all <= kMostLines ? std::string()
                           : "  and " + std::to_string(all - kMostLines) + " more, " + where + "\n";
}

std::string usual_text(const FitFindings& of) {
  std::string out =
      "\nHow usual, per thousand complaints: " + std::to_string(of.proposal.usual.size()) + " of " +
      counted(of.base.causes.size(), "cause changes", "causes change") + "\n";
  if (of.proposal.usual.empty()) return out;
  out += cells({{"  cause", 38}, {"closed", -8}, {"expected", -10}, {"now", -8}, {"to", -8}});
  for (std::size_t i = 0; i < std::min(kMostLines, of.proposal.usual.size()); ++i) {
    const Proposal::Usual& one = of.proposal.usual[i];
    out += cells({{"  " + of.base.causes[static_cast<std::size_t>(one.fit.cause)].id, 38},
                  {fixed(one.fit.cases, 0), -8},
                  {fixed(one.fit.expected, 1), -10},
                  {show_number(one.fit.from), -8},
                  {show_number(one.to.number), -8}});
  }
  return out + left_out(of.proposal.usual.size());
}

std::string strengths_text(const FitFindings& of) {
  std::string out = "\nHow strongly rules speak: " + std::to_string(of.proposal.strengths.size()) +
                    " of " + counted(of.claims.size(), "strength changes", "strengths change") +
                    "\n";
  if (of.proposal.strengths.empty()) return out;
  out += wrapped(
      "(In so many cases of the cause the rule could be read; the strength itself "
      "counts as so many more. Where it held, and where it was expected to.)",
      2, 2);
  for (std::size_t i = 0; i < std::min(kMostLines, of.proposal.strengths.size()); ++i) {
    const Proposal::Strength& one = of.proposal.strengths[i];
    const Claim& claim = of.claims[one.fit.claim];
    out += wrapped(of.base.rules[static_cast<std::size_t>(claim.rule)].id +
                       (claim.log_ratio >= 0.0 ? ", for " : ", against ") + claim.name + ": " +
                       claim.strength + " to " + one.to.word,
                   2, 4);
    out += wrapped(counted(static_cast<std::size_t>(one.fit.cases), "case", "cases") +
                       ", counts as " + fixed(one.fit.stands_for, 0) + " more; held in " +
                       fixed(one.fit.held, 1) + ", expected " + fixed(one.fit.expected, 1),
                   6, 6);
  }
  return out + left_out(of.proposal.strengths.size());
}

std::string held_out_text(const FitFindings& of) {
  std::string out = "\nOn cases that it did not learn from\n";
  const Gain gain = gain_of(of.effect.held_out);
  out += wrapped("log loss " + fixed(mean(of.effect.held_out, &HeldOut::before), 3) + " now, " +
                     fixed(mean(of.effect.held_out, &HeldOut::after), 3) +
                     " after, smaller is better (each fifth judged by the other four); " +
                     (gain.mean < 0.0 ? "worse" : "better") + " by " +
                     fixed(std::abs(gain.mean), 3) + ", standard error " + fixed(gain.error, 3),
                 2, 2);
  if (gain.mean < -2.0 * gain.error)
    out += wrapped("These cases do not bear it out: do not take the patch.", 2, 2);
  else if (gain.mean <= 2.0 * gain.error)
    out += wrapped("That is within what chance does: do not take the patch for it.", 2, 2);
  return out;
}

std::string placed(const Placed& of) {
  return fixed(100.0 * of.probability, 1) + " %" +
         (of.rank > 0 ? " (" + std::to_string(of.rank) + ")" : std::string());
}

std::string reference_text(const FitFindings& of) {
  std::vector<const CaseChange*> told;
  for (const CaseChange& one : of.effect.reference)
    if (is_told(one)) told.push_back(&one);
  std::string out = "\nReference cases\n" +
                    wrapped(std::to_string(of.effect.passed(&CaseChange::before)) + " of " +
                                std::to_string(of.effect.reference.size()) + " as expected now, " +
                                std::to_string(of.effect.passed(&CaseChange::after)) + " after; " +
                                std::to_string(told.size()) + " come out differently",
                            2, 2);
  for (std::size_t i = 0; i < std::min(kMostLines, told.size()); ++i) {
    const CaseView &before = told[i]->before, &after = told[i]->after;
    std::string line = before.tested.name + ": ";
    for (std::size_t t = 0; t < before.truth.size(); ++t)
      line += (t > 0 ? ", " : "") + spaced(before.truth[t].cause) + " " + placed(before.truth[t]) +
              " now, " + placed(after.truth[t]) + " after";
    if (before.tested.standing != after.tested.standing)
      line += "; " + spaced(name_of(before.tested.standing)) + " now, " +
              spaced(name_of(after.tested.standing)) + " after";
    out += wrapped(line, 4, 6);
  }
  if (!told.empty()) out += wrapped("(probability and rank of what was wrong)", 4, 4);
  return out + left_out(told.size(), "in --json");
}

}  // namespace

std::size_t FitEffect::passed(CaseView CaseChange::* side) const {
  return static_cast<std::size_t>(std::count_if(
      reference.begin(), reference.end(),
      [side](const CaseChange& of) { return (of.*side).tested.standing == CaseStanding::passed; }));
}

nlohmann::ordered_json to_json(const FitFindings& of) {
  Json usual = Json::array(), strengths = Json::array(), changed = Json::array();
  for (const Proposal::Usual& one : of.proposal.usual)
    usual.push_back({{"cause", of.base.causes[static_cast<std::size_t>(one.fit.cause)].id},
                     {"cases", one.fit.cases},
                     {"expected_cases", six_digits(one.fit.expected)},
                     {"from", six_digits(one.fit.from)},
                     {"to", six_digits(one.to.number)}});
  for (const Proposal::Strength& one : of.proposal.strengths) {
    const Claim& claim = of.claims[one.fit.claim];
    strengths.push_back({{"rule", of.base.rules[static_cast<std::size_t>(claim.rule)].id},
                         {"name", claim.name},
                         {"side", claim.log_ratio >= 0.0 ? "for" : "against"},
                         {"from", claim.strength},
                         {"to", one.to.word},
                         {"odds_ratio", six_digits(one.to.number)},
                         {"cases", one.fit.cases},
                         {"stands_for_cases", six_digits(one.fit.stands_for)},
                         {"held", six_digits(one.fit.held)},
                         {"expected", six_digits(one.fit.expected)}});
  }
  for (const CaseChange& one : of.effect.reference)
    if (is_told(one)) changed.push_back(change_json(one));
  Json held = nullptr;
  if (!of.effect.held_out.empty()) {
    const Gain gain = gain_of(of.effect.held_out);
    held = {{"parts", kFitParts},
            {"log_loss", six_digits(mean(of.effect.held_out, &HeldOut::before))},
            {"log_loss_after", six_digits(mean(of.effect.held_out, &HeldOut::after))},
            {"gain", six_digits(gain.mean)},
            {"gain_se", six_digits(gain.error)}};
  }
  const FitPrior prior;
  return {{"rules_digest", of.base.digest},
          {"cases", of.cases},
          {"used", of.used},
          {"unproven", of.unproven},
          {"unreadable", of.unreadable},
          {"prior", {{"usual_cases", prior.usual}, {"strength_sd", prior.strength}}},
          {"usual", usual},
          {"strengths", strengths},
          {"held_out", held},
          {"reference_cases",
           {{"cases", of.effect.reference.size()},
            {"passed", of.effect.passed(&CaseChange::before)},
            {"passed_after", of.effect.passed(&CaseChange::after)},
            {"changed", changed}}},
          {"patch", of.patch}};
}

std::string to_text(const FitFindings& of, Learns learns, const std::string& patch_file,
                    const std::string& rules) {
  std::string out = wrapped(
      counted(of.used, "closed case", "closed cases") + " of " + std::to_string(of.cases) +
          " in the store; " + counted(of.unproven, "was", "were") + " closed without a proof and " +
          counted(of.unreadable, "does", "do") + " not fit the rule base",
      0, 2);
  const std::string written = patch_file.empty() ? "" : " Written: " + patch_file + ", empty.";
  const FitPrior prior;
  out += wrapped("The rule base's own figure counts as " + show_number(prior.usual) +
                     " cases of each cause, and each strength as at least " +
                     fixed(4.0 / (prior.strength * prior.strength), 0) +
                     " cases of its own: few cases change little.",
                 0, 2);
  if (of.used < kFewestClosed)
    return out + wrapped("Of fewer than " + std::to_string(kFewestClosed) +
                             " closed cases nothing is proposed." + written,
                         0, 2);
  if (learns != Learns::strengths) out += usual_text(of);
  if (learns != Learns::usual) out += strengths_text(of);
  if (of.proposal.empty()) return out + "\n" + wrapped("Nothing to propose." + written, 0, 2);
  out += held_out_text(of) + reference_text(of) + "\n";
  if (patch_file.empty())
    return out + "Nothing was written. --patch FILE writes the changes as a patch.\n";
  return out + wrapped("Written: " + patch_file +
                           ". The rule base is as it was; read the patch, strike what you do not "
                           "believe, then: patch -p1 -d " +
                           rules + " < " + patch_file +
                           ". What it learned from must not teach twice: the next time give "
                           "--since with today's date.",
                       0, 2);
}

}  // namespace perrev
