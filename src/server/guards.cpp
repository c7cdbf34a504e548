#include "src/server/guards.h"

#include <algorithm>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

constexpr std::string_view kMethods[] = {"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE"};
constexpr std::string_view kKnownToHttp[] = {"OPTIONS", "TRACE", "CONNECT"};

template <std::size_t n>
bool among(const std::string_view (&words)[n], std::string_view word) {
  return std::find(std::begin(words), std::end(words), word) != std::end(words);
}

bool has_control(std::string_view text) {
  return std::any_of(text.begin(), text.end(), [](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 0x20 ? c != '\t' : byte == 0x7f;
  });
}

Response closing(Response response) {
  response.close = true;
  return response;
}

// Whatever two programs could read as different requests (RFC 9112, 6.3 and 11.2).
std::optional<Response> refuse_framing(const Request& request) {
  const std::size_t lengths = request.count("Content-Length");
  if (lengths > 1 || (lengths == 1 && !whole_number(request.header("Content-Length"))))
    return closing(refused(400, "the length of the content is not one number"));
  const std::size_t codings = request.count("Transfer-Encoding");
  if (codings == 0) return std::nullopt;
  if (lengths > 0 || request.version < 11)
    return closing(refused(400, "the content has two lengths", "one Content-Length"));
  if (codings > 1 || !same_word(request.header("Transfer-Encoding"), "chunked"))
    return closing(refused(501, "this transfer coding is not known", "chunked, or a length"));
  return std::nullopt;
}

std::optional<Response> refuse_shape(Request& request) {
  if (auto framing = refuse_framing(request)) return framing;
  for (const auto& [name, value] : request.headers)
    if (has_control(value))
      return closing(refused(400, "a header has characters that no header has"));
  if (!among(kMethods, request.method))
    return among(kKnownToHttp, request.method)
               ? closing(refused(405, "this method is not answered here")
                             .with("Allow", "GET, HEAD, POST, PUT, PATCH, DELETE"))
               : closing(refused(501, "this method is not known"));
  if (request.count("Host") != 1)
    return closing(refused(400, "a request has exactly one Host (RFC 9112, 3.2)"));
  if (!request.take_target())
    return closing(refused(400, "the target is no path", "/ or a path from /, in valid UTF-8"));
  return std::nullopt;
}

}  // namespace

bool Reached::is_ours(std::string_view authority) const {
  std::string host = lower_case(authority);
  const std::size_t colon = host.rfind(':');
  const std::size_t bracket = host.rfind(']');
  std::uint16_t at = tls ? 443 : 80;
  if (colon != std::string::npos && (bracket == std::string::npos || colon > bracket)) {
    const auto number = whole_number(std::string_view(host).substr(colon + 1));
    if (!number || *number > 65535) return false;
    at = static_cast<std::uint16_t>(*number);
    host.erase(colon);
  }
  return at == port && std::find(hosts.begin(), hosts.end(), host) != hosts.end();
}

bool Reached::is_our_origin(std::string_view origin) const {
  const std::string_view scheme = tls ? "https://" : "http://";
  return origin.size() > scheme.size() && same_word(origin.substr(0, scheme.size()), scheme) &&
         is_ours(origin.substr(scheme.size()));
}

std::optional<Response> refuse_request(Request& request, const Reached& reached) {
  if (auto shape = refuse_shape(request)) return shape;
  // RFC 9112, 3.2.2: the authority of the target counts, not Host. Ours must be both.
  if (!reached.is_ours(request.header("Host")) ||
      (!request.authority.empty() && !reached.is_ours(request.authority)))
    return closing(refused(421, "this server is not the one that is addressed",
                           "the address that `perrev serve` printed"));
  if (request.count("Origin") > 1 ||
      (request.count("Origin") == 1 && !reached.is_our_origin(request.header("Origin"))))
    return closing(refused(403, "a page of another origin may not ask this server"));
  const std::string_view site = request.header("Sec-Fetch-Site");
  if (!request.is_safe() && !site.empty() && site != "same-origin" && site != "none")
    return closing(refused(403, "a page of another site may not change anything here"));
  return std::nullopt;
}

}  // namespace perrev
