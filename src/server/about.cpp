#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "src/page/assets.h"
#include "src/server/coding.h"
#include "src/server/handlers.h"
#include "src/server/json_body.h"

namespace perrev {

using Json = nlohmann::ordered_json;

Response get_openapi(Api&, const Call&) {
  Response out;
  out.fixed = find_asset("/api/openapi.json")->bytes;
  out.with("Content-Type", "application/json").with("Cache-Control", "no-store");
  return out;
}

Response get_about(Api& api, const Call&) {
  Json out = {{"version", api.about.version}};
  out.update(Json::parse(rules_json(api.rules)));
  out.update(Json{{"units", api.about.units}, {"lan", api.about.lan}});
  return json_response(200, compact_json(out));
}

Response get_rules(Api& api, const Call& call) {
  const Rules rules = api.rules.now();
  if (call.ids[0] != rules->base.digest || rules->bytes.empty())
    return refused(404, "this server does not work with such a rule base",
                   "the rules_digest of /api/about");
  Response out;
  const bool coded = takes_gzip(call.request) && !rules->gzip.empty();
  out.fixed = coded ? rules->gzip : rules->bytes;
  out.held = rules;
  if (coded) out.with("Content-Encoding", "gzip");
  out.with("Content-Type", "application/octet-stream")
      .with("Vary", "Accept-Encoding")
      .with("Cache-Control", "private, max-age=31536000, immutable");
  return out;
}

Response post_session(Api& api, const Call& call) {
  const auto body = read_object(call.request.body);
  if (!body) return problems_response(400, {body.error()});
  const auto key = body->find("key");
  if (key == body->end() || !key->is_string())
    return refused(422, "there is no key", "{\"key\": \"...\"}");
  return api.access.enter(call.request, key->get<std::string>(), Clock::now());
}

Response delete_session(Api& api, const Call& call) { return api.access.leave(call.request); }

}  // namespace perrev
