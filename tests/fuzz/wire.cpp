#include "src/server/asio.h"
// The one above must come first.
#include <boost/asio/buffer.hpp>
#include <boost/beast/http/parser.hpp>
#include <limits>

#include "src/server/session_words.h"
#include "tests/fuzz/wire.h"

namespace perrev::fuzz {

namespace {

namespace http = boost::beast::http;

constexpr std::string_view kBetween = "\n====\n", kLength = "@L";

std::string on_the_wire(std::string_view text) {
  const std::size_t blank = text.find("\n\n"), blank_with_cr = text.find("\n\r\n");
  const std::size_t end = std::min(blank, blank_with_cr);
  const std::size_t content =
      end == std::string_view::npos ? text.size() : end + (end == blank ? 2 : 3);
  const std::string length = std::to_string(text.size() - content);
  std::string out;
  for (std::size_t at = 0; at < content; ++at) {
    if (text.substr(at, kLength.size()) == kLength) {
      out += length;
      ++at;
    } else if (text[at] == '\n' && (at == 0 || text[at - 1] != '\r')) {
      out += "\r\n";
    } else {
      out += text[at];
    }
  }
  return out.append(text.substr(content));
}

// Gives the parser what is left until it wants no more; false where it is told nothing else.
bool put(http::request_parser<http::string_body>& parser, std::string_view& left,
         bool (http::request_parser<http::string_body>::*done)() const,
         boost::beast::error_code& error) {
  while (!(parser.*done)() && !left.empty()) {
    left.remove_prefix(parser.put(boost::asio::buffer(left.data(), left.size()), error));
    if (error == http::error::need_more) break;
    if (error) return true;
  }
  return (parser.*done)();
}

}  // namespace

std::vector<std::string> requests_in(std::string_view input) {
  std::vector<std::string> out;
  for (;;) {
    const std::size_t end = input.find(kBetween);
    out.push_back(on_the_wire(input.substr(0, end)));
    if (end == std::string_view::npos) return out;
    input.remove_prefix(end + kBetween.size());
  }
}

std::optional<Response> response_to(test::Served& server, std::string_view request) {
  using Parser = http::request_parser<http::string_body>;
  Parser parser;
  parser.header_limit(16u << 10);
  parser.body_limit(std::numeric_limits<std::uint64_t>::max());
  std::string_view left = request;
  boost::beast::error_code error;
  if (!put(parser, left, &Parser::is_header_done, error)) return std::nullopt;
  if (error) return bad_head(error, left, !parser.get().target().empty());
  Request read;
  read.peer = "192.168.0.2";
  take_head(read, parser.get());
  const Admission admission = server.service.admit(read);
  if (admission.response) return *admission.response;
  parser.body_limit(admission.most_body);
  parser.eager(true);
  if (!put(parser, left, &Parser::is_done, error)) return std::nullopt;
  if (error) return bad_content(error);
  read.body = std::move(parser.get().body());
  return server.answer(admission, std::move(read));
}

}  // namespace perrev::fuzz
