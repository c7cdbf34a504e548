#include "src/server/routes.h"

#include "src/answers/open_case.h"
#include "src/server/handlers.h"

namespace perrev {

namespace {

constexpr std::size_t kJson = 64u << 10;
// All entries that a case may have, with room for blanks.
constexpr std::size_t kEntries = kLargestEntries + (1u << 20);

// The ids of a path that fits the pattern.
std::optional<std::vector<std::string>> fits(std::string_view pattern, std::string_view path) {
  std::vector<std::string> ids;
  for (;;) {
    const std::size_t open = pattern.find("{}");
    if (open == std::string_view::npos)
      return pattern == path ? std::optional(std::move(ids)) : std::nullopt;
    if (path.substr(0, open) != pattern.substr(0, open)) return std::nullopt;
    path.remove_prefix(open);
    pattern.remove_prefix(open + 2);
    const std::string_view id = path.substr(0, path.find('/'));
    if (id.empty()) return std::nullopt;
    ids.emplace_back(id);
    path.remove_prefix(id.size());
  }
}

bool is_json(std::string_view type) {
  const std::size_t end = std::min(type.find(';'), type.size());
  std::string_view name = type.substr(0, end);
  while (!name.empty() && name.back() == ' ') name.remove_suffix(1);
  if (!same_word(name, "application/json")) return false;
  std::string rest;
  for (const char c : type.substr(end))
    if (c != ' ' && c != '"') rest += c;
  return rest.empty() || rest == ";" || same_word(rest, ";charset=utf-8");
}

bool is_image(std::string_view type) {
  return same_word(type, "image/jpeg") || same_word(type, "image/png") ||
         same_word(type, "image/webp");
}

}  // namespace

const std::vector<Route>& routes() {
  using Lane = Route::Lane;
  using Body = Route::Body;
  static const std::vector<Route> all = {
      {"GET", "/api/openapi.json", Lane::sockets, Body::none, 0, false, get_openapi, nullptr},
      {"GET", "/api/about", Lane::sockets, Body::none, 0, false, get_about, nullptr},
      {"GET", "/api/rules/{}", Lane::sockets, Body::none, 0, false, get_rules, nullptr},
      {"GET", "/api/cases", Lane::quick, Body::none, 0, false, get_cases, nullptr},
      {"PUT", "/api/cases/{}", Lane::sockets, Body::json, kJson, false, nullptr, put_case},
      {"PATCH", "/api/cases/{}", Lane::sockets, Body::json, kJson, false, nullptr, patch_case},
      {"GET", "/api/cases/{}", Lane::quick, Body::none, 0, false, get_case, nullptr},
      {"POST", "/api/cases/{}/entries", Lane::sockets, Body::json, kEntries, false, nullptr,
       post_entries},
      {"GET", "/api/cases/{}/events", Lane::quick, Body::none, 0, false, get_case_events, nullptr},
      {"GET", "/api/events", Lane::sockets, Body::none, 0, false, get_events, nullptr},
      {"GET", "/api/cases/{}/diagnosis", Lane::slow, Body::none, 0, false, get_diagnosis, nullptr},
      {"GET", "/api/cases/{}/plan", Lane::slow, Body::none, 0, false, get_plan, nullptr},
      {"GET", "/api/cases/{}/road", Lane::slow, Body::none, 0, false, get_road, nullptr},
      {"GET", "/api/cases/{}/report", Lane::slow, Body::none, 0, false, get_report, nullptr},
      {"POST", "/api/answers/{}", Lane::slow, Body::json, kLargestCaseFile, false, post_answer,
       nullptr},
      {"POST", "/api/cases/{}/photos", Lane::sockets, Body::image, kLargestPhoto, false, nullptr,
       post_photo},
      {"GET", "/api/photos/{}", Lane::quick, Body::none, 0, false, get_photo, nullptr},
      {"POST", "/api/session", Lane::sockets, Body::json, 1024, true, post_session, nullptr},
      {"DELETE", "/api/session", Lane::sockets, Body::none, 0, true, delete_session, nullptr},
  };
  return all;
}

Found find_route(std::string_view method, std::string_view path) {
  Found found;
  const std::string_view wanted = method == "HEAD" ? "GET" : method;
  for (const Route& route : routes()) {
    auto ids = fits(route.pattern, path);
    if (!ids) continue;
    if (route.method == wanted) {
      found.route = &route;
      found.ids = std::move(*ids);
      return found;
    }
    if (!found.allowed.empty()) found.allowed += ", ";
    found.allowed += route.method == "GET" ? "GET, HEAD" : std::string(route.method);
  }
  return found;
}

std::optional<Response> refuse_head(const Route& route, const Request& request) {
  const std::string_view length = request.header("Content-Length");
  const bool chunked = request.count("Transfer-Encoding") > 0;
  const std::int64_t bytes = length.empty() ? 0 : whole_number(length).value_or(0);
  if (route.body == Route::Body::none) {
    if (bytes == 0 && !chunked) return std::nullopt;
    return refused(400, "no content belongs to this request");
  }
  if (length.empty() && !chunked)
    return refused(411, "the content has no length", "Content-Length");
  const std::string_view type = request.header("Content-Type");
  const bool fitting = request.count("Content-Type") == 1 &&
                       (route.body == Route::Body::json ? is_json(type) : is_image(type));
  if (!fitting)
    return refused(415, "this type of content is not taken here",
                   route.body == Route::Body::json ? "application/json in UTF-8"
                                                   : "image/jpeg, image/png or image/webp");
  if (request.count("Content-Encoding") > 0)
    return refused(415, "coded content is not taken", "the content as it is");
  if (static_cast<std::uint64_t>(bytes) > route.most_body)
    return refused(413, "the content is too large",
                   "at most " + std::to_string(route.most_body) + " bytes");
  return std::nullopt;
}

}  // namespace perrev
