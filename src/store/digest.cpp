#include "src/store/digest.h"

#include <openssl/sha.h>

namespace perrev {

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
