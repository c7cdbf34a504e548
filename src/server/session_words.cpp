#include "src/server/asio.h"
// The one above must come first.
#include <boost/beast/http/error.hpp>

#include "src/server/session_words.h"

namespace perrev {

namespace http = boost::beast::http;

namespace {

bool is_of_http(const boost::beast::error_code& error) {
  return error.category() == http::make_error_code(http::error::bad_method).category();
}

Response closing(Response response) {
  response.close = true;
  return response;
}

// "GET / HTTP/3.0": three words, the last of them a version (RFC 9112, 2.3 and 3).
bool names_a_version(std::string_view unread) {
  const std::string_view line = unread.substr(0, unread.find("\r\n"));
  const std::size_t first = line.find(' '), last = line.rfind(' ');
  if (last == std::string_view::npos || line.find(' ', first + 1) != last) return false;
  const std::string_view version = line.substr(last + 1);
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  return version.size() == 8 && version.substr(0, 5) == "HTTP/" && is_digit(version[5]) &&
         version[6] == '.' && is_digit(version[7]);
}

std::string plain(const std::string& text) {
  std::string out;
  for (const char c : text.substr(0, 200)) out += c > 0x20 && c < 0x7f ? c : '?';
  return out.empty() ? "-" : out;
}

}  // namespace

std::optional<Response> bad_head(boost::beast::error_code error, std::string_view unread,
                                 bool has_target) {
  if (!is_of_http(error) || error == http::error::end_of_stream ||
      error == http::error::partial_message)
    return std::nullopt;
  if (error == http::error::header_limit || error == http::error::buffer_overflow)
    return closing(has_target ? refused(431, "the header is too large", "at most 16 KiB")
                              : refused(414, "the address is too long", "at most 16 KiB"));
  if (error == http::error::bad_version && names_a_version(unread))
    return closing(refused(505, "this version of HTTP is not spoken here", "HTTP/1.1"));
  return closing(refused(400, "this is no HTTP request", "RFC 9112"));
}

std::optional<Response> bad_content(boost::beast::error_code error) {
  if (!is_of_http(error) || error == http::error::end_of_stream ||
      error == http::error::partial_message)
    return std::nullopt;
  if (error == http::error::body_limit)
    return closing(refused(413, "the content is too large", "less of it at once"));
  return closing(refused(400, "the content is not framed as its header says", "RFC 9112, 7.1"));
}

void take_head(Request& request, const http::request<http::string_body>& from) {
  request.method = std::string(from.method_string());
  request.target = std::string(from.target());
  request.version = static_cast<int>(from.version());
  for (const auto& field : from)
    request.headers.emplace_back(std::string(field.name_string()), std::string(field.value()));
}

std::string log_line(const std::string& method, const std::string& path, int status,
                     std::chrono::steady_clock::duration time) {
  const auto spent = std::chrono::duration_cast<std::chrono::milliseconds>(time).count();
  return plain(method) + " " + plain(path) + " " + std::to_string(status) + " " +
         std::to_string(spent);
}

}  // namespace perrev
