#include "engine/vehicle/tire_tail.h"

#include <array>
#include <string>
#include <string_view>

#include "engine/quantity/text.h"
#include "engine/vehicle/tire_service.h"

namespace perrev {

namespace {

using Trouble = std::optional<Problem>;

struct Phrase {
  std::string_view text;     // as found, longest first where one begins another
  std::string_view written;  // normalised
};

// Load ranges by words. "RF" after the size says reinforced, which is extra load.
constexpr std::array kLoadWords = {
    Phrase{"EXTRA LOAD", "XL"}, Phrase{"STANDARD LOAD", "SL"},
    Phrase{"LIGHT LOAD", "LL"}, Phrase{"REINFORCED", "XL"},
    Phrase{"REINF", "XL"},      Phrase{"XL", "XL"},
    Phrase{"SL", "SL"},         Phrase{"LL", "LL"},
    Phrase{"RF", "XL"},
};

constexpr std::array kMarks = {
    Phrase{"TUBELESS", "TL"}, Phrase{"TUBE TYPE", "TT"}, Phrase{"TL", "TL"},
    Phrase{"TT", "TT"},       Phrase{"M+S", "M+S"},      Phrase{"M&S", "M+S"},
    Phrase{"M/S", "M+S"},     Phrase{"M-S", "M+S"},      Phrase{"M.S", "M+S"},
    Phrase{"MS", "M+S"},      Phrase{"3PMSF", "3PMSF"},  Phrase{"RADIAL", ""},
};

class Tail {
 public:
  Tail(TireScanner& scanner, TireReading& reading)
      : scan_(scanner), tire_(reading.tire), size_(reading) {}

  Trouble read() {
    for (scan_.skip_blanks(); !scan_.at_end(); scan_.skip_blanks()) {
      if (auto trouble = read_one()) return trouble;
    }
    return check_together();
  }

 private:
  Trouble read_one() {
    if (const Phrase* load = accept_phrase(kLoadWords)) return set_load_range(load->written);
    if (const Phrase* mark = accept_phrase(kMarks)) return add_mark(mark->written);
    if (const auto range = accept_plies()) return set_load_range(std::string(1, *range));
    if (scan_.peek() == '(' || is_digit(scan_.peek())) return read_service();
    return read_word();
  }

  // A phrase counts only as a whole word; what follows is a blank, a bracket, a digit or the end.
  template <std::size_t N>
  const Phrase* accept_phrase(const std::array<Phrase, N>& phrases) {
    const std::string rest = scan_.rest();
    for (const Phrase& phrase : phrases) {
      if (rest.substr(0, phrase.text.size()) != phrase.text) continue;
      const char next = scan_.peek(phrase.text.size());
      if (next != '\0' && next != ' ' && next != '(' && !is_digit(next)) continue;
      scan_.go_to(scan_.position() + phrase.text.size());
      return &phrase;
    }
    return nullptr;
  }

  Trouble add_mark(std::string_view mark) {
    if (mark.empty() ||
        (" " + tire_.marks + " ").find(" " + std::string(mark) + " ") != std::string::npos) {
      return std::nullopt;
    }
    tire_.marks += (tire_.marks.empty() ? "" : " ") + std::string(mark);
    return std::nullopt;
  }

  Trouble set_load_range(std::string_view range) {
    if (!tire_.load_range.empty() && tire_.load_range != range) {
      return problem("two load ranges, " + tire_.load_range + " and " + std::string(range),
                     "keep the one that is moulded on the tire");
    }
    tire_.load_range = range;
    return std::nullopt;
  }

  // "10PR", "10 PR"
  std::optional<char> accept_plies() {
    const std::size_t start = scan_.position();
    const std::string plies = scan_.digits();
    scan_.skip_blanks();
    const bool found = !plies.empty() && plies.size() <= 2 && scan_.letters() == "PR";
    const auto range = found ? load_range_of_plies(std::stoi(plies)) : std::nullopt;
    if (!range) scan_.go_to(start);
    return range;
  }

