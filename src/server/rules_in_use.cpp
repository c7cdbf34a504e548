#include "src/server/rules_in_use.h"

#include <nlohmann/json.hpp>
#include <utility>

#include "engine/json_text.h"
#include "src/answers/problems_json.h"
#include "src/server/coding.h"

namespace perrev {

namespace {

constexpr std::size_t kMostTold = 10;  // problems; `perrev rules check` tells all of them

}  // namespace

RuleSet::RuleSet(RuleBase base_, const std::vector<NamedAnswer>& further, std::string rule_bytes_)
    : base(std::move(base_)),
      answers(base, further),
      bytes(std::move(rule_bytes_)),
      gzip(gzipped(bytes)) {}

Rules RulesInUse::now() const {
  const std::lock_guard lock(mutex_);
  return now_;
}

Problems RulesInUse::refused() const {
  const std::lock_guard lock(mutex_);
  return refused_;
}

bool RulesInUse::take(Result<Rules, Problems> saved) {
  const std::lock_guard lock(mutex_);
  if (!saved) {
    refused_ = std::move(saved).error();
    return true;
  }
  const bool same = (*saved)->base.digest == now_->base.digest && refused_.empty();
  refused_.clear();
  if (!same) now_ = std::move(saved).value();
  return !same;
}

RulesNews news_of(const RulesInUse& rules) {
  const std::string digest = rules.now()->base.digest;
  const Problems refused = rules.refused();
  RulesNews out;
  out.event = "event: rules\ndata: " + rules_json(rules) + "\n\n";
  out.log = refused.empty() ? "rules: " + digest + " is in use from now on"
                            : "rules: what was saved is not sound, " + digest + " stays in use";
  for (std::size_t i = 0; i < refused.size() && i < kMostTold; ++i)
    out.log += "\n" + refused[i].text();
  if (refused.size() > kMostTold)
    out.log += "\nand " + std::to_string(refused.size() - kMostTold) +
               " more: perrev rules check tells them";
  return out;
}

std::string rules_json(const RulesInUse& rules) {
  Problems refused = rules.refused();
  if (refused.size() > kMostTold) refused.resize(kMostTold);
  for (Problem& one : refused)  // the place in a file stands for the place in a request
    one.place.pointer =
        one.place.file + (one.place.line > 0 ? ":" + std::to_string(one.place.line) : "");
  return compact_json(
      {{"rules_digest", rules.now()->base.digest},
       {"rules_problems", nlohmann::ordered_json::parse(problems_json(refused))["problems"]}});
}

}  // namespace perrev
