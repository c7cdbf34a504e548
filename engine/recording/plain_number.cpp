#include "engine/recording/plain_number.h"

#include <array>
#include <cmath>
#include <cstdlib>
#include <limits>

namespace perrev {

namespace {

constexpr int kExactPower = 22;                     // 10^22 is a double
constexpr std::uint64_t kExactDigits = 1ULL << 53;  // every whole number up to it is
constexpr int kMostDigits = 19;                     // they fit 64 bits
constexpr int kWidestPower = 19;                    // 10^19 fits 64 bits
constexpr int kFarthestPower = 400;                 // past it all is zero or infinite
constexpr std::array<double, kExactPower + 1> kTens = {
    1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
    1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

__extension__ using Wide = unsigned __int128;

unsigned digit(char c) { return static_cast<unsigned>(static_cast<unsigned char>(c)) - '0'; }

// digits / 10^places, rounded once: more than 53 bits of the quotient and one that stands for all
// that would follow them.
double divided(std::uint64_t digits, int places) {
  std::uint64_t ten = 1;
  for (int i = 0; i < places; ++i) ten *= 10;
  const Wide above = static_cast<Wide>(digits) << 64;
  Wide quotient = above / ten;  // at least 2^53, as digits are more than that
  bool more = above % ten != 0;
  int shift = 64;
  for (; quotient >> 62 != 0; --shift) {
    more = more || (quotient & 1) != 0;
    quotient >>= 1;
  }
  const std::uint64_t bits = static_cast<std::uint64_t>(quotient) << 1 | (more ? 1u : 0u);
  return std::ldexp(static_cast<double>(bits), -shift - 1);
}

// By the library, from text without a point, which no locale reads otherwise.
double by_library(std::uint64_t digits, int power) {
  std::array<char, 48> text{};
  char* at = text.data() + text.size() - 1;
  const bool down = power < 0;
  for (int left = down ? -power : power; left > 0; left /= 10)
    *--at = static_cast<char>('0' + left % 10);
  if (power == 0) *--at = '0';
  if (down) *--at = '-';
  *--at = 'e';
  for (; digits > 0; digits /= 10) *--at = static_cast<char>('0' + digits % 10);
  return std::strtod(at, nullptr);
}

// Past the exponent that begins at `at`; `at` itself where none does.
const char* read_power(const char* at, int& power) {
  const char* next = at + 1;
  const bool down = *next == '-';
  if (*next == '-' || *next == '+') ++next;
  if (digit(*next) > 9) return at;
  int value = 0;
  for (; digit(*next) <= 9; ++next)
    if (value < kFarthestPower) value = value * 10 + static_cast<int>(digit(*next));
  power += down ? -value : value;
  return next;
}

}  // namespace

double scaled_by_ten(std::uint64_t digits, int power) {
  if (digits == 0) return 0.0;
  if (digits <= kExactDigits && power <= 0 && -power <= kExactPower)
    return static_cast<double>(digits) / kTens[static_cast<std::size_t>(-power)];
  if (power == 0) return static_cast<double>(digits);
  if (digits <= kExactDigits && power > 0 && power <= kExactPower)
    return static_cast<double>(digits) * kTens[static_cast<std::size_t>(power)];
  if (power < 0 && -power <= kWidestPower) return divided(digits, -power);
  if (power > kFarthestPower) return std::numeric_limits<double>::infinity();
  return power < -kFarthestPower ? 0.0 : by_library(digits, power);
}

const char* read_number(const char* at, char comma, double& value) {
  const char* next = at;
  const bool negative = *next == '-';
  if (negative || *next == '+') ++next;
  std::uint64_t digits = 0;
  const char* const first = next;
  unsigned d;
  while ((d = digit(*next)) <= 9) {
    digits = digits * 10 + d;
    ++next;
  }
  int count = static_cast<int>(next - first), power = 0;
  if (*next == '.' || *next == comma) {
    const char* const fraction = ++next;
    while ((d = digit(*next)) <= 9) {
      digits = digits * 10 + d;
      ++next;
    }
    power = -static_cast<int>(next - fraction);
    count -= power;
  }
  if (count == 0) return at;
  if (count > kMostDigits) {  // again, leading zeros not counted and the rest cut
    digits = 0;
    power = 0;
    int kept = 0;
    bool behind = false;
    for (const char* each = first; each < next; ++each) {
      d = digit(*each);
      if (d > 9) {
        behind = true;
        continue;
      }
      const bool keep = kept < kMostDigits;
      if (keep) digits = digits * 10 + d;
      if (keep && (kept > 0 || d > 0)) ++kept;
      if (keep && behind) --power;
      if (!keep && !behind) ++power;
    }
  }
  if ((*next | 0x20) == 'e') next = read_power(next, power);
  const double size = scaled_by_ten(digits, power);
  value = negative ? -size : size;
  return next;
}

}  // namespace perrev
