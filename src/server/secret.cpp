#include "src/server/secret.h"

#include <openssl/crypto.h>
#include <openssl/rand.h>

#include <algorithm>
#include <vector>

#include "engine/quantity/text.h"

namespace perrev {

std::string random_word(std::size_t bytes) {
  std::vector<unsigned char> random(bytes);
  if (RAND_bytes(random.data(), static_cast<int>(bytes)) != 1) return {};
  std::string out;
  unsigned held = 0;
  int bits = 0;
  for (const unsigned char byte : random) {
    held = held << 8u | byte;
    bits += 8;
    for (; bits >= 5; bits -= 5)
      out += "abcdefghijklmnopqrstuvwxyz234567"[held >> (bits - 5) & 31u];
    held &= (1u << bits) - 1u;
  }
  if (bits > 0) out += "abcdefghijklmnopqrstuvwxyz234567"[held << (5 - bits) & 31u];
  OPENSSL_cleanse(random.data(), random.size());
  return out;
}

std::string in_groups(const std::string& word) {
  std::string out;
  for (std::size_t i = 0; i < word.size(); ++i) {
    if (i > 0 && i % 4 == 0) out += '-';
    out += word[i];
  }
  return out;
}

std::string out_of_groups(std::string_view typed) {
  std::string out = lower_case(typed);
  out.erase(std::remove_if(out.begin(), out.end(), [](char c) { return c == '-' || c == ' '; }),
            out.end());
  return out;
}

bool same_secret(std::string_view a, std::string_view b) {
  return a.size() == b.size() && CRYPTO_memcmp(a.data(), b.data(), a.size()) == 0;
}

}  // namespace perrev
