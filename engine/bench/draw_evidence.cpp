#include "engine/bench/draw_evidence.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <optional>

#include "engine/bench/explain_condition.h"
#include "engine/bench/explain_touches.h"
#include "engine/quantity/text.h"
#include "engine/reasoning/reasons.h"

namespace perrev {

namespace {

DrawnLine line_of(Truth truth) {
  return truth == Truth::yes  ? DrawnLine::bold
         : truth == Truth::no ? DrawnLine::dotted
                              : DrawnLine::dashed;
}

std::string share(double probability) {
  char shown[24];
  std::snprintf(shown, sizeof shown, "%.1f %%", 100.0 * probability);
  return shown;
}

std::string strength_words(const Rule::Effect& effect) {
  char weight[24];
  std::snprintf(weight, sizeof weight, " %+.1f", decibans_of(effect.log_ratio));
  return (effect.log_ratio >= 0.0 ? "for, " : "against, ") + said_strength(effect) + weight;
}

class EvidenceDrawer {
 public:
  explicit EvidenceDrawer(const EvidencePen& pen) : pen_(pen), base_(pen.base()) {
    if (pen.facts) ranking_ = rank(pen.reasoner, *pen.facts);
  }

  Drawing begin(const std::string& title, const std::string& shapes) const {
    Drawing out;
    out.title = title;
    out.legend = {shapes};
    if (pen_.facts)
      out.legend.push_back(
          "Thick line: holds, known. Dashed: not known. Dotted: does not hold. Double: confirmed.");
    return out;
  }

  int add_fact(Drawing& to, int fact) const {
    const Fact& of = base_.facts[static_cast<std::size_t>(fact)];
    DrawnVertex made{"fact " + of.id, {}, DrawnShape::box, DrawnLine::plain};
    add_lines(made.lines, of.ask);
    made.lines.push_back("[" + of.id + "]");
    if (pen_.facts) {
      std::string values;
      for (const Reading& reading : pen_.facts->now().readings) {
        if (reading.fact != fact) continue;
        values += values.empty() ? "" : "; ";
        if (reading.place >= 0)
          values += spaced(places_of(of.per)[static_cast<std::size_t>(reading.place)]) + " ";
        values += reading.text;
      }
      made.line = values.empty() ? DrawnLine::dashed : DrawnLine::bold;
      add_lines(made.lines, values.empty() ? "NOT ASKED" : "ANSWERED: " + values);
    }
    return to.vertex(made);
  }

  int add_rule(Drawing& to, int rule) const {
    const Rule& of = base_.rules[static_cast<std::size_t>(rule)];
    DrawnVertex made{"rule " + of.id, {}, DrawnShape::rounded, DrawnLine::plain};
    add_lines(made.lines, base_.words(of.when, pen_.units), 36);
    made.lines.push_back("[" + of.id + "]");
    if (pen_.facts) {
      const Truth truth = truth_now(rule);
      made.line = line_of(truth);
      made.lines.push_back(truth == Truth::yes  ? "HOLDS"
                           : truth == Truth::no ? "DOES NOT HOLD"
                                                : "NOT KNOWN");
    }
    return to.vertex(made);
  }

  int add_cause(Drawing& to, int cause, const std::string& more = {},
                std::size_t width = 26) const {
    DrawnVertex made{"cause " + cause_id(base_, cause), {}, DrawnShape::ellipse, DrawnLine::plain};
    add_lines(made.lines, cause_name(base_, cause), width);
    made.lines.push_back("[" + cause_id(base_, cause) + "]");
    add_lines(made.lines, more, width);
    if (ranking_ && cause != base_.nothing_left()) {
      const Ranked& ranked = ranking_->of(cause);
      const CauseState state = state_of(base_, *pen_.facts, ranked);
      made.lines.push_back(share(ranked.probability) + ", " + name_of(state));
      made.line = state == CauseState::confirmed  ? DrawnLine::doubled
                  : state == CauseState::likely   ? DrawnLine::bold
                  : state == CauseState::excluded ? DrawnLine::dotted
                                                  : DrawnLine::plain;
    }
    return to.vertex(made);
  }

  // A rule with its facts; the edges to its causes are the caller's.
  int add_rule_with_facts(Drawing& to, int rule) const {
    const std::vector<int> read = facts_in(base_, base_.rules[static_cast<std::size_t>(rule)].when);
    std::vector<int> from;
    for (const int fact : read) from.push_back(add_fact(to, fact));
    const int at = add_rule(to, rule);
    for (std::size_t i = 0; i < from.size(); ++i)
      to.edges.push_back({from[i], at, {}, known_line(read[i])});
    return at;
  }

  void add_effect(Drawing& to, int rule, int at, const Rule::Effect& effect) const {
    to.edges.push_back(
        {at, add_cause(to, effect.cause), {strength_words(effect)}, rule_line(rule)});
  }

  DrawnLine rule_line(int rule) const {
    return pen_.facts ? line_of(truth_now(rule)) : DrawnLine::plain;
  }

