// The rule base that requests are answered with, and how another takes its place while the server
// runs.
//
// A RuleSet is whole and never changes. Whoever answers takes the one in use once and keeps it to
// the end of the answer, so an answer is made of one rule base alone; the next request finds the
// new one. A rule base that is not sound takes nobody's place: what is wrong with it is kept beside
// the one in use. Called from any thread.
#pragma once

#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "engine/knowledge/load.h"
#include "src/answers/answers.h"

namespace perrev {

// A rule base and all that is made of it.
struct RuleSet {
  // `rule_bytes_`: as rule_bytes.h makes them; empty: the page cannot have them.
  RuleSet(RuleBase base, const std::vector<NamedAnswer>& further, std::string rule_bytes_);
  RuleSet(const RuleSet&) = delete;
  RuleSet& operator=(const RuleSet&) = delete;

  const RuleBase base;
  const Answerer answers;
  const std::string bytes;
  const std::string gzip;  // the same, coded
};
using Rules = std::shared_ptr<const RuleSet>;

// What was saved since the last call; nothing: no change, or it is still being written.
using SavedRules = std::function<std::optional<Result<Rules, Problems>>()>;

class RulesInUse {
 public:
  explicit RulesInUse(Rules first) : now_(std::move(first)) {}

  Rules now() const;
  // What is wrong with what was saved last; empty where that is in use.
  Problems refused() const;

  // Tells whether anything is otherwise than before.
  bool take(Result<Rules, Problems> saved);

 private:
  mutable std::mutex mutex_;
  Rules now_;
  Problems refused_;
};

// How a change is told: to whoever reads the log, and as an event to every stream.
struct RulesNews {
  std::string log;    // lines, without the last line end
  std::string event;  // "rules", with what /api/about says of the rule base
};
RulesNews news_of(const RulesInUse& rules);

// {"rules_digest": "...", "rules_problems": [{"what", "right", "where"}]}
std::string rules_json(const RulesInUse& rules);

}  // namespace perrev
