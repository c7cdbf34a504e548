#include <algorithm>
#include <cstdlib>
#include <exception>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>

#include "engine/json_text.h"
#include "engine/quantity/text.h"
#include "src/server/handlers.h"
#include "src/server/json_body.h"
#include "src/server/secret.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

bool takes_back(const Json& entries) {
  return std::any_of(entries.begin(), entries.end(), [](const Json& entry) {
    return entry.is_object() && entry.contains("retracts");
  });
}

// A case to judge new entries in, and which entry of the request each of its entries is; -1: none.
struct Judged {
  Json document;
  std::vector<std::ptrdiff_t> from;
};

Judged alone(const Json& entries) {
  Judged out{{{"perrev_case", 1}, {"label", ""}, {"entries", entries}}, {}};
  for (std::size_t i = 0; i < entries.size(); ++i)
    out.from.push_back(static_cast<std::ptrdiff_t>(i));
  return out;
}

Judged within(const std::string& case_text, const Json& entries) {
  Judged out{Json::parse(case_text), {}};
  Json& all = out.document["entries"];
  std::set<std::string> there;
  for (const Json& one : all) there.insert(one["id"].get<std::string>());
  out.from.assign(all.size(), -1);
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const Json& entry = entries[i];
    const bool has_id = entry.is_object() && entry.contains("id") && entry["id"].is_string();
    if (has_id && there.count(entry["id"].get<std::string>()) > 0) continue;
    all.push_back(entry);
    out.from.push_back(static_cast<std::ptrdiff_t>(i));
  }
  return out;
}

// "/entries/7/value" of the document as a place in the request; nothing for entries that stood in
// the case before.
std::optional<std::string> in_request(const std::string& where, const Judged& judged) {
  const std::string front = "/entries/";
  if (where.compare(0, front.size(), front) != 0) return where;
  const std::size_t index = std::strtoull(where.c_str() + front.size(), nullptr, 10);
  if (index >= judged.from.size() || judged.from[index] < 0) return std::nullopt;
  return front + std::to_string(judged.from[index]) +
         where.substr(std::min(where.find('/', front.size()), where.size()));
}

// What the rule base finds wrong with the entries. Whether a fact is known and its value makes
// sense is judged by the new entries alone, so that it does not cost more in a long case; a
// retraction needs the case that it speaks of.
Problems wrong_with(const Api& api, const std::string& case_id, const Json& entries) {
  Judged judged;
  if (takes_back(entries)) {
    const auto text = api.store.case_text(case_id);
    if (!text) return text.error().problems;
    judged = within(text->text, entries);
  } else {
    judged = alone(entries);
  }
  Problems out;
  for (Problem& one : api.rules.now()->answers.check(compact_json(judged.document))) {
    auto where = in_request(one.place.pointer, judged);
    if (!where) continue;
    one.place.pointer = std::move(*where);
    out.push_back(std::move(one));
  }
  return out;
}

void store_entries(Api& api, const std::string& case_id, std::vector<std::string> entries,
                   bool with_ranking, const Done& done) {
  const auto added = std::make_shared<Added>();
  const auto work = [case_id, entries = std::move(entries),
                     added](Changes& changes) -> std::optional<Refused> {
    auto out = changes.add_entries(case_id, entries);
    if (!out) return out.error();
    *added = std::move(out).value();
    return std::nullopt;
  };
  api.writer.submit(work,
                    [&api, case_id, added, with_ranking, done](const std::optional<Refused>& why) {
                      if (why) return done(refusal(*why));
                      const std::string start = "{\"accepted\":" + compact_json(added->ids) +
                                                ",\"last\":" + std::to_string(added->last_seq);
                      if (!with_ranking) return done(json_response(200, start + "}"));
                      api.rankings.want(case_id, [start, done](const Rankings::Text& ranking) {
                        // The additions are safe, so the answer is 200 even where nobody had time
                        // to rank.
                        const bool ranked = ranking && !ranking->empty();
                        done(json_response(200, start + (ranked ? "," + *ranking + "}" : "}")));
                      });
                    });
}

void check_and_store(Api& api, const Call& call, const Done& done) {
  const auto body = read_object(call.request.body);
  if (!body) return done(problems_response(400, {body.error()}));
  const auto list = body->find("entries");
  if (list == body->end() || !list->is_array() || list->empty() ||
      list->size() > kMostEntriesOfCase)
    return done(refused(422,
                        list != body->end() && list->is_array() && !list->empty()
                            ? "there are " + std::to_string(list->size()) + " entries"
                            : "there are no entries",
                        "{\"entries\": [...]}, 1 to " + std::to_string(kMostEntriesOfCase)));
  const auto known = api.store.since(call.ids[0], 0, 1);
  if (!known) return done(refusal(known.error()));
  if (known->empty()) return done(refused(404, "there is no such case", "PUT it first"));
  const Problems wrong = wrong_with(api, call.ids[0], *list);
  if (!wrong.empty()) return done(problems_response(422, wrong));
  std::vector<std::string> entries;
  for (const Json& entry : *list) entries.push_back(compact_json(entry));
  store_entries(api, call.ids[0], std::move(entries), call.request.asked("ranking") == "1", done);
}

}  // namespace

void post_entries(Api& api, Call call, const Done& done) {
  const bool taken = api.quick.post([&api, call = std::move(call), done] {
    try {
      check_and_store(api, call, done);
    } catch (const std::exception&) {  // memory, or what a library throws of its own
      done(refused(503, "this could not be answered"));
    }
  });
  if (!taken) done(refused(503, "too much waits", "a try later").with("Retry-After", "1"));
}

void post_photo(Api& api, Call call, const Done& done) {
  const auto sha = std::make_shared<std::string>();
  const auto work = [call = std::make_shared<const Call>(std::move(call)),
                     sha](Changes& changes) -> std::optional<Refused> {
    auto out = changes.add_photo(call->ids[0], call->request.body,
                                 lower_case(call->request.header("Content-Type")));
    if (!out) return out.error();
    *sha = std::move(out).value();
    return std::nullopt;
  };
  api.writer.submit(work, [sha, done](const std::optional<Refused>& why) {
    done(why ? refusal(*why) : json_response(201, compact_json({{"photo", *sha}})));
  });
}

Response get_photo(Api& api, const Call& call) {
  const auto photo = api.store.photo(call.ids[0]);
  if (!photo) return refusal(photo.error());
  Response out;
  out.body = photo->bytes;
  out.with("Content-Type", photo->type)
      .with("Cache-Control", "private, max-age=31536000, immutable");
  return out;
}

}  // namespace perrev