 private:
  Truth truth_now(int rule) const {
    return truth_somewhere(base_, base_.rules[static_cast<std::size_t>(rule)].when,
                           pen_.facts->now().answers);
  }
  DrawnLine known_line(int fact) const {
    if (!pen_.facts) return DrawnLine::plain;
    return pen_.facts->now().asked(fact) ? DrawnLine::bold : DrawnLine::dashed;
  }

  const EvidencePen& pen_;
  const RuleBase& base_;
  std::optional<Ranking> ranking_;
};

std::string counted(std::size_t count, const std::string& words) {
  return std::to_string(count) + (count == 1 ? " rule " : " rules ") + words;
}

// More lines than these cannot be told apart.
constexpr std::size_t kFactsOfCause = 5;

const char* const kThree = "Box: fact. Rounded: rule. Oval: cause.";

}  // namespace

Drawing draw_families(const EvidencePen& pen) {
  const RuleBase& base = pen.base();
  const EvidenceDrawer drawer(pen);
  Drawing out = drawer.begin("Families of causes, and how many rules speak of each cause",
                             "Box: family. Oval: cause.");
  for (std::size_t f = 0; f < base.families.size(); ++f) {
    DrawnVertex family{"family " + base.families[f].id, {}, DrawnShape::box, DrawnLine::plain};
    add_lines(family.lines, base.families[f].name);
    family.lines.push_back("[" + base.families[f].id + "]");
    const int from = out.vertex(family);
    for (std::size_t c = 0; c < base.causes.size(); ++c) {
      if (base.causes[c].family != static_cast<int>(f)) continue;
      std::size_t in_favour = 0, against = 0;
      for (const SpokenRule& spoken : rules_on(base, static_cast<int>(c)))
        ++(spoken.effect.log_ratio >= 0.0 ? in_favour : against);
      const int to =
          drawer.add_cause(out, static_cast<int>(c),
                           counted(in_favour, "for, ") + std::to_string(against) + " against", 60);
      out.edges.push_back({from, to, {}, DrawnLine::plain});
    }
  }
  return out;
}

Drawing draw_cause(const EvidencePen& pen, int cause) {
  const EvidenceDrawer drawer(pen);
  Drawing out = drawer.begin("Evidence on: " + cause_name(pen.base(), cause), kThree);
  for (const SpokenRule& spoken : rules_on(pen.base(), cause))
    drawer.add_effect(out, spoken.rule, drawer.add_rule_with_facts(out, spoken.rule),
                      spoken.effect);
  drawer.add_cause(out, cause);
  return out;
}

Drawing draw_family(const EvidencePen& pen, int family) {
  const RuleBase& base = pen.base();
  const EvidenceDrawer drawer(pen);
  Drawing out = drawer.begin(
      "Strongest evidence on: " + base.families[static_cast<std::size_t>(family)].name,
      "Box: fact. Oval: cause. Of each cause at most " + std::to_string(kFactsOfCause) +
          " facts, by the strongest rule between the two.");
  for (std::size_t c = 0; c < base.causes.size(); ++c) {
    if (base.causes[c].family != family) continue;
    std::vector<std::pair<int, SpokenRule>> told;  // by fact, strongest first
    for (const SpokenRule& spoken : rules_on(base, static_cast<int>(c)))
      for (const int fact : facts_in(base, base.rules[static_cast<std::size_t>(spoken.rule)].when))
        if (std::none_of(told.begin(), told.end(),
                         [&](const auto& earlier) { return earlier.first == fact; }))
          told.emplace_back(fact, spoken);
    const std::size_t kept = std::min(told.size(), kFactsOfCause);
    const int to = drawer.add_cause(
        out, static_cast<int>(c),
        kept < told.size() ? std::to_string(told.size() - kept) + " more facts" : "");
    for (std::size_t i = 0; i < kept; ++i)
      out.edges.push_back({drawer.add_fact(out, told[i].first),
                           to,
                           {strength_words(told[i].second.effect)},
                           drawer.rule_line(told[i].second.rule)});
  }
  return out;
}

Drawing draw_facts(const EvidencePen& pen, const std::vector<int>& facts,
                   const std::string& title) {
  const RuleBase& base = pen.base();
  const EvidenceDrawer drawer(pen);
  Drawing out = drawer.begin(title, kThree);
  for (const int fact : facts) drawer.add_fact(out, fact);
  for (std::size_t r = 0; r < base.rules.size(); ++r) {
    const bool reads = std::any_of(facts.begin(), facts.end(), [&](int fact) {
      return speaks_of(base, base.rules[r].when, fact);
    });
    if (!reads) continue;
    const int rule = static_cast<int>(r);
    const int at = drawer.add_rule_with_facts(out, rule);
    for (const Rule::Effect& effect : base.rules[r].effects)
      drawer.add_effect(out, rule, at, effect);
  }
  return out;
}

}  // namespace perrev