  // "97H", "(94Y)", "94(Y)", "115/113R", "97 H"
  Trouble read_service() {
    const std::size_t start = scan_.position();
    const bool bracket = scan_.accept('(');
    const std::string single = scan_.digits();
    const bool slash = scan_.accept('/');
    const std::string dual = slash ? scan_.digits() : std::string();
    const bool inner_bracket = !bracket && scan_.accept('(');
    if (scan_.peek() == ' ' && !is_digit(scan_.peek(1))) scan_.skip_blanks();
    const std::string speed = scan_.letters();
    const bool closed = !(bracket || inner_bracket) || scan_.accept(')');
    const std::size_t end = scan_.position();
    scan_.go_to(start);
    const std::string written = scan_.until_blank();
    scan_.go_to(end);
    if (!closed || single.empty() || (slash && dual.empty())) return not_understood(written);
    if (auto trouble = check_service(single, dual, speed, written)) return trouble;
    if (tire_.load_index) return second_service(bracket, single, dual, speed);
    tire_.load_index = std::stoi(single);
    if (!dual.empty()) tire_.load_index_dual = std::stoi(dual);
    tire_.speed_symbol = bracket || inner_bracket ? "(" + speed + ")" : speed;
    return std::nullopt;
  }

  Trouble check_service(const std::string& single, const std::string& dual,
                        const std::string& speed, const std::string& written) {
    if (auto trouble = check_index(single)) return trouble;
    if (!dual.empty()) {
      if (auto trouble = check_index(dual)) return trouble;
      if (std::stoi(dual) > std::stoi(single)) {
        return problem(
            "load index " + dual + " for dual fitting is above the single one, " + single,
            "the single one comes first, as in 115/113R");
      }
    }
    if (speed.empty()) {
      return problem(quoted(written) + " has no speed symbol",
                     "write it like " + single + "H, or leave both out");
    }
    if (speed.size() > 1) return too_many_letters(speed);
    if (!kmh_of_speed_symbol(speed[0])) {
      return problem("no speed symbol " + speed, "they run from J (100 km/h) to Y (300 km/h)");
    }
    return std::nullopt;
  }

  Trouble check_index(const std::string& index) {
    const bool real = index.size() <= 3 && std::stoi(index) >= kLowestLoadIndex &&
                      std::stoi(index) <= kHighestLoadIndex && index[0] != '0';
    if (real) return std::nullopt;
    return problem("no road tire has the load index " + index, "it is 50 to 179, as in 97H");
  }

  Trouble too_many_letters(const std::string& letters) {
    for (const char c : letters) {
      if (!kmh_of_speed_symbol(c)) return not_understood(letters);
    }
    return two_speeds();
  }

  static Trouble two_speeds() { return problem("two speed symbols", "keep one, as in 97H"); }

  // Truck tires may carry one more service description in brackets: 156/150L (154/150M).
  Trouble second_service(bool bracket, const std::string& single, const std::string& dual,
                         const std::string& speed) {
    if (!bracket || dual.empty() || !tire_.load_index_dual) return two_speeds();
    const std::string mark = "(" + single + "/" + dual + speed + ")";
    const std::size_t before = tire_.marks.find('(');
    if (before != std::string::npos && tire_.marks.compare(before, mark.size(), mark) != 0)
      return problem("two service descriptions in brackets", "keep one, as in 156/150L (154/150M)");
    return add_mark(mark);
  }

  Trouble read_word() {
    std::string word = scan_.word();
    if (word.empty()) word = scan_.until_blank();
    if (word == "LOAD") return read_load_range_words();
    if (word == "LR") {
      scan_.skip_blanks();
      word += scan_.letters();
    }
    if (word.size() == 3 && word.substr(0, 2) == "LR" && is_load_range(word[2])) {
      return set_load_range(word.substr(2));
    }
    const std::string suffix = word.substr(0, 2);
    if ((suffix == "LT" || suffix == "ST") &&
        (word.size() == 2 || (word.size() == 3 && is_load_range(word[2])))) {
      if (auto trouble = set_suffix(suffix)) return trouble;
      return word.size() == 3 ? set_load_range(word.substr(2)) : std::nullopt;
    }
    return word.size() == 1 ? read_letter(word[0]) : not_understood(word);
  }

