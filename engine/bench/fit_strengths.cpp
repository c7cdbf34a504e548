#include "engine/bench/fit_strengths.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/knowledge/groups.h"

namespace perrev {

namespace {

// A strength is not taken beyond these: 1.1 still speaks, 200 is more than anybody should claim.
const double kLeast = std::log(1.1), kMost = std::log(200.0);
constexpr int kSweeps = 4, kNewtonSteps = 12;
constexpr double kSettled = 1e-4;

// What one case leaves open of a group: sheets, each with its share.
using Open = std::vector<std::pair<std::size_t, double>>;

// A group of facts of one cause over all its answer sheets, with what closed cases show of it.
struct Sheets {
  std::vector<double> base;              // base rates; 0 where the cause cannot be
  std::vector<std::vector<char>> holds;  // by rule and sheet
  std::vector<double> log_ratios;        // by rule, as fitted so far
  std::vector<double> relative;          // by sheet, of those; not normalised
  std::vector<Open> cases;

  void weigh() {
    for (std::size_t sheet = 0; sheet < base.size(); ++sheet) {
      double log_strength = 0.0;
      for (std::size_t r = 0; r < holds.size(); ++r)
        if (holds[r][sheet]) log_strength += log_ratios[r];
      relative[sheet] = std::exp(log_strength);
    }
  }
  void set(std::size_t rule, double log_ratio) {
    const double factor = std::exp(log_ratio - log_ratios[rule]);
    for (std::size_t sheet = 0; sheet < base.size(); ++sheet)
      if (holds[rule][sheet]) relative[sheet] *= factor;
    log_ratios[rule] = log_ratio;
  }
};

// How much of something lies where a rule does not hold and where it does, without its own factor.
struct Sides {
  double without = 0.0, with = 0.0;

  double probability(double ratio) const { return with * ratio / (without + with * ratio); }
};

Sides sides(const Sheets& group, std::size_t rule, const Open& open) {
  Sides out;
  for (const auto& [sheet, share] : open)
    (group.holds[rule][sheet] ? out.with : out.without) += share * group.relative[sheet];
  out.with *= std::exp(-group.log_ratios[rule]);
  return out;
}

Open everything(const Sheets& group) {
  Open out;
  for (std::size_t sheet = 0; sheet < group.base.size(); ++sheet)
    if (group.base[sheet] > 0.0) out.push_back({sheet, group.base[sheet]});
  return out;
}

// Of one claim about one cause.
struct Part {
  std::size_t group = 0, rule = 0;  // index of Sheets, and of a rule in it
  double expected = 0.0;            // P(rule holds | cause), as the rule base has it
  double stands_for = 0.0;
};

class StrengthFitter {
 public:
  StrengthFitter(const AnswerModel& model, const std::vector<Claim>& claims,
                 const std::vector<ClosedCase>& cases, double deviation)
      : model_(model), claims_(claims) {
    const std::vector<std::vector<FactGroup>> all = all_groups(model.base());
    std::map<std::pair<int, int>, Part> found;  // by rule and cause
    for (std::size_t cause = 0; cause < model.base().causes.size(); ++cause) {
      std::vector<const Answers*> alone;
      for (const ClosedCase& one : cases)
        if (one.causes.size() == 1 && one.causes[0] == static_cast<int>(cause))
          alone.push_back(&one.facts.rounds.front().answers);
      if (alone.empty()) continue;
      for (std::size_t g = 0; g < all[cause].size(); ++g) {
        if (!read(model.groups(static_cast<int>(cause))[g], alone)) continue;
        for (std::size_t r = 0; r < all[cause][g].rules.size(); ++r)
          found[{all[cause][g].rules[r].rule, static_cast<int>(cause)}] = {groups_.size() - 1, r,
                                                                           0.0, 0.0};
      }
    }
    for (const Claim& claim : claims) {
      parts_.emplace_back();
      for (const int cause : claim.causes)
        if (const auto part = found.find({claim.rule, cause}); part != found.end())
          parts_.back().push_back(part->second);
      weigh_claim(parts_.back(), 1.0 / (deviation * deviation));
    }
  }

  std::vector<StrengthFit> run() {
    std::vector<StrengthFit> out;
    for (std::size_t c = 0; c < claims_.size(); ++c)
      if (!parts_[c].empty()) out.push_back(begin(c));
    double moved = 1.0;
    for (int sweep = 0; sweep < kSweeps && moved > kSettled; ++sweep) {
      moved = 0.0;
      for (StrengthFit& one : out) {
        const double to = best(one);
        moved = std::max(moved, std::abs(to - one.log_ratio));
        one.log_ratio = to;
      }
    }
    return out;
  }

 private:
  // Kept only where a case says anything.
  bool read(const GroupTable& table, const std::vector<const Answers*>& alone) {
    Sheets made;
    for (const Answers* answers : alone)
      if (model_.anything_known(table, *answers) && model_.value(table, *answers) > 0.0)
        made.cases.push_back(left_open(table, *answers));
    if (made.cases.empty() || table.rules.empty()) return false;
    const RuleBase& base = model_.base();
    std::vector<int> answers(base.variables.size(), -1);
    made.relative.resize(table.relative.size());
    made.holds.assign(table.rules.size(), std::vector<char>(table.relative.size(), 0));
    for (const GroupRule& rule : table.rules) made.log_ratios.push_back(rule.log_ratio);
    for (std::size_t sheet = 0; sheet < table.relative.size(); ++sheet) {
      double rate = table.relative[sheet] > 0.0 ? 1.0 : 0.0;
      for (std::size_t i = 0; i < table.variables.size(); ++i) {
        const std::size_t v = static_cast<std::size_t>(table.variables[i]);
        answers[v] = static_cast<int>(sheet) / table.strides[i] % table.sizes[i];
        rate *= base.variables[v].base[static_cast<std::size_t>(answers[v])];
      }
      made.base.push_back(rate);
      for (std::size_t r = 0; r < table.rules.size(); ++r)
        made.holds[r][sheet] = base.rules[static_cast<std::size_t>(table.rules[r].rule)].when.read(
                                   answers) == Truth::yes;
    }
    made.weigh();
    groups_.push_back(std::move(made));
    return true;
  }

