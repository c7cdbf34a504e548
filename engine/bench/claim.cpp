#include "engine/bench/claim.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/bench/explain_touches.h"

namespace perrev {

namespace {

// The causes that a rule names, and where; families aside.
std::set<int> named_themselves(const RuleBase& base, const YamlNode& rule) {
  std::set<int> out;
  for (const char* side : {"for", "against"})
    if (const YamlNode* names = rule.find(side))
      for (const YamlMember& member : names->members) {
        const int cause =
            member.key == "nothing_left" ? base.nothing_left() : base.cause_index(member.key);
        if (cause >= 0) out.insert(cause);
      }
  return out;
}

// Of a family the causes that it stands for: not those named themselves, nor those for which what
// the rule reads is computed.
std::vector<int> meant(const RuleBase& base, const Rule& rule, const std::string& name,
                       const std::set<int>& named) {
  if (name == "nothing_left") return {base.nothing_left()};
  if (const int cause = base.cause_index(name); cause >= 0) return {cause};
  std::vector<int> out;
  for (std::size_t c = 0; c < base.causes.size(); ++c)
    if (base.families[static_cast<std::size_t>(base.causes[c].family)].id == name &&
        !named.count(static_cast<int>(c)) && effect_on(rule, static_cast<int>(c)))
      out.push_back(static_cast<int>(c));
  return out;
}

}  // namespace

std::vector<Claim> claims_of(const Written& written) {
  const RuleBase& base = written.base();
  std::vector<Claim> out;
  for (std::size_t r = 0; r < base.rules.size(); ++r) {
    const Rule& rule = base.rules[r];
    const YamlNode* node = written.rule(rule);
    if (!node) continue;
    const std::set<int> named = named_themselves(base, *node);
    for (const char* side : {"for", "against"}) {
      const YamlNode* names = node->find(side);
      if (!names) continue;
      for (const YamlMember& member : names->members) {
        const std::vector<int> causes = meant(base, rule, member.key, named);
        for (const Rule::Effect& effect : rule.effects)
          if (!causes.empty() && effect.cause == causes.front())
            out.push_back({static_cast<int>(r), member.key, effect.strength, effect.log_ratio,
                           causes, written.file_of(rule), member.value.line, member.value.column});
      }
    }
  }
  return out;
}

void say(RuleBase& base, const Claim& claim, const NumberWord& strength) {
  const double log_ratio = std::copysign(std::log(strength.number), claim.log_ratio);
  for (Rule::Effect& effect : base.rules[static_cast<std::size_t>(claim.rule)].effects)
    if (std::binary_search(claim.causes.begin(), claim.causes.end(), effect.cause)) {
      effect.strength = strength.word;
      effect.log_ratio = log_ratio;
    }
}

}  // namespace perrev
