#include "src/server/service.h"

#include <exception>
#include <memory>

#include "src/page/assets.h"
#include "src/server/coding.h"
#include "src/server/trust_page.h"

namespace perrev {

namespace {

Response asset_response(const Request& request, const Asset& asset) {
  const bool packed = !asset.gzip.empty() && takes_gzip(request);
  // RFC 9110, 8.8.3.3: each coding has a tag of its own.
  const std::string tag = "\"" + std::string(asset.digest) + (packed ? "-gzip\"" : "\"");
  Response out;
  out.with("ETag", tag).with("Cache-Control", "no-cache").with("Vary", "Accept-Encoding");
  const std::string_view known = request.header("If-None-Match");
  std::string_view bare = known.substr(0, 2) == "W/" ? known.substr(2) : known;
  if (known == "*" || lists(bare, tag) || lists(known, "W/" + tag)) {
    out.status = 304;
    return out;
  }
  out.with("Content-Type", std::string(asset.type));
  if (packed) out.with("Content-Encoding", "gzip");
  out.fixed = packed ? asset.gzip : asset.bytes;
  return out;
}

bool is_api(std::string_view path) { return path == "/api" || path.substr(0, 5) == "/api/"; }

}  // namespace

std::optional<Response> Service::site_file(const Request& request) const {
  std::string_view path = request.path;
  if (path == "/") path = "/index.html";
  if (is_api(path)) return std::nullopt;
  if (!trust_.certificate_pem.empty() && path == "/ca.crt") {
    Response out;
    out.body = trust_.certificate_pem;
    return out.with("Content-Type", "application/x-x509-ca-cert")
        .with("Content-Disposition", "attachment; filename=\"perrev-ca.crt\"")
        .with("Cache-Control", "no-store");
  }
  if (!trust_.certificate_pem.empty() && path == "/trust")
    return trust_page(trust_.address, trust_.fingerprint);
  const Asset* asset = find_asset(path);
  if (!asset) return std::nullopt;
  return asset_response(request, *asset);
}

Admission Service::admit(Request& request) {
  Admission out;
  out.response = refuse_request(request, reached_);
  if (out.response) return out;
  const auto file = site_file(request);
  Found found = find_route(request.method, request.path);
  const bool open_to_all = file || (found.route && found.route->open_to_all);
  out.response = access_.refuse(request, open_to_all, Clock::now());
  if (out.response) return out;
  if (file) {
    if (request.is_safe())
      out.response = file;
    else
      out.response = refused(405, "a file of the page is only read").with("Allow", "GET, HEAD");
    return out;
  }
  if (!found.route) {
    out.response = found.allowed.empty()
                       ? refused(404, "there is nothing under this address", "/ or /api/...")
                       : refused(405, "this method is not answered here", found.allowed)
                             .with("Allow", found.allowed);
    return out;
  }
  out.response = refuse_head(*found.route, request);
  if (out.response) return out;
  out.route = found.route;
  out.most_body = found.route->most_body;
  out.ids = std::move(found.ids);
  return out;
}

void Service::answer(const Admission& admission, Request request, Done given) {
  const Route& route = *admission.route;
  ++open_;
  const Done done = [this, given = std::move(given)](Response response) {
    given(std::move(response));
    --open_;
  };
  auto call = std::make_shared<Call>(Call{std::move(request), admission.ids});
  const auto run = [this, &route, call, done] {
    try {
      if (route.answer)
        done(coded(route.answer(api_, *call), call->request));
      else
        route.answer_later(api_, std::move(*call), done);
    } catch (const std::exception&) {  // memory, or what a library throws of its own
      done(refused(503, "this could not be answered"));
    }
  };
  bool taken = true;
  if (route.lane == Route::Lane::sockets)
    run();
  else
    taken = (route.lane == Route::Lane::quick ? api_.quick : slow_).post(run);
  if (!taken) done(refused(503, "too much waits", "a try later").with("Retry-After", "1"));
}

}  // namespace perrev