  // The sheets that fit what is known, each with the base rates of what is not: over all places.
  Open left_open(const GroupTable& table, const Answers& answers) const {
    Open out;
    for (std::size_t sheet = 0; sheet < table.relative.size(); ++sheet) {
      if (table.relative[sheet] == 0.0) continue;
      double share = 0.0;
      for (int place = 0; place < table.places; ++place)
        share += share_at(table, answers, sheet, place);
      if (share > 0.0) out.push_back({sheet, share});
    }
    return out;
  }

  double share_at(const GroupTable& table, const Answers& answers, std::size_t sheet,
                  int place) const {
    double share = 1.0;
    for (std::size_t i = 0; i < table.variables.size() && share > 0.0; ++i) {
      const Variable& variable =
          model_.base().variables[static_cast<std::size_t>(table.variables[i])];
      const int answer = static_cast<int>(sheet) / table.strides[i] % table.sizes[i];
      const int known =
          answers[static_cast<std::size_t>(variable.first_slot + (variable.slots > 1 ? place : 0))];
      if (known < 0)
        share *= variable.base[static_cast<std::size_t>(answer)];
      else if (known != answer)
        share = 0.0;
    }
    return share;
  }

  // How many cases each part stands for, so that together they leave the claim open as wanted; a
  // part whose rule always or never holds can tell nothing.
  void weigh_claim(std::vector<Part>& parts, double precision) const {
    for (Part& part : parts) {
      const Sheets& group = groups_[part.group];
      part.expected = sides(group, part.rule, everything(group))
                          .probability(std::exp(group.log_ratios[part.rule]));
    }
    parts.erase(
        std::remove_if(parts.begin(), parts.end(),
                       [](const Part& p) { return !(p.expected > 0.0 && p.expected < 1.0); }),
        parts.end());
    for (Part& part : parts)
      part.stands_for =
          precision / static_cast<double>(parts.size()) / (part.expected * (1.0 - part.expected));
  }

  StrengthFit begin(std::size_t claim) const {
    StrengthFit out{claim, claims_[claim].log_ratio, 0, 0.0, 0.0, 0.0};
    for (const Part& part : parts_[claim]) {
      const Sheets& group = groups_[part.group];
      const double ratio = std::exp(out.log_ratio);
      for (const Open& open : group.cases)
        out.held += sides(group, part.rule, open).probability(ratio);
      const double count = static_cast<double>(group.cases.size());
      out.expected += count * part.expected;
      out.cases += static_cast<int>(group.cases.size());
      out.stands_for += part.stands_for;
    }
    return out;
  }

  // Where the slope of the logarithm of the probability of the cases, and of those the claim stands
  // for, is 0; all else as it is now.
  double best(const StrengthFit& of) {
    struct Seen {
      std::vector<Sides> cases;
      Sides all;
    };
    const std::vector<Part>& parts = parts_[of.claim];
    std::vector<Seen> seen;
    for (const Part& part : parts) {
      const Sheets& group = groups_[part.group];
      Seen made{{}, sides(group, part.rule, everything(group))};
      for (const Open& open : group.cases) made.cases.push_back(sides(group, part.rule, open));
      seen.push_back(std::move(made));
    }
    const double own = std::abs(claims_[of.claim].log_ratio);
    const double least = std::min(kLeast, own), most = std::max(kMost, own);
    const bool in_favour = claims_[of.claim].log_ratio > 0.0;
    const double low = in_favour ? least : -most, high = in_favour ? most : -least;
    double at = of.log_ratio;
    for (int step = 0; step < kNewtonSteps; ++step) {
      const double ratio = std::exp(at);
      double slope = 0.0, bend = 0.0;
      for (std::size_t p = 0; p < parts.size(); ++p) {
        const double all = seen[p].all.probability(ratio);
        const double count = static_cast<double>(seen[p].cases.size()) + parts[p].stands_for;
        slope += parts[p].stands_for * parts[p].expected - count * all;
        bend += count * all * (1.0 - all);
        for (const Sides& one : seen[p].cases) {
          const double holds = one.probability(ratio);
          slope += holds;
          bend -= holds * (1.0 - holds);
        }
      }
      // Where cases leave much open the bend may come out flat: then a short step uphill.
      const double wanted = bend > 0.0 ? slope / bend : std::copysign(0.5, slope);
      const double to = std::clamp(at + std::clamp(wanted, -0.5, 0.5), low, high);
      const bool settled = std::abs(to - at) < kSettled;
      at = to;
      if (settled) break;
    }
    for (const Part& part : parts) groups_[part.group].set(part.rule, at);
    return at;
  }

  const AnswerModel& model_;
  const std::vector<Claim>& claims_;
  std::vector<Sheets> groups_;
  std::vector<std::vector<Part>> parts_;  // by claim
};

}  // namespace

std::vector<StrengthFit> fit_strengths(const AnswerModel& model, const std::vector<Claim>& claims,
                                       const std::vector<ClosedCase>& cases, double deviation) {
  return StrengthFitter(model, claims, cases, deviation).run();
}

}  // namespace perrev
