#include "src/server/response.h"

#include <algorithm>

#include "src/answers/problems_json.h"

namespace perrev {

namespace {

struct StatusPhrase {
  int status;
  std::string_view words;
};

constexpr StatusPhrase kPhrases[] = {
    {200, "OK"},
    {201, "Created"},
    {204, "No Content"},
    {304, "Not Modified"},
    {400, "Bad Request"},
    {401, "Unauthorized"},
    {403, "Forbidden"},
    {404, "Not Found"},
    {405, "Method Not Allowed"},
    {408, "Request Timeout"},
    {409, "Conflict"},
    {411, "Length Required"},
    {413, "Content Too Large"},
    {414, "URI Too Long"},
    {415, "Unsupported Media Type"},
    {421, "Misdirected Request"},
    {422, "Unprocessable Content"},
    {429, "Too Many Requests"},
    {431, "Request Header Fields Too Large"},
    {500, "Internal Server Error"},
    {501, "Not Implemented"},
    {503, "Service Unavailable"},
    {505, "HTTP Version Not Supported"},
};

// No inline script or style, nothing from elsewhere; motion and camera for our own page alone.
constexpr std::string_view kAlways =
    "Content-Security-Policy: default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src "
    "'self'; img-src 'self' blob: data:; connect-src 'self'; worker-src 'self'; manifest-src "
    "'self'; form-action 'none'; frame-ancestors 'none'; base-uri 'none'\r\n"
    "X-Content-Type-Options: nosniff\r\n"
    "Referrer-Policy: no-referrer\r\n"
    "Cross-Origin-Opener-Policy: same-origin\r\n"
    "Cross-Origin-Resource-Policy: same-origin\r\n"
    "Permissions-Policy: accelerometer=(self), gyroscope=(self), camera=(self)\r\n";

}  // namespace

Response& Response::with(std::string name, std::string value) {
  headers.emplace_back(std::move(name), std::move(value));
  return *this;
}

Response json_response(int status, std::string text) {
  Response out;
  out.status = status;
  out.body = std::move(text);
  out.with("Content-Type", "application/json").with("Cache-Control", "no-store");
  return out;
}

Response problems_response(int status, const Problems& problems) {
  return json_response(status, problems_json(problems));
}

Response refused(int status, std::string what, std::string right) {
  return problems_response(status, {problem(std::move(what), std::move(right))});
}

std::string_view reason_phrase(int status) {
  const auto found = std::find_if(std::begin(kPhrases), std::end(kPhrases),
                                  [&](const StatusPhrase& one) { return one.status == status; });
  return found == std::end(kPhrases) ? "Unknown" : found->words;
}

std::string head_text(const Response& response, bool keep_alive) {
  std::string out = "HTTP/1.1 " + std::to_string(response.status) + " ";
  out += reason_phrase(response.status);
  out += "\r\n";
  for (const auto& [name, value] : response.headers) out += name + ": " + value + "\r\n";
  out += kAlways;
  // RFC 9110, 8.6: no length with 204; that of a 304 would be the one of a 200.
  if (!response.events.wanted && response.status != 204 && response.status != 304)
    out += "Content-Length: " + std::to_string(response.content().size()) + "\r\n";
  out += keep_alive ? "Connection: keep-alive\r\n\r\n" : "Connection: close\r\n\r\n";
  return out;
}

}  // namespace perrev
