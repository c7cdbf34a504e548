#include "src/server/secret.h"

#include <openssl/crypto.h>
#include <openssl/rand.h>
#include <openssl/sha.h>

#include <vector>

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
  std::string out;
  for (const char c : typed)
    if (c != '-' && c != ' ') out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return out;
}

bool same_secret(std::string_view a, std::string_view b) {
  return a.size() == b.size() && CRYPTO_memcmp(a.data(), b.data(), a.size()) == 0;
}

std::string sha256_hex(std::string_view bytes) {
  unsigned char digest[SHA256_DIGEST_LENGTH];
  SHA256(reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(), digest);
  std::string out;
  for (const unsigned char byte : digest) {
    out += "0123456789abcdef"[byte >> 4u];
    out += "0123456789abcdef"[byte & 15u];
  }
  return out;
}

}  // namespace perrev
