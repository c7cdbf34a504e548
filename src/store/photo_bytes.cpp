#include "src/store/photo_bytes.h"

#include <openssl/evp.h>

#include <string_view>

namespace perrev {

namespace {

const unsigned char* raw(const std::string& text) {
  return reinterpret_cast<const unsigned char*>(text.data());
}
unsigned char* raw(std::string& text) { return reinterpret_cast<unsigned char*>(text.data()); }

}  // namespace

std::string image_type(const std::string& bytes) {
  const std::string_view all = bytes;
  if (all.substr(0, 3) == "\xff\xd8\xff") return "image/jpeg";
  if (all.substr(0, 8) == "\x89PNG\r\n\x1a\n") return "image/png";
  if (all.substr(0, 4) == "RIFF" && all.size() >= 12 && all.substr(8, 4) == "WEBP")
    return "image/webp";
  return {};
}

std::string base64(const std::string& bytes) {
  std::string out(4 * ((bytes.size() + 2) / 3) + 1, '\0');  // the library ends it with a NUL
  EVP_EncodeBlock(raw(out), raw(bytes), static_cast<int>(bytes.size()));
  out.pop_back();
  return out;
}

std::optional<std::string> from_base64(const std::string& text) {
  if (text.size() % 4 != 0) return std::nullopt;
  std::string out(text.size() / 4 * 3, '\0');
  if (EVP_DecodeBlock(raw(out), raw(text), static_cast<int>(text.size())) < 0) return std::nullopt;
  for (std::size_t end = text.size(); end > 0 && text[end - 1] == '='; --end)
    if (!out.empty()) out.pop_back();
  if (base64(out) != text) return std::nullopt;
  return out;
}

}  // namespace perrev
