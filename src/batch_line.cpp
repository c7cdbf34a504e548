#include "src/batch_line.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/reasoning/reasons.h"
#include "src/answers/diagnosis_parts.h"
#include "src/answers/problems_json.h"

namespace perrev {

namespace {

// Text that is text of JSON as it stands: ids of a rule base are small letters, digits and lines.
std::string in_quotes(std::string_view id) { return "\"" + std::string(id) + "\""; }

std::string six(double value) {
  char out[32];
  std::snprintf(out, sizeof out, "%.6g", value);
  return out;
}

void add_reason(const Reasoner& reasoner, const Reason& reason, const Ranking& ranking,
                std::string& out) {
  const RuleBase& base = reasoner.base();
  std::vector<int> facts;
  if (reason.provider) {
    const auto& providers = reasoner.providers();
    const auto at = std::find(providers.begin(), providers.end(), reason.provider);
    facts = ranking.said[reason.round][static_cast<std::size_t>(at - providers.begin())].facts;
  } else {
    const AnswerModel::GroupRef group{reason.cause, reason.group};
    for (const int variable : reasoner.answers().table(group).variables)
      facts.push_back(base.variables[static_cast<std::size_t>(variable)].fact);
    facts.erase(std::unique(facts.begin(), facts.end()), facts.end());
  }
  out += "{\"round\":" + std::to_string(reason.round + 1) + ",\"facts\":[";
  for (std::size_t f = 0; f < facts.size(); ++f)
    out += (f > 0 ? "," : "") + in_quotes(fact_of(base, facts[f]).id);
  out += "],\"weight_decibans\":" +
         (std::isinf(reason.weight_decibans) ? std::string("null") : six(reason.weight_decibans)) +
         "}";
}

std::string answer_of(const Reasoner& reasoner, std::size_t line, const std::string& label,
                      const CaseFacts& facts, const BatchTerms& terms) {
  const RuleBase& base = reasoner.base();
  const Ranking ranking = rank(reasoner, facts);
  const std::size_t named = std::min(terms.named, ranking.causes.size());
  std::vector<int> explained;
  for (std::size_t i = 0; i < std::min(terms.explained, named); ++i)
    explained.push_back(ranking.causes[i].cause);
  const std::vector<Reasons> reasons = reasons_of(reasoner, facts, ranking, explained);
  std::string out;
  out.reserve(4096);
  out += "{\"line\":" + std::to_string(line) + ",\"label\":" + nlohmann::json(label).dump() +
         ",\"rules_digest\":" + in_quotes(base.digest) +
         ",\"round\":" + std::to_string(ranking.round + 1) +
         ",\"stopped\":" + (facts.stopped() ? "true" : "false") +
         ",\"not_listed\":" + six(ranking.not_listed) +
         ",\"nothing_left\":" + six(ranking.nothing_left) + ",\"ranking\":[";
  for (std::size_t i = 0; i < named; ++i) {
    const Ranked& ranked = ranking.causes[i];
    out += (i > 0 ? ",{\"cause\":" : "{\"cause\":") + in_quotes(cause_of(base, ranked.cause).id) +
           ",\"probability\":" + six(ranked.probability) + ",\"alone\":" + six(ranked.alone) +
           ",\"state\":" + in_quotes(name_of(state_of(base, facts, ranked)));
    if (i < reasons.size()) {
      out += ",\"prior_decibans\":" + six(reasons[i].prior_decibans) + ",\"evidence\":[";
      for (std::size_t r = 0; r < reasons[i].evidence.size(); ++r) {
        if (r > 0) out += ",";
        add_reason(reasoner, reasons[i].evidence[r], ranking, out);
      }
      out += "]";
    }
    out += "}";
  }
  return out + "]}";
}

}  // namespace

BatchAnswer refused_line(std::size_t line, const Problems& problems) {
  return {"{\"line\":" + std::to_string(line) + "," + problems_json(problems).substr(1), false};
}

BatchAnswer answer_line(const Reasoner& reasoner, std::size_t line, const std::string& text,
                        const BatchTerms& terms, BatchCaseReader& reader) {
  std::optional<BatchCase> read = reader.read(text);
  if (!read) {
    const auto file = CaseFile::parse({}, text);
    if (!file) return refused_line(line, file.error());
    read = BatchCase{file->label(), file->entries()};
  }
  const auto facts = facts_of(read->entries, {}, reasoner.base());
  if (!facts) return refused_line(line, facts.error());
  return {answer_of(reasoner, line, read->label, *facts, terms), true};
}

}  // namespace perrev
