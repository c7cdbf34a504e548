// Ranges of one number that speak of one cause and do not quite meet, or overlap in part.
#include <algorithm>
#include <map>
#include <optional>
#include <tuple>

#include "engine/bench/findings_passes.h"

namespace perrev {

namespace {

struct Span {
  int rule = -1;
  double low = 0.0, high = 0.0;  // within the fact's range
};

// A condition in letters, so that two can be compared.
std::string written_out(const Condition& condition) {
  std::string out = std::to_string(static_cast<int>(condition.kind)) + ":" +
                    std::to_string(condition.variable) + "=" + std::to_string(condition.answers);
  for (const Condition& part : condition.parts) out += "(" + written_out(part) + ")";
  return out;
}

bool is_range(const RuleBase& base, const Condition& condition) {
  return condition.kind == Condition::Kind::test &&
         !base.variables[at(condition.variable)].edges.empty();
}

// A rule as ranges of one number, and what else it asks for.
struct Ranged {
  int variable = -1;
  std::vector<const Condition*> ranges;
  std::string rest;
};

std::optional<Ranged> ranged(const RuleBase& base, const Condition& when) {
  std::vector<const Condition*> parts;
  if (when.kind == Condition::Kind::all)
    for (const Condition& part : when.parts) parts.push_back(&part);
  else
    parts.push_back(&when);
  Ranged out;
  for (const Condition* part : parts) {
    const bool list = part->kind == Condition::Kind::any &&
                      std::all_of(part->parts.begin(), part->parts.end(), [&](const Condition& c) {
                        return is_range(base, c) && c.variable == part->parts.front().variable;
                      });
    if (!list && !is_range(base, *part)) {
      out.rest += written_out(*part);
      continue;
    }
    if (!out.ranges.empty()) return std::nullopt;  // two numbers
    if (list)
      for (const Condition& range : part->parts) out.ranges.push_back(&range);
    else
      out.ranges.push_back(part);
    out.variable = out.ranges.front()->variable;
  }
  return out.ranges.empty() ? std::nullopt : std::optional<Ranged>(std::move(out));
}

enum class Meeting { well, gap, overlap };

Meeting meeting(const Span& lower, const Span& upper, double same) {
  constexpr double kSmallGap = 1.0 / 3.0;  // of the narrower range: more may well be meant
  const double apart = upper.low - lower.high;
  const double narrow = std::min(lower.high - lower.low, upper.high - upper.low);
  if (apart > same) return apart <= kSmallGap * narrow ? Meeting::gap : Meeting::well;
  const bool in_part = upper.low - lower.low > same && upper.high - lower.high > same;
  return apart < -same && in_part ? Meeting::overlap : Meeting::well;
}

class Ranges {
 public:
  explicit Ranges(const RuleBase& base) : base_(base) {
    for (std::size_t r = 0; r < base.rules.size(); ++r) {
      const auto found = ranged(base, base.rules[r].when);
      if (!found) continue;
      const Fact& fact = base.facts[at(base.variables[at(found->variable)].fact)];
      for (const Rule::Effect& effect : base.rules[r].effects)
        for (const Condition* range : found->ranges)
          spans_[{effect.cause, effect.log_ratio > 0.0, found->variable, found->rest}].push_back(
              {static_cast<int>(r), std::max(range->low, fact.low),
               std::min(range->high, fact.high)});
    }
    for (auto& entry : spans_) look(entry.first, entry.second);
  }

  void tell(const Written& written, Findings& out) const {
    for (const auto& [at_pair, causes] : met_) {
      const auto& [first, second, variable, gap, low, high] = at_pair;
      const Rule& one = base_.rules[at(first)];
      const Rule& other = base_.rules[at(second)];
      const std::string whose = first == second ? "the ranges of rule '" + one.id + "'"
                                                : "rules '" + one.id + "' and '" + other.id + "'";
      Condition between = Condition::test(variable, 0);
      between.low = low;
      between.high = high;
      const std::string there =
          " for or against " + named(causes) + " (" + base_.words(between) + ")";
      out.push_back(finding(gap ? "range-gap" : "range-overlap",
                            written.in_rule(base_.rules[at(std::max(first, second))], "when"),
                            whose + (gap ? " leave a gap" : " overlap and count twice") + there,
                            "ranges that meet, in one unit"));
    }
  }

 private:
  using Key = std::tuple<int, bool, int, std::string>;          // cause, for, variable, rest
  using Met = std::tuple<int, int, int, bool, double, double>;  // rules, variable, gap, from, to

  void look(const Key& key, std::vector<Span>& spans) {
    const auto& [cause, in_favour, variable, rest] = key;
    const Fact& fact = base_.facts[at(base_.variables[at(variable)].fact)];
    const double same = 1e-9 * (fact.high - fact.low);
    std::sort(spans.begin(), spans.end(), [](const Span& a, const Span& b) {
      return std::tie(a.low, a.high, a.rule) < std::tie(b.low, b.high, b.rule);
    });
    for (std::size_t i = 0; i < spans.size(); ++i)
      for (std::size_t j = i + 1; j < spans.size(); ++j) {
        const Meeting how = meeting(spans[i], spans[j], same);
        if (how == Meeting::well) continue;
        const bool gap = how == Meeting::gap;
        const double low = gap ? spans[i].high : spans[j].low;
        const double high = gap ? spans[j].low : spans[i].high;
        if (gap && is_filled(spans, low, high)) continue;
        met_[{std::min(spans[i].rule, spans[j].rule), std::max(spans[i].rule, spans[j].rule),
              variable, gap, low, high}]
            .push_back(cause_id(base_, cause));
      }
  }

  static bool is_filled(const std::vector<Span>& spans, double low, double high) {
    return std::any_of(spans.begin(), spans.end(),
                       [&](const Span& s) { return s.low < high && s.high > low; });
  }

  const RuleBase& base_;
  std::map<Key, std::vector<Span>> spans_;
  std::map<Met, std::vector<std::string>> met_;
};

}  // namespace

void find_loose_ranges(const Written& written, Findings& out) {
  Ranges(written.base()).tell(written, out);
}

}  // namespace perrev
