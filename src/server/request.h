// A request as a plain value: what the handlers see of HTTP, free of sockets.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace perrev {

struct Request {
  std::string method;
  std::string target;  // as it was sent
  int version = 11;    // 10 or 11
  std::vector<std::pair<std::string, std::string>> headers;
  std::string body;
  std::string peer;  // the address it came from, without a port

  // By take_target(). The path is never decoded: no path of ours needs it, and none leads to a
  // disk.
  std::string path;
  std::vector<std::pair<std::string, std::string>> query;  // decoded
  std::string authority;  // of a target in absolute form (RFC 9112, 3.2.2), else empty

  // The first of that name, whatever its case; empty where there is none.
  std::string_view header(std::string_view name) const;
  std::size_t count(std::string_view name) const;
  std::optional<std::string> asked(std::string_view key) const;
  bool is_safe() const { return method == "GET" || method == "HEAD"; }

  // Splits `target`; false when it is in none of the forms that a server of pages answers.
  bool take_target();
};

bool same_word(std::string_view a, std::string_view b);  // ASCII, whatever the case
// "%41+b" to "A b"; nothing where an escape is broken or the result is no UTF-8.
std::optional<std::string> unescaped(std::string_view text);
bool is_utf8(std::string_view text);  // RFC 3629: shortest forms only, no surrogates
// A number of digits alone, up to 2^63 - 1.
std::optional<std::int64_t> whole_number(std::string_view text);

}  // namespace perrev
