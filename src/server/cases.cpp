#include <algorithm>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "src/server/handlers.h"
#include "src/server/json_body.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::int64_t kMostCases = 200, kUsualCases = 50;

// A number of the query; `usual` where it is missing, nothing where it is no whole number.
std::optional<std::int64_t> number(const Request& request, const char* key, std::int64_t usual) {
  const auto text = request.asked(key);
  return text ? whole_number(*text) : usual;
}

// Sets or adds; `status` where something was added.
void change_head(Api& api, Call call, const Done& done, bool fresh_case) {
  if (!is_case_id(call.ids[0]))
    return done(refused(422, "this is no id of a case", "6 to 40 of a-z, 0-9 and -"));
  const auto body = read_object(call.request.body);
  if (!body) return done(problems_response(400, {body.error()}));
  const auto added = std::make_shared<Added>();
  const auto work = [id = call.ids[0], head = compact_json(*body), added,
                     fresh_case](Changes& changes) -> std::optional<Refused> {
    auto out = fresh_case ? changes.add_case(id, head) : changes.set_head(id, head);
    if (!out) return out.error();
    *added = std::move(out).value();
    return std::nullopt;
  };
  api.writer.submit(work, [added, fresh_case, done](const std::optional<Refused>& why) {
    if (why) return done(refusal(*why));
    const int status = fresh_case && added->fresh > 0 ? 201 : 200;
    done(json_response(status, compact_json({{"last", added->last_seq}})));
  });
}

}  // namespace

Response get_cases(Api& api, const Call& call) {
  const auto before = number(call.request, "before", 0);
  const auto limit = number(call.request, "limit", kUsualCases);
  if (!before || !limit || *limit < 1 || *limit > kMostCases)
    return refused(400, "before or limit is no such number",
                   "before: a last_seq; limit: 1 to " + std::to_string(kMostCases));
  const auto lines = api.store.cases(call.request.asked("search").value_or(""), *before,
                                     static_cast<std::size_t>(*limit));
  if (!lines) return refusal(lines.error());
  Json out = {{"cases", Json::array()}};
  for (const CaseLine& line : *lines)
    out["cases"].push_back({{"id", line.id},
                            {"label", line.label},
                            {"words", line.words},
                            {"last_at", line.last_at},
                            {"last_seq", line.last_seq},
                            {"entries", line.entries},
                            {"closed", line.closed}});
  return json_response(200, compact_json(out));
}

void put_case(Api& api, Call call, const Done& done) {
  change_head(api, std::move(call), done, true);
}

void patch_case(Api& api, Call call, const Done& done) {
  change_head(api, std::move(call), done, false);
}

Response get_case(Api& api, const Call& call) {
  const auto text = api.store.case_text(call.ids[0]);
  if (!text) return refusal(text.error());
  return json_response(
      200, "{\"case\":" + text->text + ",\"last\":" + std::to_string(text->last_seq) + "}");
}

Response get_events(Api& api, const Call& call) {
  (void)api;
  Response out;
  // A reader that lost its connection tells the last one it has (WHATWG HTML, 9.2.4); that counts
  // more than what its address says.
  std::optional<std::string> after = call.request.asked("after");
  if (call.request.count("Last-Event-ID") > 0)
    after = std::string(call.request.header("Last-Event-ID"));
  if (after) {
    const auto seq = whole_number(*after);
    if (!seq) return refused(400, "after is no whole number", "the id of the last event");
    out.events.after = *seq;
  }
  out.events.wanted = true;
  if (!call.ids.empty()) out.events.case_id = call.ids[0];
  out.with("Content-Type", "text/event-stream").with("Cache-Control", "no-store");
  return out;
}

Response get_case_events(Api& api, const Call& call) {
  const auto there = api.store.since(call.ids[0], 0, 1);
  if (!there) return refusal(there.error());
  if (there->empty()) return refused(404, "there is no such case", "an id of /api/cases");
  return get_events(api, call);
}

}  // namespace perrev
