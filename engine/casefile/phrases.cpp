#include "engine/casefile/phrases.h"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>
#include <utility>

#include "engine/casefile/facts_of.h"

namespace perrev {

namespace {

using Role = Vocabulary::Role;
using Number = Meaning::Number;

constexpr int kMostOthers = 1;     // words between two words of a saying that are not small
constexpr int kMostPassed = 6;     // all words between them
constexpr int kNegationReach = 6;  // words back to a negation, of them kMostOthers not small

// A word of the text as the phrases know it.
struct Heeded {
  TextWord word;
  int id = Vocabulary::kUnknown;
  Role role = Role::plain;
  int sentence = 0;
  bool counts = false;  // a number of things that no phrase knows: "20 trips"
};

// A saying found in the text.
struct Match {
  int saying = -1;
  std::vector<std::size_t> at;  // the words that make it
  bool negated = false;         // between its words
};

class Listener {
 public:
  Listener(const RuleBase& base, std::string_view text, Units units)
      : base_(base), book_(base.phrases), us_(units == Units::us) {
    int sentence = 0;
    for (TextWord& word : split_words(text)) {
      Heeded made;
      if (word.kind == TextWord::Kind::word) {
        made.id = book_.vocabulary.find(word.stem);
        made.role = book_.vocabulary.role(made.id);
      }
      if (word.kind == TextWord::Kind::stop) ++sentence;
      made.sentence = sentence;
      made.word = std::move(word);
      words_.push_back(std::move(made));
    }
    for (std::size_t i = 0; i + 1 < words_.size(); ++i) {
      const Heeded& next = words_[i + 1];
      words_[i].counts = words_[i].word.unit == TextWord::Unit::none &&
                         next.word.kind == TextWord::Kind::word &&
                         next.id == Vocabulary::kUnknown &&
                         (text[next.word.end - 1] | 0x20) == 's';  // small or large
    }
  }

  std::vector<Heard> hear() {
    find_matches();
    choose();
    for (const Match& match : chosen_) propose(match);
    std::vector<Heard> out;
    for (auto& found : by_fact_) out.push_back(std::move(found.second));
    for (Heard& each : out) tidy(each);
    std::sort(out.begin(), out.end(), [](const Heard& a, const Heard& b) {
      return std::tie(a.spans[0].begin, a.fact) < std::tie(b.spans[0].begin, b.fact);
    });
    return out;
  }

 private:
  const Saying& saying(const Match& match) const {
    return book_.sayings[static_cast<std::size_t>(match.saying)];
  }

  void find_matches() {
    for (std::size_t i = 0; i < words_.size(); ++i) {
      if (words_[i].word.kind == TextWord::Kind::number) {
        try_sayings(Saying::kSpeed, i);
        try_sayings(Saying::kRpm, i);
      } else if (words_[i].id != Vocabulary::kUnknown) {
        try_sayings(words_[i].id, i);
      }
    }
  }

  void try_sayings(int first, std::size_t i) {
    const auto found = book_.by_first.find(first);
    if (found == book_.by_first.end() || !is(words_[i], first)) return;
    for (const int index : found->second) {
      tried_.saying = index;
      tried_.at.assign(1, i);
      tried_.negated = false;
      if (!follow(tried_)) continue;
      if (saying(tried_).unless)
        silenced_.emplace(saying(tried_).phrase, words_[i].sentence);
      else
        matches_.push_back(tried_);
    }
  }

  // The rest of the saying from its first word on.
  bool follow(Match& match) const {
    const std::vector<int>& wanted = saying(match).words;
    for (std::size_t k = 1; k < wanted.size(); ++k) {
      int others = 0, passed = 0;
      std::size_t i = match.at.back() + 1;
      for (; i < words_.size() && !is(words_[i], wanted[k]); ++i) {
        if (words_[i].word.kind == TextWord::Kind::stop) return false;
        if (words_[i].role == Role::negating)
          match.negated = true;
        else if (words_[i].role != Role::small)
          ++others;
        if (others > kMostOthers || ++passed > kMostPassed) return false;
      }
      if (i == words_.size()) return false;
      match.at.push_back(i);
    }
    return true;
  }

  bool is(const Heeded& word, int wanted) const {
    if (wanted >= 0) return word.id == wanted;
    if (word.word.kind != TextWord::Kind::number) return false;
    if (wanted == Saying::kRpm) return word.word.unit == TextWord::Unit::rpm;
    if (word.counts) return false;
    if (word.word.unit == TextWord::Unit::none) {  // as bare as "at 65": no year, no house number
      const double least = 5.0, most = us_ ? 130.0 : 220.0;
      return word.word.number >= least && word.word.number <= most;
    }
    return word.word.unit == TextWord::Unit::mph || word.word.unit == TextWord::Unit::km_per_hour;
  }

