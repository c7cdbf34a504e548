#include <algorithm>
#include <array>

#include "engine/knowledge/phrase_words.h"
#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

using Kind = TextWord::Kind;
using Unit = TextWord::Unit;

struct NamedUnit {
  std::string_view name;
  Unit unit;
};
// What may stand after a number. Of `other` only that the number is no speed.
constexpr NamedUnit kUnits[] = {
    {"mph", Unit::mph},          {"mi/h", Unit::mph},         {"kph", Unit::km_per_hour},
    {"kmh", Unit::km_per_hour},  {"km/h", Unit::km_per_hour}, {"kmph", Unit::km_per_hour},
    {"rpm", Unit::rpm},          {"rpms", Unit::rpm},         {"rev", Unit::rpm},
    {"revs", Unit::rpm},         {"mile", Unit::other},       {"miles", Unit::other},
    {"mi", Unit::other},         {"km", Unit::other},         {"kms", Unit::other},
    {"kilometer", Unit::other},  {"kilometers", Unit::other}, {"kilometre", Unit::other},
    {"kilometres", Unit::other}, {"k", Unit::other},          {"second", Unit::other},
    {"seconds", Unit::other},    {"sec", Unit::other},        {"minute", Unit::other},
    {"minutes", Unit::other},    {"min", Unit::other},        {"mins", Unit::other},
    {"hour", Unit::other},       {"hours", Unit::other},      {"day", Unit::other},
    {"days", Unit::other},       {"week", Unit::other},       {"weeks", Unit::other},
    {"month", Unit::other},      {"months", Unit::other},     {"year", Unit::other},
    {"years", Unit::other},      {"time", Unit::other},       {"times", Unit::other},
    {"am", Unit::other},         {"pm", Unit::other},         {"oclock", Unit::other},
    {"psi", Unit::other},        {"bar", Unit::other},        {"percent", Unit::other},
    {"degrees", Unit::other},    {"degree", Unit::other},     {"feet", Unit::other},
    {"foot", Unit::other},       {"ft", Unit::other},         {"yards", Unit::other},
    {"meters", Unit::other},     {"metres", Unit::other},     {"inch", Unit::other},
    {"inches", Unit::other},     {"lb", Unit::other},         {"lbs", Unit::other},
    {"pounds", Unit::other},     {"dollars", Unit::other},    {"bucks", Unit::other},
    {"thousand", Unit::other},   {"people", Unit::other},     {"hz", Unit::other},
};

Unit unit_named(std::string_view name) {
  for (const NamedUnit& each : kUnits)
    if (each.name == name) return each.unit;
  return Unit::none;
}

// A word of a number from twenty to ninety, or one to nine; 0 for others.
int tens_named(std::string_view word) {
  constexpr std::array<std::string_view, 8> kTens = {"twenty", "thirty",  "forty",  "fifty",
                                                     "sixty",  "seventy", "eighty", "ninety"};
  const auto found = std::find(kTens.begin(), kTens.end(), word);
  return found == kTens.end() ? 0 : 10 * static_cast<int>(found - kTens.begin() + 2);
}
int ones_named(std::string_view word) {
  constexpr std::array<std::string_view, 9> kOnes = {"one", "two",   "three", "four", "five",
                                                     "six", "seven", "eight", "nine"};
  const auto found = std::find(kOnes.begin(), kOnes.end(), word);
  return found == kOnes.end() ? 0 : static_cast<int>(found - kOnes.begin() + 1);
}

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }
bool is_high(char c) { return static_cast<unsigned char>(c) >= 0x80; }

// Cuts the bytes; the words come out in lower case where the stem belongs.
class Splitter {
 public:
  explicit Splitter(std::string_view text) : text_(text) {}

  std::vector<TextWord> split() {
    while (at_ < text_.size()) {
      if (const std::size_t size = mark())
        at_ += size;
      else if (is_digit(text_[at_]))
        number();
      else
        word();
    }
    join_numbers();
    for (TextWord& each : out_)
      if (each.kind == Kind::word) each.stem = stem_of(std::move(each.stem));
    return std::move(out_);
  }

 private:
  char peek(std::size_t ahead) const {
    return at_ + ahead < text_.size() ? text_[at_ + ahead] : '\0';
  }
  bool starts(std::string_view what) const { return text_.substr(at_, what.size()) == what; }
  void put(Kind kind, std::size_t begin, std::size_t end, std::string letters = {}) {
    TextWord made;
    made.kind = kind;
    made.begin = begin;
    made.end = end;
    made.stem = std::move(letters);
    out_.push_back(std::move(made));
  }

  bool between_digits(std::size_t size) const {
    return at_ > 0 && is_digit(text_[at_ - 1]) && is_digit(peek(size));
  }

  // Bytes of what is no word here, noted where it parts words; 0 where a word or number begins.
  std::size_t mark() {
    const char c = text_[at_];
    for (const std::string_view dash : {"\xE2\x80\x93", "\xE2\x80\x94", "-"})
      if (starts(dash)) {  // "60-70" is read as "60 to 70"
        if (between_digits(dash.size()))
          put(Kind::word, at_, at_ + dash.size(), "to");
        else if (dash.size() > 1 || peek(1) == ' ' || peek(1) == '-')
          put(Kind::comma, at_, at_ + dash.size());
        return dash.size();
      }
    if (starts("\xE2\x80\xA6")) return stop(3);
    for (const std::string_view blank :
         {"\xC2\xA0", "\xE2\x80\x9C", "\xE2\x80\x9D", "\xE2\x80\x98"})
      if (starts(blank)) return blank.size();
    if (is_high(c) || is_letter(c) || is_digit(c)) return 0;
    if (c == '.' || c == '!' || c == '?' || c == ';' || c == '\n' || c == '\r') return stop(1);
    if (c == ',' || c == '(' || c == ')' || c == ':') put(Kind::comma, at_, at_ + 1);
    return 1;
  }
  std::size_t stop(std::size_t size) {
    put(Kind::stop, at_, at_ + size);
    return size;
  }

