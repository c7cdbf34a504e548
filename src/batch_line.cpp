#include "src/batch_line.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/reasoning/reasons.h"
#include "src/answers/diagnosis_parts.h"
#include "src/answers/problems_json.h"

namespace perrev {

namespace {

// Text that is text of JSON as it stands: ids of a rule base are small letters, digits and lines.
void add_quoted(std::string_view id, std::string& out) {
  out += '"';
  out += id;
  out += '"';
}

void add_number(std::string_view key, double value, std::string& out) {
  out += key;
  add_six_digits(value, out);
}

const std::vector<int>& facts_of_provider(const Reasoner& reasoner, const Reason& reason,
                                          const Ranking& ranking) {
  const auto& providers = reasoner.providers();
  const auto at = std::find(providers.begin(), providers.end(), reason.provider);
  return ranking.said[reason.round][static_cast<std::size_t>(at - providers.begin())].facts;
}

void add_facts(const Reasoner& reasoner, const Reason& reason, const Ranking& ranking,
               std::string& out) {
  const RuleBase& base = reasoner.base();
  const auto add = [&](int fact) {
    if (out.back() != '[') out += ',';
    add_quoted(fact_of(base, fact).id, out);
  };
  if (reason.provider) {
    for (const int fact : facts_of_provider(reasoner, reason, ranking)) add(fact);
    return;
  }
  int last = -1;  // the variables of a fact stand side by side
  const AnswerModel::GroupRef group{reason.cause, reason.group};
  for (const int variable : reasoner.answers().table(group).variables) {
    const int fact = base.variables[static_cast<std::size_t>(variable)].fact;
    if (fact != last) add(fact);
    last = fact;
  }
}

void add_reason(const Reasoner& reasoner, const Reason& reason, const Ranking& ranking,
                std::string& out) {
  out += "{\"round\":";
  out += std::to_string(reason.round + 1);
  out += ",\"facts\":[";
  add_facts(reasoner, reason, ranking, out);
  if (std::isinf(reason.weight_decibans))
    out += "],\"weight_decibans\":null";
  else
    add_number("],\"weight_decibans\":", reason.weight_decibans, out);
  out += '}';
}

std::string answer_of(const Reasoner& reasoner, std::size_t line, const std::string& label,
                      const CaseFacts& facts, const BatchTerms& terms) {
  const RuleBase& base = reasoner.base();
  const Ranking ranking = rank(reasoner, facts, kNoPairNamed);
  const std::size_t named = std::min(terms.named, ranking.causes.size());
  std::vector<int> explained;
  for (std::size_t i = 0; i < std::min(terms.explained, named); ++i)
    explained.push_back(ranking.causes[i].cause);
  const std::vector<Reasons> reasons = reasons_of(reasoner, facts, ranking, explained);
  std::string out;
  out.reserve(4096);
  out += "{\"line\":" + std::to_string(line) + ",\"label\":" + nlohmann::json(label).dump() +
         ",\"rules_digest\":";
  add_quoted(base.digest, out);
  out += ",\"round\":" + std::to_string(ranking.round + 1);
  out += facts.stopped() ? ",\"stopped\":true" : ",\"stopped\":false";
  add_number(",\"not_listed\":", ranking.not_listed, out);
  add_number(",\"nothing_left\":", ranking.nothing_left, out);
  out += ",\"ranking\":[";
  for (std::size_t i = 0; i < named; ++i) {
    const Ranked& ranked = ranking.causes[i];
    out += i > 0 ? ",{\"cause\":" : "{\"cause\":";
    add_quoted(cause_of(base, ranked.cause).id, out);
    add_number(",\"probability\":", ranked.probability, out);
    add_number(",\"alone\":", ranked.alone, out);
    out += ",\"state\":";
    add_quoted(name_of(state_of(base, facts, ranked)), out);
    if (i < reasons.size()) {
      add_number(",\"prior_decibans\":", reasons[i].prior_decibans, out);
      out += ",\"evidence\":[";
      for (std::size_t r = 0; r < reasons[i].evidence.size(); ++r) {
        if (r > 0) out += ',';
        add_reason(reasoner, reasons[i].evidence[r], ranking, out);
      }
      out += ']';
    }
    out += '}';
  }
  out += "]}";
  return out;
}

}  // namespace

void add_six_digits(double value, std::string& out) {
  constexpr std::array<double, 11> kFrom = {1e-4, 1e-3, 1e-2, 1e-1, 1e0, 1e1,
                                            1e2,  1e3,  1e4,  1e5,  1e6};
  constexpr std::array<double, 10> kScale = {1e9, 1e8, 1e7, 1e6, 1e5, 1e4, 1e3, 1e2, 1e1, 1e0};
  constexpr std::size_t kOne = 4;        // where kFrom is 1
  constexpr double kNotHalf = 0.499999;  // what one rounding cannot carry over a half
  const double size = std::fabs(value);
  if (size >= kFrom.front() && size < kFrom.back()) {
    std::size_t place = 0;
    while (size >= kFrom[place + 1]) ++place;
    const double scaled = size * kScale[place];
    auto whole = static_cast<std::uint32_t>(std::lround(scaled));
    if (whole < 1000000 && std::fabs(scaled - whole) < kNotHalf) {
      std::array<char, 6> digits;
      for (std::size_t i = digits.size(); i-- > 0; whole /= 10)
        digits[i] = static_cast<char>('0' + whole % 10);
      std::size_t kept = digits.size();
      while (digits[kept - 1] == '0') --kept;
      if (value < 0.0) out += '-';
      if (place < kOne) {
        out.append("0.000", 2 + kOne - 1 - place).append(digits.data(), kept);
      } else {
        const std::size_t before = place - kOne + 1;
        out.append(digits.data(), before);
        if (kept > before) (out += '.').append(digits.data() + before, kept - before);
      }
      return;
    }
  }
  std::array<char, 32> text;
  const auto done =
      std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::general, 6);
  out.append(text.data(), done.ptr);
}

BatchAnswer refused_line(std::size_t line, const Problems& problems) {
  return {"{\"line\":" + std::to_string(line) + "," + problems_json(problems).substr(1), false};
}

BatchAnswer answer_line(const Reasoner& reasoner, std::size_t line, const std::string& text,
                        const BatchTerms& terms, BatchCaseReader& reader) {
  const BatchCase* read = reader.read(text);
  BatchCase unusual;
  if (!read) {
    const auto file = CaseFile::parse({}, text);
    if (!file) return refused_line(line, file.error());
    unusual = {file->label(), file->entries()};
    read = &unusual;
  }
  const auto facts = facts_of(read->entries, {}, reasoner.base());
  if (!facts) return refused_line(line, facts.error());
  return {answer_of(reasoner, line, read->label, *facts, terms), true};
}

}  // namespace perrev
