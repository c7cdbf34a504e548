// What a connection says of a request that is none, and what is written down of each.
#pragma once

#include <boost/beast/http/fields.hpp>
#include <boost/beast/http/message.hpp>
#include <boost/beast/http/string_body.hpp>
#include <chrono>
#include <optional>
#include <string>

#include "src/server/request.h"
#include "src/server/response.h"

namespace perrev {

inline constexpr std::string_view kContinue = "HTTP/1.1 100 Continue\r\n\r\n";

// Nothing where there is nobody to tell it to. `unread`: what the connection holds. `has_target`:
// the first line was understood.
std::optional<Response> bad_head(boost::beast::error_code error, std::string_view unread,
                                 bool has_target);
std::optional<Response> bad_content(boost::beast::error_code error);

void take_head(Request& request,
               const boost::beast::http::request<boost::beast::http::string_body>& from);

// "GET /api/cases 200 3": without the query, which may hold what is nobody's business, and without
// any character that could be taken for another line.
std::string log_line(const std::string& method, const std::string& path, int status,
                     std::chrono::steady_clock::duration time);

}  // namespace perrev