  // Bytes of an apostrophe, 0 for none.
  std::size_t apostrophe() const { return peek(0) == '\'' ? 1 : starts("\xE2\x80\x99") ? 3 : 0; }

  void word() {
    const std::size_t begin = at_;
    std::string letters;
    std::size_t end = at_;
    while (at_ < text_.size()) {
      if (const std::size_t size = apostrophe()) {
        at_ += size;
        continue;
      }
      const char c = text_[at_];
      const bool per_hour = c == '/' && (letters == "km" || letters == "mi") && lower(1) == 'h' &&
                            !is_letter(peek(2));
      const bool parted = starts("\xE2\x80\x93") || starts("\xE2\x80\x94") ||
                          starts("\xE2\x80\xA6") || starts("\xC2\xA0") || starts("\xE2\x80\x9C") ||
                          starts("\xE2\x80\x9D");
      if (parted || !(is_letter(c) || is_digit(c) || is_high(c) || per_hour)) break;
      letters += static_cast<char>(lower(0));
      end = ++at_;
    }
    if (letters.empty()) return;  // an apostrophe alone
    put(Kind::word, begin, end, std::move(letters));
  }
  int lower(std::size_t ahead) const {
    const char c = peek(ahead);
    return c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c;
  }

  void number() {
    const std::size_t begin = at_;
    std::string digits;
    while (is_digit(peek(0)) ||
           (is_digit(peek(1)) && (peek(0) == '.' || (peek(0) == ',' && thousands())))) {
      if (peek(0) != ',') digits += peek(0);
      ++at_;
    }
    // "65mph" is a number and its unit, "4x4" is a word.
    std::size_t glued = 0;
    while (is_letter(peek(glued)) || is_digit(peek(glued)) || is_high(peek(glued))) ++glued;
    const std::string tail = lower_case(text_.substr(at_, glued));
    if (glued > 0 && tail != "km" && tail != "mi" && tail != "ish" &&
        unit_named(tail) == Unit::none) {
      at_ += glued;
      return put(Kind::word, begin, at_, lower_case(text_.substr(begin, at_ - begin)));
    }
    put(Kind::number, begin, at_);
    out_.back().number = parse_decimal(digits).value_or(0.0);
  }
  bool thousands() const {
    return is_digit(peek(1)) && is_digit(peek(2)) && is_digit(peek(3)) && !is_digit(peek(4));
  }

  // Whether word `i` is there and reads so.
  bool reads(std::size_t i, std::string_view word) const {
    return i < out_.size() && out_[i].kind == Kind::word && out_[i].stem == word;
  }

  void join_numbers() {
    std::vector<TextWord> joined;
    for (std::size_t i = 0; i < out_.size();) {
      const std::size_t words = number_words(i);
      TextWord made = out_[i];
      made.end = out_[i + words - 1].end;
      i += words;
      if (made.kind == Kind::number) i += take_unit(i, made);
      joined.push_back(std::move(made));
    }
    out_ = std::move(joined);
  }

  // "sixty five" in place as one number; how many words it is made of.
  std::size_t number_words(std::size_t i) {
    TextWord& first = out_[i];
    const int tens = first.kind == Kind::word ? tens_named(first.stem) : 0;
    if (tens == 0) return 1;
    first.kind = Kind::number;
    first.number = tens;
    const bool next = i + 1 < out_.size() && out_[i + 1].kind == Kind::word;
    const int ones = next ? ones_named(out_[i + 1].stem) : 0;
    first.number += ones;
    return ones > 0 ? 2 : 1;
  }

  // How many words its unit is made of; "70 miles an hour" is a speed.
  std::size_t take_unit(std::size_t i, TextWord& made) {
    if (i >= out_.size() || out_[i].kind != Kind::word) return 0;
    const std::string& name = out_[i].stem;
    const bool an_hour =
        (reads(i + 1, "an") || reads(i + 1, "per") || reads(i + 1, "a")) && reads(i + 2, "hour");
    if (an_hour && (name == "mile" || name == "miles" || name == "km" ||
                    name.compare(0, 9, "kilometer") == 0 || name.compare(0, 9, "kilometre") == 0)) {
      made.unit = name[0] == 'm' ? Unit::mph : Unit::km_per_hour;
      made.end = out_[i + 2].end;
      return 3;
    }
    made.unit = unit_named(name);
    const bool taken = made.unit != Unit::none && made.unit != Unit::other;
    if (taken) made.end = out_[i].end;
    return taken ? 1 : 0;  // "20 minutes": the word stays, it may belong to a phrase
  }

  std::string_view text_;
  std::size_t at_ = 0;
  std::vector<TextWord> out_;
};

}  // namespace

std::vector<TextWord> split_words(std::string_view text) { return Splitter(text).split(); }

}  // namespace perrev
