// A customer's words, cut out of free text: what rules/phrases.yaml and the text are compared by.
//
// Bytes may be anything. A word keeps the bytes it was cut from: `begin` and `end` never lie inside
// a character of valid UTF-8. Compared is the stem: lower case, no apostrophes, the endings -s,
// -ing and -ed and a last e off ("Shaking", "shakes", "shake" are all "shak"). English only.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace perrev {

struct TextWord {
  enum class Kind {
    word,
    number,
    comma,
    stop
  };  // comma: also ( ) : and dashes; stop: . ! ? ; line
  enum class Unit { none, mph, km_per_hour, rpm, other };  // other: "65 miles", "20 minutes"
  Kind kind = Kind::word;
  std::size_t begin = 0, end = 0;  // bytes; with the unit of a number
  std::string stem;                // of a word
  double number = 0.0;
  Unit unit = Unit::none;
};

std::vector<TextWord> split_words(std::string_view text);

// Of a word in lower case without apostrophes.
std::string stem_of(std::string word);

// The words that phrases are made of. Several stems may be one word to it ("tyr", "tir").
class Vocabulary {
 public:
  enum class Role { plain, small, negating, turning };
  static constexpr int kUnknown = -1;

  // The word's number; it is added where it is new.
  int add(const std::string& stem);
  // False if the stem is another word already.
  bool add_as(const std::string& stem, int word);
  void set_role(int word, Role role) { roles_[static_cast<std::size_t>(word)] = role; }
  Role role(int word) const {
    return word < 0 ? Role::plain : roles_[static_cast<std::size_t>(word)];
  }
  // As it stands in the text.
  int exactly(const std::string& stem) const;
  // Also with one wrong, missing, doubled or swapped letter, where the stem meant has five letters
  // or more, the first letter is right, and only one word can be meant.
  int find(const std::string& stem) const;

 private:
  std::unordered_map<std::string, int> words_;
  std::vector<Role> roles_;
  // Long stems by themselves and by what is left of them without one letter.
  std::unordered_map<std::string, std::vector<std::string>> nearly_;
};

}  // namespace perrev
