// What rules/phrases.yaml says: which words of a customer speak for which facts. Part of a
// RuleBase; engine/casefile/phrases.h reads text by it.
#pragma once

#include <string>
#include <unordered_map>
#include <vector>

#include "engine/knowledge/phrase_words.h"

namespace perrev {

// What a phrase says of one fact: answers, or a number out of the words themselves.
struct Meaning {
  enum class Number { none, first_speed, second_speed, rpm };
  int fact = -1;
  std::vector<std::string> values;  // empty for a number out of the words
  Number number = Number::none;
};

struct Phrase {
  std::vector<Meaning> means;
  std::vector<Meaning> negated;  // when the words are negated; empty: nothing
};

// One way to say a phrase: words of the vocabulary in their order, or places of a number.
struct Saying {
  static constexpr int kSpeed = -2, kRpm = -3;
  std::vector<int> words;  // never empty
  int phrase = -1;
  bool unless = false;  // its presence in a sentence silences the phrase there
};

struct PhraseBook {
  Vocabulary vocabulary;
  std::vector<Phrase> phrases;
  std::vector<Saying> sayings;
  // By their first word; indices into `sayings`, rising.
  std::unordered_map<int, std::vector<int>> by_first;
};

}  // namespace perrev
