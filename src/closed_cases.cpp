#include "src/closed_cases.h"

#include <cstdint>
#include <limits>
#include <optional>

#include "engine/casefile/closing.h"
#include "src/side_by_side.h"
#include "src/store/store.h"

namespace perrev {

namespace {

// As it was before the first repair.
CaseFacts first_round(const CaseFacts& facts) {
  CaseFacts out;
  out.rounds = {facts.rounds.front()};
  out.vehicle = facts.vehicle;
  return out;
}

struct Read {
  std::optional<ClosedCase> closed;
  bool unproven = false;
  Problems problems;
};

Read read(const std::string& id, const std::string& text, const RuleBase& base,
          std::int64_t since) {
  Read out;
  const auto file = CaseFile::parse(id, text);
  const auto facts = file ? facts_of(*file, base) : Result<CaseFacts, Problems>(file.error());
  if (!facts) {
    out.problems = facts.error();
  } else if (!facts->closed.empty()) {
    const Entry* closing = closing_in_force(*file, *facts);
    if (closing->key().milliseconds < since) return out;
    out.unproven = closing->proof.empty();
    if (!out.unproven) out.closed = ClosedCase{id, facts->closed, first_round(*facts)};
  }
  return out;
}

}  // namespace

Result<ClosedCases, Problems> closed_cases(const std::string& path, const RuleBase& base,
                                           const std::string& since) {
  const auto store = Store::open(path, Store::Mode::existing);
  if (!store) return store.error().problems;
  const auto ids = (*store)->case_ids();
  if (!ids) return ids.error().problems;
  std::vector<std::string> texts;
  for (const std::string& id : *ids) {
    const auto text = (*store)->case_text(id);
    if (!text) return text.error().problems;
    texts.push_back(text->text);
  }
  constexpr std::int64_t kEver = std::numeric_limits<std::int64_t>::min();
  const std::int64_t first = moment(since + "T00:00:00Z").value_or(kEver);
  std::vector<Read> found(texts.size());
  side_by_side(texts.size(),
               [&](std::size_t i) { found[i] = read((*ids)[i], texts[i], base, first); });
  ClosedCases out;
  out.all = texts.size();
  for (Read& one : found) {
    if (one.closed) out.cases.push_back(std::move(*one.closed));
    out.unproven += one.unproven ? 1 : 0;
    out.unreadable += one.problems.empty() ? 0 : 1;
  }
  return out;
}

}  // namespace perrev
