#include "engine/knowledge/phrase_words.h"

#include <algorithm>

namespace perrev {

namespace {

bool ends_with(const std::string& word, std::string_view ending) {
  return word.size() >= ending.size() &&
         word.compare(word.size() - ending.size(), ending.size(), ending) == 0;
}

bool has_vowel(std::string_view word) {
  return word.find_first_of("aeiouy") != std::string_view::npos;
}

// Takes the ending off where a word of at least two letters with a vowel is left.
bool cut(std::string& word, std::string_view ending) {
  if (!ends_with(word, ending)) return false;
  const std::size_t left = word.size() - ending.size();
  if (left < 2 || !has_vowel(std::string_view(word).substr(0, left))) return false;
  word.resize(left);
  return true;
}

}  // namespace

std::string stem_of(std::string word) {
  if (word.size() <= 3) return word;
  if (word.size() > 4 && (ends_with(word, "ies") || ends_with(word, "ied"))) {
    word.resize(word.size() - 3);
    return word + "y";
  }
  if (ends_with(word, "s") && !ends_with(word, "ss") && !ends_with(word, "us") &&
      !ends_with(word, "is"))
    word.pop_back();
  if (!cut(word, "ing") && !ends_with(word, "eed")) cut(word, "ed");
  const std::size_t size = word.size();
  if (size >= 3 && word[size - 1] == word[size - 2] && !has_vowel(word.substr(size - 1)))
    word.pop_back();
  if (word.size() >= 3 && word.back() == 'e') word.pop_back();
  return word;
}

namespace {

constexpr std::size_t kLongStem = 5;      // letters of a stem that may be meant by a near one
constexpr std::size_t kLongestStem = 24;  // longer ones are no words; keeps the look-up cheap

std::string without(const std::string& stem, std::size_t letter) {
  std::string out = stem;
  out.erase(letter, 1);
  return out;
}

// One letter wrong, missing or too many, or two neighbours swapped. A typed stem (`b`) that is
// short itself may only lack one of a double letter: "whel", but not "grid" for grind.
bool one_slip(const std::string& a, const std::string& b) {
  const std::size_t shorter = std::min(a.size(), b.size());
  std::size_t from = 0, back = 0;
  while (from < shorter && a[from] == b[from]) ++from;
  while (back < shorter - from && a[a.size() - 1 - back] == b[b.size() - 1 - back]) ++back;
  const std::size_t left_a = a.size() - from - back, left_b = b.size() - from - back;
  if (b.size() < kLongStem) return left_b == 0 && from > 0 && a[from] == a[from - 1];
  if (left_a == 2 && left_b == 2) return a[from] == b[from + 1] && a[from + 1] == b[from];
  return left_a <= 1 && left_b <= 1;
}

}  // namespace

int Vocabulary::add(const std::string& stem) {
  const int fresh = static_cast<int>(roles_.size());
  const auto added = words_.emplace(stem, fresh);
  if (!added.second) return added.first->second;
  roles_.push_back(Role::plain);
  if (stem.size() >= kLongStem && stem.size() <= kLongestStem) {
    nearly_[stem].push_back(stem);
    for (std::size_t i = 1; i < stem.size(); ++i) nearly_[without(stem, i)].push_back(stem);
  }
  return fresh;
}

bool Vocabulary::add_as(const std::string& stem, int word) {
  const int before = exactly(stem);
  if (before != kUnknown) return before == word;
  const Role role = roles_[static_cast<std::size_t>(word)];
  const int fresh = add(stem);
  roles_[static_cast<std::size_t>(fresh)] = role;
  words_[stem] = word;
  return true;
}

int Vocabulary::exactly(const std::string& stem) const {
  const auto found = words_.find(stem);
  return found == words_.end() ? kUnknown : found->second;
}

int Vocabulary::find(const std::string& stem) const {
  const int word = exactly(stem);
  if (word != kUnknown || stem.size() + 1 < kLongStem || stem.size() > kLongestStem) return word;
  int meant = kUnknown;
  bool one = true;
  const auto look = [&](const std::string& key) {
    const auto near = nearly_.find(key);
    if (near == nearly_.end()) return;
    for (const std::string& known : near->second) {
      if (known[0] != stem[0] || !one_slip(known, stem)) continue;
      const int candidate = exactly(known);
      one = one && (meant == kUnknown || meant == candidate);
      meant = candidate;
    }
  };
  look(stem);
  for (std::size_t i = 1; i < stem.size(); ++i) look(without(stem, i));
  return one ? meant : kUnknown;
}

}  // namespace perrev