  // The longest first; of the same length the tightest, then the first. What shares a word with
  // one before it falls away.
  void choose() {
    matches_.erase(std::remove_if(matches_.begin(), matches_.end(),
                                  [&](const Match& match) {
                                    return silenced_.count({saying(match).phrase,
                                                            words_[match.at[0]].sentence}) > 0;
                                  }),
                   matches_.end());
    const auto order = [](const Match& match) {
      return std::make_tuple(-static_cast<long>(match.at.size()),
                             match.at.back() - match.at.front(), match.at.front(), match.saying);
    };
    std::sort(matches_.begin(), matches_.end(),
              [&](const Match& a, const Match& b) { return order(a) < order(b); });
    used_.assign(words_.size(), false);
    for (Match& match : matches_) {
      if (std::any_of(match.at.begin(), match.at.end(),
                      [&](std::size_t i) { return used_[i] != 0; }))
        continue;
      for (const std::size_t i : match.at) used_[i] = true;
      chosen_.push_back(std::move(match));
    }
  }

  bool is_negated(const Match& match) const {
    if (match.negated) return true;
    int others = 0;
    for (std::size_t back = 1; back <= kNegationReach && back <= match.at.front(); ++back) {
      const std::size_t i = match.at.front() - back;
      const Heeded& word = words_[i];
      if (word.word.kind == TextWord::Kind::stop || word.word.kind == TextWord::Kind::comma ||
          word.role == Role::turning)
        return false;
      if (word.role == Role::negating) return !used_[i];  // used: it belongs to another phrase
      if (word.role != Role::small && ++others > kMostOthers) return false;
    }
    return false;
  }

  void propose(const Match& match) {
    const Phrase& phrase = book_.phrases[static_cast<std::size_t>(saying(match).phrase)];
    const Span span{words_[match.at.front()].word.begin, words_[match.at.back()].word.end};
    for (const Meaning& meaning : is_negated(match) ? phrase.negated : phrase.means) {
      const bool several =
          base_.facts[static_cast<std::size_t>(meaning.fact)].kind == FactKind::several;
      Heard& made = by_fact_[meaning.fact];
      made.fact = meaning.fact;
      if (!made.values.empty() && !several) continue;  // what is said longer or first stands
      const std::vector<std::string> values = values_of(meaning, match);
      made.values.insert(made.values.end(), values.begin(), values.end());
      if (!values.empty()) made.spans.push_back(span);
      if (made.values.empty()) by_fact_.erase(meaning.fact);
    }
  }

  std::vector<std::string> values_of(const Meaning& meaning, const Match& match) const {
    if (meaning.number == Number::none) return meaning.values;
    std::vector<const TextWord*> numbers;
    const int slot = meaning.number == Number::rpm ? Saying::kRpm : Saying::kSpeed;
    for (std::size_t k = 0; k < match.at.size(); ++k)
      if (saying(match).words[k] == slot) numbers.push_back(&words_[match.at[k]].word);
    const TextWord& number = *numbers[meaning.number == Number::second_speed ? 1 : 0];
    TextWord::Unit unit = number.unit;
    if (unit == TextWord::Unit::none) unit = numbers.back()->unit;  // "60 to 70 km/h"
    const bool miles = unit == TextWord::Unit::none ? us_ : unit == TextWord::Unit::mph;
    const std::string text = show_number(number.number) + (unit == TextWord::Unit::rpm ? " rpm"
                                                           : miles                     ? " mph"
                                                                                       : " km/h");
    if (!read_value(base_, meaning.fact, {text}, {}).ok()) return {};  // out of its range
    return {text};
  }

  // Spans and answers each once and in their order; "nothing" never beside other answers.
  void tidy(Heard& heard) const {
    std::sort(heard.spans.begin(), heard.spans.end(), [](const Span& a, const Span& b) {
      return std::tie(a.begin, a.end) < std::tie(b.begin, b.end);
    });
    const Fact& fact = base_.facts[static_cast<std::size_t>(heard.fact)];
    if (fact.kind != FactKind::several) return;
    const std::set<std::string> said(heard.values.begin(), heard.values.end());
    heard.values.clear();
    for (const Answer& answer : fact.answers)
      if (said.count(answer.id) > 0 &&
          (said.size() == 1 || (answer.id != "nothing" && answer.id != "none")))
        heard.values.push_back(answer.id);
  }

  const RuleBase& base_;
  const PhraseBook& book_;
  bool us_;
  std::vector<Heeded> words_;
  Match tried_;  // one for all that are tried, to keep its memory
  std::vector<Match> matches_, chosen_;
  std::vector<char> used_;
  std::set<std::pair<int, int>> silenced_;  // phrase, sentence
  std::map<int, Heard> by_fact_;
};

}  // namespace

std::vector<Heard> hear(const RuleBase& base, std::string_view text, Units units) {
  return Listener(base, text, units).hear();
}

}  // namespace perrev
