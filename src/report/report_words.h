// Words that both reports share: days, places, answers, readings and limits.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"

namespace perrev {

// The date as it stands in the moment, whatever its offset: "May 4, 2026", or "4 May 2026".
std::string day_words(const std::string& at, Units units);
// "2026-05-04 09:12".
std::string short_moment(const std::string& at);
// "45 min", "2 h 05 min".
std::string spent_words(double minutes);

// Empty for a fact per case.
std::string place_words(const RuleBase& base, int fact, int place);
// "Bay"
std::string asker_words(Asker asker);

// A quantity to three significant digits.
std::string short_quantity(double si, Dimension dimension, Units units);
// An answer as its label, a number in these units, text as it was entered.
std::string answer_words(const RuleBase& base, const Reading& reading, Units units);
// "at most 0.04 in" and the like: where a fault begins. Empty for a fact without a limit. While
// the class is not known the rows are told apart.
std::string limit_words(const RuleBase& base, int fact, const Answers& answers, Units units);
// "within its limit", "beyond its limit", "near its limit"; empty without one.
std::string held_words(const RuleBase& base, const Reading& reading);

// The reading that counts of a fact by this name, asked once a case; null where there is none.
const Reading* reading_of(const RuleBase& base, const RoundFacts& round, const char* fact);
// The id of its answer; empty where it is not known.
std::string answer_id(const RuleBase& base, const RoundFacts& round, const char* fact);

// What an entry in force answered, read again with its own words; nothing where it cannot be read.
std::optional<Reading> reading_of(const RuleBase& base, const Entry& entry);

// The first letter made large (ASCII).
std::string capital(std::string text);
// The first letter made small, where a word or an article begins with it.
std::string small(std::string text);

// Entries in the order of their moments.
std::vector<std::size_t> in_order(const CaseFile& file);

// Minutes of all entries in force; below 0 where none tells any.
double minutes_spent(const CaseFile& file, const CaseFacts& facts);

}  // namespace perrev