  // "LOAD RANGE E"
  Trouble read_load_range_words() {
    scan_.skip_blanks();
    const std::string second = scan_.letters();
    scan_.skip_blanks();
    const std::string letter = scan_.letters();
    if (second != "RANGE" || letter.size() != 1 || !is_load_range(letter[0])) {
      return not_understood("LOAD " + second);
    }
    return set_load_range(letter);
  }

  Trouble set_suffix(const std::string& suffix) {
    const bool may = tire_.prefix.empty() && !tire_.commercial && !tire_.load_index;
    if (may || tire_.prefix == suffix) {
      tire_.prefix = suffix;
      return std::nullopt;
    }
    return problem(suffix + " does not go with the rest of the size",
                   "write it like 31x10.50R15LT or LT245/75R16");
  }

  Trouble read_letter(char letter) {
    const bool metric_rim = size_.rim.value >= 100;
    if (metric_rim && (letter == 'A' || letter == 'U') && tire_.rim_suffix.empty()) {
      tire_.rim_suffix = std::string(1, letter);
      return std::nullopt;
    }
    const bool commercial = letter == 'C' && tire_.prefix.empty() && !tire_.commercial &&
                            tire_.kind != TireKind::flotation && !tire_.load_index;
    if (commercial) {
      tire_.commercial = true;
      return std::nullopt;
    }
    if (is_load_range(letter) && !is_stray_range(letter, size_)) {
      return set_load_range(std::string(1, letter));
    }
    if (!kmh_of_speed_symbol(letter)) return not_understood(std::string(1, letter));
    if (tire_.load_index) return two_speeds();
    return problem(std::string("the speed symbol ") + letter + " has no load index",
                   std::string("write it like 98") + letter + ", or leave it out");
  }

  static Trouble not_understood(const std::string& what) {
    return problem(quoted(what) + " after the size is not understood",
                   "what may follow is a suffix, a load range and a service description, as in "
                   "LT245/75R16 120/116S E");
  }

  Trouble check_together() {
    const std::string& speed = tire_.speed_symbol;
    const bool bracketed = !speed.empty() && speed[0] == '(';
    const char symbol = speed.empty() ? '\0' : speed[bracketed ? 1 : 0];
    if (bracketed && symbol != 'Y' && symbol != 'W') {
      // "(97H)" only brackets the whole description; nothing is exceeded.
      tire_.speed_symbol = std::string(1, symbol);
    }
    if (size_.before_radial == 0 || symbol == '\0') return std::nullopt;
    if (size_.before_radial != 'Z') return two_speeds();
    constexpr double kSlowestZ = 240;
    if (kmh_of_speed_symbol(symbol).value_or(0.0) < kSlowestZ) {
      return problem("ZR is for more than 240 km/h, and " + std::string(1, symbol) + " for less",
                     "leave out the Z, or check the speed symbol");
    }
    return std::nullopt;
  }

  TireScanner& scan_;
  Tire& tire_;
  TireReading& size_;
};

}  // namespace

bool is_stray_range(char letter, const TireReading& reading) {
  constexpr double kNarrowestTruckOnly = 300;
  const Tire& tire = reading.tire;
  const bool half_rim = reading.rim.text.find('.') != std::string::npos;
  const bool metric = tire.kind == TireKind::metric || tire.kind == TireKind::millimetre;
  return letter > 'E' && metric && !half_rim && tire.prefix != "LT" && tire.prefix != "ST" &&
         !tire.commercial && reading.width.value < kNarrowestTruckOnly;
}

Trouble read_tail(TireScanner& scanner, TireReading& reading) {
  return Tail(scanner, reading).read();
}

}  // namespace perrev
