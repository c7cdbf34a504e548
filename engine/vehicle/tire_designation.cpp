// The grammar of tire designations, from the prefix to the rim.
#include <array>
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>

#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"
#include "engine/vehicle/tire_reading.h"
#include "engine/vehicle/tire_scanner.h"
#include "engine/vehicle/tire_tail.h"

namespace perrev {

namespace {

using Trouble = std::optional<Problem>;

constexpr std::size_t kLongestDesignation = 64;
constexpr std::size_t kLongestSizeNumber = 6;
constexpr double kSmallestMmWidth = 100;  // "155R13" is in mm, "11R22.5" in inches
constexpr double kSmallestMmOuter = 400;  // "205-640 R 440": the second number is a diameter
constexpr std::string_view kAsOnTheSide = "write it as on the sidewall, for example 225/60R16 97H";

// Capitals, "X" for the multiplication sign, a point for the decimal comma, single plain blanks.
Result<std::string> normalised(std::string_view text) {
  constexpr std::string_view kTimes = "×";
  if (text.size() > kLongestDesignation) {
    return problem("a text of " + std::to_string(text.size()) + " characters is no tire size",
                   std::string(kAsOnTheSide));
  }
  std::string out = upper_case(with_plain_blanks(text));
  for (std::size_t at = out.find(kTimes); at != std::string::npos; at = out.find(kTimes)) {
    out.replace(at, kTimes.size(), "X");
  }
  for (std::size_t at = 0; at < out.size(); ++at) {
    const auto byte = static_cast<unsigned char>(out[at]);
    if (byte < 0x20 || byte > 0x7E) {
      return problem("a character that is on no tire", std::string(kAsOnTheSide));
    }
    const bool decimal = out[at] == ',' && at > 0 && is_digit(out[at - 1]) && at + 1 < out.size() &&
                         is_digit(out[at + 1]);
    if (decimal) out[at] = '.';
  }
  if (out.empty()) return problem("no tire size is written", std::string(kAsOnTheSide));
  return out;
}

class Head {
 public:
  explicit Head(TireScanner& scanner) : scan_(scanner) {}

  Trouble read() {
    for (const auto step : {&Head::read_prefix, &Head::read_width, &Head::read_kind,
                            &Head::check_prefix, &Head::read_construction, &Head::read_rim}) {
      if (auto trouble = (this->*step)()) return trouble;
      scan_.skip_blanks();
    }
    return std::nullopt;
  }

  TireReading take() { return std::move(out_); }
  TireReading& reading() { return out_; }

 private:
  Trouble read_prefix() {
    constexpr std::array<std::string_view, 5> kPrefixes = {"P", "LT", "T", "ST", "HL"};
    const std::string word = scan_.letters();
    if (word.empty()) return std::nullopt;
    for (const std::string_view prefix : kPrefixes) {
      if (word != prefix) continue;
      out_.tire.prefix = word;
      return std::nullopt;
    }
    return problem(quoted(word) + " begins no tire size",
                   "a size begins with its width, or with P, LT, T, ST or HL before it");
  }

  Trouble read_width() { return read_number(out_.width, "the width is missing"); }

  // What follows the width says which kind of designation it is.
  Trouble read_kind() {
    Tire& tire = out_.tire;
    if (scan_.accept('/')) {
      scan_.skip_blanks();
      if (auto trouble = whole(out_.width)) return trouble;
      if (!is_digit(scan_.peek())) return std::nullopt;
      if (auto trouble = read_number(out_.aspect, "")) return trouble;
      return whole(out_.aspect);
    }
    if (scan_.accept('X')) {
      scan_.skip_blanks();
      tire.kind = TireKind::flotation;
      std::swap(out_.outer, out_.width);
      return read_number(out_.width, "the width is missing after the x");
    }
    if (read_mm_outer()) return std::nullopt;
    if (out_.width.value >= kSmallestMmWidth) return whole(out_.width);
    tire.kind = TireKind::inch;
    return std::nullopt;
  }

  // "-640 R" is a diameter and a construction letter; "-14" is bias construction and a rim, and
  // stays unread.
  bool read_mm_outer() {
    const std::size_t start = scan_.position();
    SizeNumber outer;
    if (out_.width.value >= kSmallestMmWidth && scan_.accept('-')) {
      scan_.skip_blanks();
      const Trouble trouble = read_number(outer, "");
      scan_.skip_blanks();
      const char next = scan_.peek();
      if (!trouble && outer.value >= kSmallestMmOuter && next >= 'A' && next <= 'Z') {
        out_.outer = outer;
        out_.tire.kind = TireKind::millimetre;
        return !whole(out_.width) && !whole(out_.outer);
      }
    }
    scan_.go_to(start);
    return false;
  }

  Trouble check_prefix() {
    const std::string& prefix = out_.tire.prefix;
    if (out_.tire.kind == TireKind::metric || prefix.empty() || prefix == "LT" || prefix == "ST") {
      return std::nullopt;
    }
    return problem(prefix + " goes with sizes in mm only", "write it like " + prefix + "225/60R16");
  }

  Trouble read_construction() {
    Tire& tire = out_.tire;
    const char first = scan_.peek();
    const bool speed_before = first == 'Z' || first == 'S' || first == 'H' || first == 'V';
    if (speed_before && scan_.peek(1) == 'R') {
      out_.before_radial = first;
      tire.speed_class_z = first == 'Z';
      scan_.accept(first);
    }
    const std::size_t start = scan_.position();
    if (scan_.accept('R')) {
      tire.construction = TireConstruction::radial;
      tire.run_flat = scan_.accept('F');
    } else if (scan_.accept('D') || scan_.accept('-')) {
      tire.construction = TireConstruction::bias;
    } else if (scan_.accept('B')) {
      tire.construction = TireConstruction::bias_belted;
    }
    if (scan_.position() == start) return no_construction();
    scan_.skip_blanks();
    scan_.accept('X');  // "225/70RX19.5" is a legal spelling
    return std::nullopt;
  }

  Trouble no_construction() const {
    const std::string right = "R, D, B or - and the rim follow, as in 225/60R16";
    if (scan_.at_end()) return problem("the construction and the rim are missing", right);
    return problem(quoted(scan_.rest()) + " stands where the construction belongs", right);
  }

  Trouble read_rim() { return read_number(out_.rim, "the rim diameter is missing at the end"); }

  Trouble read_number(SizeNumber& number, const std::string& missing) {
    number.text = scan_.number();
    if (number.text.empty()) return problem(missing, std::string(kAsOnTheSide));
    const auto value = parse_decimal(number.text);
    if (number.text.size() > kLongestSizeNumber || number.text[0] == '0' || !value) {
      return problem(quoted(number.text) + " is no number of a tire size",
                     std::string(kAsOnTheSide));
    }
    number.value = *value;
    return std::nullopt;
  }

  static Trouble whole(const SizeNumber& number) {
    if (number.text.find('.') == std::string::npos) return std::nullopt;
    return problem(quoted(number.text) + " is not a whole number",
                   "widths in mm and aspect ratios are whole, as in 225/60R16");
  }

  TireScanner& scan_;
  TireReading out_;
};

}  // namespace

Result<TireReading> read_designation(std::string_view text) {
  Result<std::string> plain = normalised(text);
  if (!plain) return plain.error();
  TireScanner scanner(*plain);
  Head head(scanner);
  if (auto trouble = head.read()) return *trouble;
  if (auto trouble = check_numbers(head.reading())) return *trouble;
  if (auto trouble = read_tail(scanner, head.reading())) return *trouble;
  return head.take();
}

}  // namespace perrev
